"""Writes the shim-plan vectors of softfoot as JSON on standard output.

The heights of the pads are invented with a fixed seed. The least total shim
that brings all feet of a machine into one plane by adding alone is a linear
program, minimise sum(s) with h + s in a plane and s >= 0, solved by
scipy.optimize.linprog; it knows nothing of triples of feet. Run with Python 3,
NumPy and SciPy: python3 softfoot_feet.py
"""

import json

import numpy as np
from scipy.optimize import linprog

rng = np.random.default_rng(4041)
REASON = "the linear program is solved to a feasibility of 1e-7 in scaled numbers"


def plans(name, title, x, z, h):
    """Places in m, heights in um."""
    n = len(x)
    rows = np.column_stack([np.ones(n), x, z, -np.eye(n)])
    cost = np.concatenate([np.zeros(3), np.ones(n)])
    r = linprog(cost, A_eq=rows, b_eq=h, bounds=[(None, None)] * 3 + [(0, None)] * n, method="highs-ds")
    assert r.status == 0
    feet = [{"name": f"foot{i + 1}", "station": [float(p), "m"], "lateral": [float(q), "m"]}
            for i, (p, q) in enumerate(zip(x, z))]
    return {
        "id": "softfoot.shim-plans.scipy-" + name,
        "title": title,
        "computation": "softfoot.shim-plans",
        "input": {"feet": feet, "heights": [[float(v), "um"] for v in h]},
        "expect": [{"name": "least-total", "exact": float(r.fun), "unit": "um", "tolerance": 1e-5, "reason": REASON}],
        "source": "scipy-1-10-1",
        "known": "derived",
    }


def rows(n, half=0.35):
    return np.repeat(np.linspace(0, 0.45 * (n // 2 - 1), n // 2), 2), np.tile([-half, half], n // 2)


def heights(n):
    return np.round(80 * rng.standard_normal(n), 1)


def main():
    out = []
    for n, word in ((4, "Four"), (6, "Six"), (10, "Ten")):
        out.append(plans(f"{n}-feet", f"{word} feet in two rows: the least total shim", *rows(n), heights(n)))
    x, z = np.round(2 * rng.random(7), 3), np.round(rng.random(7), 3)
    out.append(plans("any-layout", "Seven feet anywhere: the least total shim", x, z, heights(7)))
    print(json.dumps(out, indent=2))


main()
