"""The computations softfoot.*, from the modules beside this one."""

import softfoot_base
import softfoot_feet
import softfoot_wedge

COMPUTATIONS = {**softfoot_wedge.COMPUTATIONS, **softfoot_feet.COMPUTATIONS, **softfoot_base.COMPUTATIONS}
