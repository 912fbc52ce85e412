"""Writes the vectors of shafts read at several stations as JSON on standard output.

The readings are invented with a fixed seed. NumPy's linalg.lstsq finds the
eccentricity vector of every sweep and the straight line through them; SciPy's
optimize.minimize_scalar (bounded) finds the break of two straight limbs in every
gap between stations that leaves two or more on each side, and the best is
polished by optimize.least_squares. Run with Python 3, NumPy and SciPy:
python3 runout_bow.py
"""

import json

import numpy as np
from scipy import optimize

rng = np.random.default_rng(1966)
ROUNDING = "two double-precision fits of the same readings differ by rounding alone"
FLAT = "the sum of squares is flat at its minimum: two searches agree to about the root of the rounding"


def expect(name, value, unit, tolerance, reason=ROUNDING):
    return {"name": name, "exact": float(value), "unit": unit, "tolerance": tolerance, "reason": reason}


def vector_of(marks, values):
    t = np.radians(marks)
    a = np.column_stack([np.ones(len(t)), np.cos(t), np.sin(t)])
    return np.linalg.lstsq(a, values, rcond=None)[0][1:]


def limbs(x, c, x0):
    a = np.column_stack([np.ones(len(x)), x, np.maximum(0, x - x0)])
    coef = np.linalg.lstsq(a, c, rcond=None)[0]
    return coef, np.sum((c - a @ coef) ** 2)


def best_break(x, c):
    best = (np.inf, 0.0)
    for lo, hi in zip(x[1:-2], x[2:-1]):
        m = optimize.minimize_scalar(lambda s: limbs(x, c, s)[1], bounds=(lo, hi), method="bounded", options={"xatol": 1e-10})
        for s in (m.x, lo, hi):
            best = min(best, (limbs(x, c, s)[1], s))
    scale = x[-1] - x[0]

    def left(p):
        at = p[0] * scale
        a = np.column_stack([np.ones(len(x)), x, np.maximum(0, x - at)])
        return (c - a @ np.linalg.lstsq(a, c, rcond=None)[0]).ravel()

    p = optimize.least_squares(left, [best[1] / scale], xtol=1e-15, ftol=1e-15, gtol=1e-15).x[0] * scale
    if x[1] <= p <= x[-2] and limbs(x, c, p)[1] < best[0]:
        return p
    return best[1]


def shaft(name, title, stations, marks, centres, noise):
    given, c = [], []
    for x, (v, h) in zip(stations, centres):
        t = np.radians(marks)
        r = v * np.cos(t) + h * np.sin(t) + noise * rng.standard_normal(len(t))
        r = np.round(r - r[0], 1)
        c.append(vector_of(marks, r))
        given.append({"station": [float(x), "mm"], "sweep": {"unit": "um", "readings": [[float(m), float(y)] for m, y in zip(marks, r)]}})
    c, x = np.array(c), np.asarray(stations, float)
    n = len(x)
    a = np.column_stack([np.ones(n), x])
    line = np.linalg.lstsq(a, c, rcond=None)[0]
    out = [{"name": "verdict", "text": "told"}]
    for i in (0, n - 1):
        out += [expect(f"centre.{i}.vertical", c[i, 0], "um", 1e-9), expect(f"centre.{i}.horizontal", c[i, 1], "um", 1e-9)]
        at = a[i] @ line
        out += [expect(f"straight.{i}.vertical", at[0], "um", 1e-8), expect(f"straight.{i}.horizontal", at[1], "um", 1e-8)]
    out += [
        expect("straight.slope.vertical", line[1, 0], "mm/m", 1e-10),
        expect("straight.slope.horizontal", line[1, 1], "mm/m", 1e-10),
        expect("straight.rms", np.sqrt(np.sum((c - a @ line) ** 2) / (2 * n - 4)), "um", 1e-8),
    ]
    s = (x - x[0]) / (x[-1] - x[0])
    away = np.hypot(*(c - c[0] - s[:, None] * (c[-1] - c[0])).T)
    out += [expect("bow", away.max(), "um", 1e-8), expect("bow.station", x[away.argmax()], "mm", 1e-9)]
    x0 = best_break(x, c)
    coef, ss = limbs(x, c, x0)
    out += [
        expect("bend.station", x0, "mm", 1e-3, FLAT),
        expect("bend.angle", np.hypot(*coef[2]), "mm/m", 1e-6, FLAT),
        expect("bend.toward", np.degrees(np.arctan2(-coef[2, 1], -coef[2, 0])) % 360, "deg", 1e-3, FLAT),
        expect("bend.rms", np.sqrt(ss / (2 * n - 7)), "um", 1e-6, FLAT),
        expect("bend.degrees-of-freedom", 2 * n - 7, "1", 0, "a count"),
    ]
    return {
        "id": "runout.bow.scipy-" + name,
        "title": title,
        "computation": "runout.shaft-bow",
        "input": {"stations": given},
        "expect": out,
        "source": "scipy-bow-1-10-1",
        "known": "derived",
    }


def bent(x, at, angle, toward, skew=(0.0, 0.0), start=(0.0, 0.0)):
    """Centres in um: a straight limb, then one that turns by angle (um/mm) away from the elbow."""
    t = np.radians(toward)
    k = -angle * np.array([np.cos(t), np.sin(t)])
    x = np.asarray(x, float)
    return np.array(start) + np.outer(x, skew) + np.outer(np.maximum(0, x - at), k)


def main():
    even = 45.0 * np.arange(8)
    seven = np.linspace(0, 1800, 7)
    uneven = np.array([0.0, 110, 300, 420, 700, 815, 1200, 1340])
    nine = np.linspace(-600, 600, 9)
    middle = bent(seven, 1010, 0.25, 63, skew=(0.14, 0.05))
    curve = 80 * (1 - (nine / 600) ** 2)[:, None] * np.array([[0.8, -0.6]])
    out = [
        shaft("bent-between-stations", "A shaft bent between two stations, the ends on rollers", seven, even, middle, 1.0),
        shaft("bent-near-one-end", "A shaft bent between its last but two and last but one stations", seven, even,
              bent(seven, 1420, 0.3, 200, skew=(-0.02, 0.06)), 1.0),
        shaft("bent-uneven-stations", "Uneven stations and twelve marks from 10 degrees on", uneven, 10 + 30.0 * np.arange(12),
              bent(uneven, 560, 0.12, 310, skew=(0.03, 0.0), start=(12, -7)), 1.5),
        shaft("bent-four-marks", "Four marks only", seven, 90.0 * np.arange(4), bent(seven, 730, 0.18, 150), 1.0),
        shaft("four-stations", "Four stations leave one number over", seven[::2], even, bent(seven[::2], 900, 0.2, 20), 2.0),
        shaft("even-bow", "An even bow, not two limbs: the limbs leave more than the noise", nine, even, curve, 1.0),
        shaft("straight-skewed", "A straight skewed shaft: limbs leave no less than the line but for the noise", seven, even,
              bent(seven, 5000, 0, 0, skew=(0.05, -0.03), start=(20, 10)), 1.0),
    ]
    print(json.dumps(out, indent=2))


if __name__ == "__main__":
    main()
