"""Package thermal: growth, machines that warm, operating states, cooling."""

import thermal_cooling
import thermal_growth
import thermal_machine
import thermal_states

COMPUTATIONS = {
    **thermal_growth.COMPUTATIONS,
    **thermal_machine.COMPUTATIONS,
    **thermal_states.COMPUTATIONS,
    **thermal_cooling.COMPUTATIONS,
}
