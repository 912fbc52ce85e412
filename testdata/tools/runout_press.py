"""Writes the shrink-fit vectors of another library as JSON on standard output.

The radial displacement u of a thick-walled hub under plane stress obeys
u'' + u'/r - u/r^2 = 0. SciPy (integrate.solve_bvp) solves it with the pressure
between shaft and hub as the unknown: no stress at the outside, minus the pressure
at the bore, and bore and shaft surface apart by half the interference before
they meet. No closed formula is used. Run with Python 3, NumPy and SciPy:
python3 runout_press.py
"""

import json

import numpy as np
from scipy.integrate import solve_bvp

POISSON = 0.29


def shrink_fit(shaft, outside):
    """Pressure and tension at the bore in units of E i/d, i the interference on d."""
    end = outside / shaft  # radius in units of the shaft's

    def stress(r, u, slope):
        radial = (slope + POISSON * u / r) / (1 - POISSON**2)
        around = (u / r + POISSON * slope) / (1 - POISSON**2)
        return radial, around

    def rhs(r, y, p):
        return np.vstack([y[1], y[0] / r**2 - y[1] / r])

    def ends(at_bore, at_outside, p):
        bore, _ = stress(1.0, *at_bore)
        rim, _ = stress(end, *at_outside)
        shaft_moves = -(1 - POISSON) * p[0]
        return np.array([bore + p[0], rim, at_bore[0] - shaft_moves - 1.0])

    r = np.linspace(1.0, end, 201)
    s = solve_bvp(rhs, ends, r, np.vstack([0.5 + 0 * r, 0 * r]), p=[0.3], tol=1e-11, max_nodes=200000)
    if not s.success:
        raise SystemExit(s.message)
    _, around = stress(1.0, *s.sol(1.0))
    return float(s.p[0]), float(around)


CASES = [
    ("steel-coupling", 100.0, 150.0, 206000.0, 0.15),
    ("thick-hub", 60.0, 200.0, 206000.0, 0.06),
    ("thin-ring", 120.0, 132.0, 206000.0, 0.09),
    ("cast-iron", 80.0, 140.0, 110000.0, 0.05),
]

REASON = "the solver's own tolerance of 1e-11, with room for the conditioning of a boundary value problem"


def expect(name, value):
    return {"name": name, "exact": round(value, 9), "unit": "MPa", "tolerance": 1e-6, "reason": REASON}


def vector(name, shaft, outside, modulus, interference):
    p, around = shrink_fit(shaft, outside)
    scale = modulus * interference / shaft
    return {
        "id": "runout.press-fit." + name,
        "title": "Solid shaft of %g mm in a hub of %g mm, interference %g mm" % (shaft, outside, interference),
        "computation": "runout.press-fit",
        "input": {
            "shaft": [shaft, "mm"],
            "outside": [outside, "mm"],
            "modulus": [modulus, "MPa"],
            "interference": [interference, "mm"],
        },
        "expect": [expect("pressure", p * scale), expect("bore-stress", around * scale)],
        "source": "scipy-1-10-1-bvp",
        "known": "derived",
    }


print(json.dumps([vector(*c) for c in CASES], indent=1))
