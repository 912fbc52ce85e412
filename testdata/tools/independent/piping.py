"""The computations piping.*, from the modules beside this one."""

import piping_connections
import piping_flange
import piping_goal
import piping_loads
import piping_strain

COMPUTATIONS = {
    **piping_strain.COMPUTATIONS,
    **piping_flange.COMPUTATIONS,
    **piping_goal.COMPUTATIONS,
    **piping_loads.COMPUTATIONS,
    **piping_connections.COMPUTATIONS,
}
