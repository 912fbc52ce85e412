"""Recomputes every circle of runout/circle with SciPy and NumPy, of whatever source.

The vectors are read from ../vectors and nothing is written. A geometric circle
makes the sum of (distance from the centre - radius)^2 least: here the radius is put
out of the way, being the mean distance, and scipy.optimize.minimize (BFGS, then
root of the gradient by scipy.optimize.root) finds the centre from three starts. An
algebraic one makes the sum of (x^2 + y^2 - a x - b y - c)^2 least, by
scipy.linalg.lstsq with the points counted from their mean. Neither is the way of
runout_circle.py. Values must lie within the tolerance of the vector.

Run with Python 3, NumPy and SciPy: python3 recheck_circles.py
"""

import json
import os
import sys

try:
    import numpy as np
    import scipy
    from scipy.linalg import lstsq
    from scipy.optimize import minimize, root
except ImportError:
    print("recheck_circles: not checked: needs NumPy and SciPy, found none")
    sys.exit(0)

PATH = os.path.join(os.path.dirname(os.path.dirname(os.path.abspath(__file__))), "vectors", "runout", "circle.json")


def geometric(x, y):
    middle = np.array([x.mean(), y.mean()])
    size = np.hypot(x - middle[0], y - middle[1]).max()
    u, v = (x - middle[0]) / size, (y - middle[1]) / size

    def off(c):
        d = np.hypot(u - c[0], v - c[1])
        return d - d.mean()

    def slope(c):
        d = np.hypot(u - c[0], v - c[1])
        unit = np.column_stack([(c[0] - u) / d, (c[1] - v) / d])
        return 2 * (d - d.mean()) @ unit  # the mean's own slope meets a sum of nothing

    start = algebraic(u, v)[:2]
    found = []
    for s in (start, np.multiply(start, 1.2), np.add(start, [0.05, -0.03])):
        near = minimize(lambda c: off(c) @ off(c), s, jac=slope, method="BFGS", options={"gtol": 1e-12}).x
        found.append(root(slope, near, tol=1e-15).x)
    best = min(found, key=lambda c: off(c) @ off(c))
    c = middle + size * best
    return c[0], c[1], np.hypot(x - c[0], y - c[1]).mean()


def algebraic(x, y):
    mx, my = x.mean(), y.mean()
    u, v = x - mx, y - my
    a, b, c = lstsq(np.column_stack([u, v, np.ones_like(u)]), u**2 + v**2)[0]
    return a / 2 + mx, b / 2 + my, np.sqrt(c + a * a / 4 + b * b / 4)


def circle(given):
    x, y = np.array(given["points"], float).T
    a, b, r = {"geometric": geometric, "algebraic": algebraic}[given["method"]](x, y)
    d = np.hypot(x - a, y - b)
    out = {"centre.x": a, "centre.y": b, "radius": r, "mean-distance": d.mean(), "scatter": d.std(),
           "rms": np.sqrt(((d - r) ** 2).mean()), "sum-squares-in-unit": ((d - r) ** 2).sum(), "worst": np.abs(d - r).max()}
    return dict(out, **{"residual.%d" % k: v for k, v in enumerate(d - r)})


def allowed(entry):
    if "tolerance" in entry:
        return entry["tolerance"] * (1 + 1e-9)
    return 0.5 * 10.0 ** -len(entry["printed"].partition(".")[2])


def main():
    vectors, values, told, differ = 0, 0, [], 0
    with open(PATH, encoding="utf-8") as f:
        stored = json.load(f)["vectors"]
    for v in stored:
        if v["computation"] != "runout.circle" or "expect" not in v:
            continue
        got = circle(v["input"])
        vectors += 1
        for e in v["expect"]:
            if e["name"] not in got or e["unit"] not in (v["input"]["unit"], "1"):
                told.append("no value for %s %s" % (v["id"], e["name"]))
                continue
            values += 1
            if not abs(got[e["name"]] - e["exact"]) <= allowed(e):
                differ += 1
                told.append("%s: %s is %r, stored %r" % (v["id"], e["name"], float(got[e["name"]]), e["exact"]))
    for words in told:
        print("    " + words)
    print("recheck_circles: NumPy %s, SciPy %s; %d vectors, %d values, %d differ" % (np.__version__, scipy.__version__, vectors, values, differ))
    return 1 if differ else 0


if __name__ == "__main__":
    sys.exit(main())
