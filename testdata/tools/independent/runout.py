"""The computations runout.*, from the modules beside this one."""

import runout_bow
import runout_fits
import runout_limits
import runout_plumb
import runout_station

COMPUTATIONS = {
    **runout_station.COMPUTATIONS,
    **runout_bow.COMPUTATIONS,
    **runout_plumb.COMPUTATIONS,
    **runout_limits.COMPUTATIONS,
    **runout_fits.COMPUTATIONS,
}
