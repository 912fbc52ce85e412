"""Writes the circle and orbit vectors of another library as JSON on standard output.

The points are invented with a fixed seed; the circles are fitted by SciPy
(optimize.least_squares) and the orbits by NumPy (linalg.lstsq). Run with
Python 3, NumPy and SciPy: python3 runout_circle.py
"""

import json

import numpy as np
from scipy.optimize import least_squares

rng = np.random.default_rng(20260)


def expect(name, value, tolerance, reason, unit="mm"):
    return {"name": name, "exact": float(value), "unit": unit, "tolerance": tolerance, "reason": reason}


def circle(name, title, count, start, arc, radius, noise, tolerance):
    t = np.radians(start + arc * rng.random(count))
    x = np.round(40 + radius * np.cos(t) + noise * rng.standard_normal(count), 4)
    y = np.round(-25 + radius * np.sin(t) + noise * rng.standard_normal(count), 4)

    def residual(p):
        return np.hypot(x - p[0], y - p[1]) - p[2]

    def slopes(p):
        d = np.hypot(x - p[0], y - p[1])
        return np.column_stack([(p[0] - x) / d, (p[1] - y) / d, -np.ones(count)])

    fit = least_squares(residual, [40, -25, radius], jac=slopes, method="lm", xtol=1e-15, ftol=1e-15, gtol=1e-15)
    a, b, r = fit.x
    reason = "two iterations that stop near the rounding of doubles; an arc of %g degrees magnifies it" % arc
    return {
        "id": "runout.circle.scipy-" + name,
        "title": title,
        "computation": "runout.circle",
        "flags": ["arc"] if arc < 360 else ["full-turn"],
        "input": {"unit": "mm", "method": "geometric", "points": np.column_stack([x, y]).tolist()},
        "expect": [
            expect("centre.x", a, tolerance, reason),
            expect("centre.y", b, tolerance, reason),
            expect("radius", r, tolerance, reason),
            expect("rms", np.sqrt(2 * fit.cost / count), 1e-9, "at the minimum the sum of squares is flat, so only rounding is left"),
        ],
        "source": "scipy-1-10-1",
        "known": "derived",
    }


def orbit(name, title, turned):
    n = len(turned)
    t = np.radians(turned)
    north = np.round(30 + 90 * np.cos(t + 0.7) + 4 * rng.standard_normal(n), 1)
    east = np.round(-55 + 90 * np.sin(t + 0.7) + 4 * rng.standard_normal(n), 1)
    one, zero = np.ones(n), np.zeros(n)
    rows = np.vstack([np.column_stack([one, zero, np.cos(t), -np.sin(t)]), np.column_stack([zero, one, np.sin(t), np.cos(t)])])
    (cn, ce, an, ae), squares, _, _ = np.linalg.lstsq(rows, np.concatenate([north, east]), rcond=None)
    reason = "a linear fit of a few small numbers; only rounding is allowed"
    return {
        "id": "runout.orbit.numpy-" + name,
        "title": title,
        "computation": "runout.orbit",
        "flags": ["uneven-positions"],
        "input": {"points": [{"turned": float(d), "north": [float(p), "um"], "east": [float(q), "um"]} for d, p, q in zip(turned, north, east)]},
        "expect": [
            expect("centre.north", cn, 1e-9, reason, "um"),
            expect("centre.east", ce, 1e-9, reason, "um"),
            expect("throw.north", an, 1e-9, reason, "um"),
            expect("throw.east", ae, 1e-9, reason, "um"),
            expect("diameter", 2 * np.hypot(an, ae), 1e-9, reason, "um"),
            expect("rms", np.sqrt(squares[0] / (2 * n - 4)), 1e-9, reason, "um"),
        ],
        "source": "numpy-1-24-2",
        "known": "derived",
    }


print(json.dumps([
    circle("full", "A shaft section measured all round, 24 points", 24, 0, 360, 150, 0.02, 1e-8),
    circle("half", "Half a turn, 12 points", 12, 20, 180, 150, 0.02, 1e-7),
    circle("arc-90", "A quarter of a turn, 15 points", 15, 100, 90, 300, 0.01, 1e-7),
    circle("arc-40", "A bearing pad, 40 degrees, 20 points", 20, 250, 40, 500, 0.005, 1e-6),
    circle("three", "Three points, no residual", 3, 0, 300, 80, 0.1, 1e-9),
    circle("rough", "Rough points, one part in ten", 10, 0, 360, 20, 2, 1e-7),
    orbit("three", "Three positions, unevenly spaced", [0, 100, 230]),
    orbit("five", "Five positions of a shaft that was stopped where it would", [0, 61, 148, 222, 305]),
    orbit("eight", "Eight positions", [0, 45, 90, 135, 180, 225, 270, 315]),
], indent=1))
