"""Writes the soft foot vectors of other libraries as JSON on standard output.

The readings are invented with a fixed seed. numpy.linalg.lstsq fits planes;
scipy.optimize.linprog finds the least distance of two parallel planes around
points (minimum zone) and the resting plane of a rigid machine (centre of
gravity as low as the pads allow). Run with Python 3, NumPy and SciPy:
python3 softfoot.py wedge, the same with base and with seat.
"""

import json
import sys

import numpy as np
from scipy.optimize import linprog

rng = np.random.default_rng(68618)
FIT = "two double-precision fits of the same readings differ by rounding alone"
PROGRAM = "the linear program is solved to a feasibility of 1e-7 in scaled numbers"


def expect(name, value, unit, tolerance, reason=FIT):
    return {"name": name, "exact": float(value), "unit": unit, "tolerance": tolerance, "reason": reason}


def vector(name, title, computation, given, out, source):
    return {"id": "softfoot." + name, "title": title, "computation": computation, "input": given,
            "expect": out, "source": source, "known": "derived"}


def plane(x, z, h):
    a = np.column_stack([np.ones(len(x)), x, z])
    c = np.linalg.lstsq(a, h, rcond=None)[0]
    return c, h - a @ c


def wedge(name, title, length, width, x, z, gap):
    """Lengths in mm."""
    c, rest = plane(x, z, gap)
    along, across = c[1] * length, c[2] * width
    half = (abs(along) + abs(across)) / 2
    out = [
        expect("mean", c[0], "mm", 1e-9),
        expect("slope.along", c[1] * 1000, "mm/m", 1e-8),
        expect("slope.across", c[2] * 1000, "mm/m", 1e-8),
        expect("slope.size", np.hypot(c[1], c[2]) * 1000, "mm/m", 1e-8),
        expect("along", along, "mm", 1e-9),
        expect("across", across, "mm", 1e-9),
        expect("tight", c[0] - half, "mm", 1e-9),
        expect("open", c[0] + half, "mm", 1e-9),
        expect("range", 2 * half, "mm", 1e-9),
        expect("rest.rms", np.sqrt(np.mean(rest**2)), "mm", 1e-9),
        expect("rest.worst", rest[np.argmax(np.abs(rest))], "mm", 1e-9),
    ]
    points = [{"along": [float(p), "mm"], "across": [float(q), "mm"], "gap": [float(g), "mm"]}
              for p, q, g in zip(x, z, gap)]
    given = {"foot": {"length": [length, "mm"], "width": [width, "mm"], "points": points}}
    return vector("wedge.numpy-" + name, title, "softfoot.wedge", given, out, "numpy-1-24-2")


def wedges():
    def made(n, length, width, noise):
        x = np.round((rng.random(n) - 0.5) * length, 1)
        z = np.round((rng.random(n) - 0.5) * width, 1)
        s = (rng.random(2) - 0.5) * 0.4 / np.array([length, width])
        return x, z, np.round(0.4 + s[0] * x + s[1] * z + noise * rng.standard_normal(n), 3)

    return [
        wedge("five", "Five feeler readings anywhere under a foot", 120, 80, *made(5, 120, 80, 0.01)),
        wedge("nine", "Nine readings under a long foot", 300, 90, *made(9, 300, 90, 0.02)),
        wedge("twelve", "Twelve readings under a foot that is bent", 160, 160, *made(12, 160, 160, 0.05)),
        wedge("three", "Three readings leave nothing over", 100, 70, np.array([-45.0, 40.0, 5.0]),
              np.array([-30.0, -20.0, 33.0]), np.array([0.12, 0.31, 0.22])),
    ]


def zone(x, z, h):
    """Least width w of a slab c <= h - ax - bz <= c + w, in micrometres over metres."""
    n, one = len(x), np.ones(len(x))
    above = np.column_stack([x, z, one, 0 * one])
    below = np.column_stack([-x, -z, -one, -one])
    r = linprog([0, 0, 0, 1], A_ub=np.vstack([above, below]), b_ub=np.concatenate([h, -h]),
                bounds=[(None, None)] * 3 + [(0, None)], method="highs-ds")
    assert r.status == 0 and n >= 3
    return r.fun, r.x


def base(name, title, pads, x, z, h):
    """Places in m, heights in um."""
    c, rest = plane(x, z, h)
    width, fit = zone(x, z, h)
    span = max(np.hypot(x[i] - x[j], z[i] - z[j]) for i in range(len(x)) for j in range(i))
    names = list(dict.fromkeys(pads))
    mean = [np.mean([v for p, v in zip(pads, h) if p == n]) for n in names]
    off = [np.mean([v for p, v in zip(pads, rest) if p == n]) for n in names]
    out = [
        expect("plane.along", c[1], "um/m", 1e-7),
        expect("plane.across", c[2], "um/m", 1e-7),
        expect("plane.slope", np.hypot(c[1], c[2]), "um/m", 1e-7),
        expect("plane.height", c[0], "um", 1e-7),
        expect("plane.rms", np.sqrt(np.mean(rest**2)), "um", 1e-7),
        expect("plane.lowest", rest.min(), "um", 1e-7),
        expect("plane.highest", rest.max(), "um", 1e-7),
        expect("flatness", width, "um", 1e-5, PROGRAM),
        expect("flatness.per-length", width / span, "um/m", 1e-5, PROGRAM),
        expect("zone.along", fit[0], "um/m", 1e-4, PROGRAM),
        expect("zone.across", fit[1], "um/m", 1e-4, PROGRAM),
        expect("span", span, "m", 1e-12),
        expect("elevation", np.ptp(h), "um", 1e-7),
        expect("pad-elevation", np.ptp(mean), "um", 1e-7),
        expect("coplanarity", np.ptp(off), "um", 1e-7),
    ]
    for i in range(len(names)):
        out += [expect(f"pad.{i}.mean", mean[i], "um", 1e-7), expect(f"pad.{i}.off", off[i], "um", 1e-7)]
    points = [{"pad": p, "station": [float(a), "m"], "lateral": [float(b), "m"], "height": [float(v), "um"]}
              for p, a, b, v in zip(pads, x, z, h)]
    return vector("base.scipy-" + name, title, "softfoot.base-survey", {"points": points}, out, "scipy-1-10-1")


def bases():
    def pads(stations, laterals, each):
        names, x, z = [], [], []
        for i, s in enumerate(stations):
            for j, t in enumerate(laterals):
                for _ in range(each):
                    names.append("pad " + str(len(laterals) * i + j + 1))
                    x.append(s + 0.1 * (rng.random() - 0.5))
                    z.append(t + 0.06 * (rng.random() - 0.5))
        x, z = np.round(x, 3), np.round(z, 3)
        s = 300 * (rng.random(2) - 0.5)
        h = np.round(s[0] * x + s[1] * z + 40 * rng.standard_normal(len(x)), 1)
        return names, x, z, h

    return [
        base("four-pads", "Four pads of four points each", *pads([0, 1.2], [-0.4, 0.4], 4)),
        base("eight-pads", "Eight pads under pump and motor", *pads([0.2, 0.8, 1.5, 2.4], [-0.35, 0.35], 3)),
        base("one-point", "Six pads of one point each", *pads([0, 0.9, 1.8], [-0.5, 0.5], 1)),
        base("many", "Sixty points on a long soleplate", *pads([0, 1, 2, 3, 4], [-0.6, 0, 0.6], 4)),
    ]


def seat(name, title, x, z, h, centre, gaps=False):
    """Places in m, heights in um. With gaps the values are free gaps, -h."""
    cx, cz = (x.mean(), z.mean()) if centre is None else centre
    a = -np.column_stack([np.ones(len(x)), x - cx, z - cz])
    r = linprog([1, 0, 0], A_ub=a, b_ub=-h, bounds=[(None, None)] * 3, method="highs-ds")
    assert r.status == 0
    gap = -a @ r.x - h
    on = np.flatnonzero(gap < 1e-6)
    assert len(on) == 3 and np.sort(gap)[3] > 0.1  # one way to rest, on three feet
    load = -r.ineqlin.marginals  # the price of height at a foot is its share of the weight
    out = [
        expect("rests", 1, "1", 1e-12),
        {"name": "rest.0.carrying", "text": " ".join("foot" + str(i + 1) for i in on)},
        expect("rest.0.height", r.x[0], "um", 1e-6, PROGRAM),
        expect("rest.0.along", r.x[1], "um/m", 1e-5, PROGRAM),
        expect("rest.0.across", r.x[2], "um/m", 1e-5, PROGRAM),
    ]
    out += [expect(f"rest.0.gap.{i}", max(0.0, g), "um", 1e-5, PROGRAM) for i, g in enumerate(gap)]
    out += [expect(f"rest.0.load.{i}", load[i], "1", 1e-9, PROGRAM) for i in on]
    feet = [{"name": "foot" + str(i + 1), "station": [float(p), "m"], "lateral": [float(q), "m"]}
            for i, (p, q) in enumerate(zip(x, z))]
    values = [[float(v), "um"] for v in (-h if gaps else h)]
    given = {"feet": feet, ("gaps" if gaps else "heights"): values}
    if centre is not None:
        given["centre"] = {"station": [float(cx), "m"], "lateral": [float(cz), "m"]}
    return vector("seat.scipy-" + name, title, "softfoot.seat", given, out, "scipy-1-10-1")


def seats():
    def heights(n):
        return np.round(100 * rng.standard_normal(n), 1)

    def row(n, l=0.3):
        return np.repeat(np.linspace(0, 0.4 * (n // 2 - 1), n // 2), 2), np.tile([-l, l], n // 2)

    out = []
    for n, word in ((4, "Four"), (6, "Six"), (8, "Eight"), (12, "Twelve")):
        x, z = row(n)
        at = (round(x.mean() + 0.07, 3), 0.031)
        out.append(seat(f"{n}-feet", f"{word} feet in two rows, heights of pads given", x, z, heights(n), at))
    x, z = row(4)
    out.append(seat("gaps", "Four feet, free gaps given", x, z, -np.abs(heights(4)), (0.23, -0.02), True))
    x = np.array([0.0, 0.1, 0.9, 1.0, 0.5])
    z = np.array([-0.4, 0.5, -0.45, 0.38, -0.6])
    out.append(seat("odd", "Five feet in no order, centre of gravity not known", x, z, heights(5), None))
    x, z = np.round(rng.random(9), 3), np.round(rng.random(9) - 0.5, 3)
    out.append(seat("nine", "Nine feet anywhere", x, z, heights(9), (round(x.mean(), 3), round(z.mean(), 3))))
    return out


if __name__ == "__main__":
    made = {"wedge": wedges, "base": bases, "seat": seats}[sys.argv[1]]()
    print(json.dumps(made, indent=2))
