"""Writes the plane and flatness vectors of another library as JSON on standard output.

Heights are invented with a fixed seed. The best plane is solved by SciPy
(linalg.lstsq), the minimum zone as a linear program by SciPy (optimize.linprog,
HiGHS): the least w with c + a*x + b*z <= h <= c + a*x + b*z + w. Run with
Python 3, NumPy and SciPy: python3 softfoot_base.py
"""

import json

import numpy as np
from scipy.linalg import lstsq
from scipy.optimize import linprog

rng = np.random.default_rng(686)


def expect(name, value, unit, tolerance, reason):
    return {"name": name, "exact": float(value), "unit": unit, "tolerance": tolerance, "reason": reason}


def plane_and_zone(x, z, h):
    ones = np.ones(len(h))
    (c, a, b), _, _, _ = lstsq(np.column_stack([ones, x, z]), h)
    below = np.column_stack([ones, x, z, 0 * ones])
    above = -np.column_stack([ones, x, z, ones])
    lp = linprog([0, 0, 0, 1], A_ub=np.vstack([below, above]), b_ub=np.concatenate([h, -h]), bounds=[(None, None)] * 3 + [(0, None)], method="highs-ds")
    if lp.status != 0:
        raise SystemExit(lp.message)
    return c, a, b, lp.x[3]


LINEAR = "a linear fit of a few small numbers; only rounding is allowed"
PROGRAM = "the solver accepts an answer that breaks a condition by 1e-7 um"


def base(name, title, x, z, h):
    x, z, h = np.round(x, 3), np.round(z, 3), np.round(h, 1)
    c, a, b, width = plane_and_zone(x, z, h)
    rest = h - c - a * x - b * z
    points = [
        {"pad": "pad-%d" % (i // 4), "station": [float(p), "m"], "lateral": [float(q), "m"], "height": [float(r), "um"]}
        for i, (p, q, r) in enumerate(zip(x, z, h))
    ]
    return {
        "id": "softfoot.base.zone-" + name,
        "title": title,
        "computation": "softfoot.base-survey",
        "flags": ["minimum-zone"],
        "input": {"points": points},
        "expect": [
            expect("plane.along", a, "um/m", 1e-8, LINEAR),
            expect("plane.across", b, "um/m", 1e-8, LINEAR),
            expect("plane.height", c, "um", 1e-8, LINEAR),
            expect("plane.rms", np.sqrt(np.mean(rest**2)), "um", 1e-8, LINEAR),
            expect("plane.lowest", rest.min(), "um", 1e-8, LINEAR),
            expect("plane.highest", rest.max(), "um", 1e-8, LINEAR),
            expect("flatness", width, "um", 1e-6, PROGRAM),
        ],
        "source": "scipy-1-10-1-linprog",
        "known": "derived",
    }


def face(name, title, x, z, gap):
    x, z, gap = np.round(x, 2), np.round(z, 2), np.round(gap, 3)
    (c, a, b), _, _, _ = lstsq(np.column_stack([np.ones(len(x)), x, z]), gap)
    rest = gap - c - a * x - b * z
    half = abs(a) * 60 + abs(b) * 45
    return {
        "id": "softfoot.wedge.plane-" + name,
        "title": title,
        "computation": "softfoot.wedge",
        "flags": ["many-points"],
        "input": {"foot": {"length": [120, "mm"], "width": [90, "mm"], "points": [
            {"along": [float(p), "mm"], "across": [float(q), "mm"], "gap": [float(g), "mm"]} for p, q, g in zip(x, z, gap)
        ]}},
        "expect": [
            expect("mean", c, "mm", 1e-11, LINEAR),
            expect("slope.along", a, "1", 1e-12, LINEAR),
            expect("slope.across", b, "1", 1e-12, LINEAR),
            expect("tight", c - half, "mm", 1e-10, LINEAR),
            expect("open", c + half, "mm", 1e-10, LINEAR),
            expect("rest.rms", np.sqrt(np.mean(rest**2)), "mm", 1e-11, LINEAR),
            expect("rest.worst", rest[np.argmax(abs(rest))], "mm", 1e-11, LINEAR),
            expect("rest.worst-at", np.argmax(abs(rest)), "1", 1e-9, "a count"),
        ],
        "source": "scipy-1-10-1-linprog",
        "known": "derived",
    }


def scattered(n, length, width):
    return length * rng.random(n), width * (rng.random(n) - 0.5)


def grid(along, across, length, width):
    x, z = np.meshgrid(np.linspace(0, length, along), np.linspace(-width / 2, width / 2, across))
    return x.ravel(), z.ravel()


def rough(x, z, tilt, noise):
    return tilt[0] * x + tilt[1] * z + noise * rng.standard_normal(len(x))


bases = []
for name, title, (x, z), tilt, noise in [
    ("five", "Five points", scattered(5, 2, 1), (30, -20), 15),
    ("eight", "Eight points on two pads", scattered(8, 3, 1.2), (-12, 40), 25),
    ("grid", "A grid of 4 by 3 on a soleplate", grid(4, 3, 1.5, 0.6), (25, 10), 20),
    ("grid-tilted", "A grid of 4 by 4, far out of level", grid(4, 4, 4, 2), (900, -700), 30),
    ("many", "Twenty points", scattered(20, 5, 2), (8, 8), 30),
    ("long-narrow", "A rail: 12 points, ten metres by a tenth", scattered(12, 10, 0.1), (15, 60), 12),
]:
    bases.append(base(name, title, x, z, rough(x, z, tilt, noise)))
x, z = grid(5, 3, 2, 1)
bases.append(base("dished", "A plate dished by 40 um per square metre", x, z, 40 * ((x - 1) ** 2 + z**2) + 3 * rng.standard_normal(15)))

faces = []
for name, title, n, a, b in [("five", "Five points under a foot", 5, 0.003, -0.001), ("nine", "Nine points under a foot", 9, -0.002, 0.002)]:
    x, z = 120 * (rng.random(n) - 0.5), 90 * (rng.random(n) - 0.5)
    faces.append(face(name, title, x, z, 0.6 + a * x + b * z + 0.02 * rng.standard_normal(n)))

print(json.dumps({"base": bases, "wedge": faces}, indent=1))
