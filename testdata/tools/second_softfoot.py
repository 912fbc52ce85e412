"""Writes a second set of soft foot vectors as JSON on standard output.

Planes under a foot are fitted by numpy.linalg.lstsq and their extremes over the
foot, with what a shim lifts, found by scipy.optimize.linprog (HiGHS). Twist is
taken from the null space of all planes (scipy.linalg.null_space). Stacks and
stepped shims are found by trying every one in fractions, leaf by leaf and in every
order. Run with Python 3, NumPy and SciPy: python3 second_softfoot.py
"""

import itertools
import sys
from fractions import Fraction

import numpy as np
from scipy.linalg import null_space
from scipy.optimize import linprog

sys.dont_write_bytecode = True

from emit import number, numbers, suite, text, vector  # noqa: E402

NUMPY, HIGHS, LINALG, PYTHON = "numpy-1-24-2", "scipy-1-10-1-linprog", "scipy-1-10-1-linalg", "python-3-11-2"
rng = np.random.default_rng(6174)


def mm(v):
    return [float(v), "mm"]


class Wedge:
    """The plane through the gaps at the corners, over the rectangle of the foot."""

    def __init__(self, length, width, corners):
        x, z = length / 2, width / 2
        self.half = (x, z)
        self.at = np.array([[-x, -z], [-x, z], [x, -z], [x, z]])
        a = np.column_stack([np.ones(4), self.at])
        self.mean, self.along, self.across = np.linalg.lstsq(a, corners, rcond=None)[0]
        bounds = [(-x, x), (-z, z)]
        self.tight = self.mean + linprog([self.along, self.across], bounds=bounds, method="highs").fun
        self.open = self.mean - linprog([-self.along, -self.across], bounds=bounds, method="highs").fun

    def plane(self):
        return self.mean + self.at @ [self.along, self.across]


NAMES = ["firstLeft", "firstRight", "lastLeft", "lastRight"]


def foot(length, width, corners):
    return {"length": mm(length), "width": mm(width), "corners": {k: mm(v) for k, v in zip(NAMES, corners)}}


def lifted(w, shim):
    """The least lift that lets the shim in, and the most that is open over it then."""
    room = w.plane() - shim
    lift = linprog([1.0], A_ub=-np.ones((4, 1)), b_ub=room, bounds=[(0, None)], method="highs").fun
    return lift, (room + lift).max()


def flat_shim(n, length, width, corners, shim=None):
    w = Wedge(length, width, corners)
    given = {"foot": foot(length, width, corners)}
    cases = {"tight": w.tight, "mean": w.mean, "open": w.open}
    if shim is not None:
        given["shim"], cases = mm(shim), {"flat": shim}
    exp = []
    for name, s in cases.items():
        lift, left = lifted(w, s)
        exp += numbers({name + ".shim": s, name + ".at-tight": w.tight - s, name + ".at-open": w.open - s, name + ".lift": lift, name + ".left-open": left}, "mm", 1e-9)
    return vector(f"flat-shim-{n}", "A flat shim pushed under a wedge: the least lift by linear programming", "softfoot.flat-shim", given, exp, HIGHS)


def taper(n, length, width, corners, thinnest):
    w = Wedge(length, width, corners)
    up = linprog([1.0], A_ub=-np.ones((4, 1)), b_ub=w.plane() - thinnest, bounds=[(0, None)], method="highs").fun
    exp = numbers({"thin": w.tight + up, "thick": w.open + up, "raise": up}, "mm", 1e-9)
    exp += numbers({"slope.along": w.along * 1000, "slope.across": w.across * 1000, "slope.size": np.hypot(w.along, w.across) * 1000}, "mm/m", 1e-9)
    return vector(f"taper-{n}", f"The foot lifted until a block of {thinnest} mm goes in at its tight corner", "softfoot.taper",
                  {"foot": foot(length, width, corners), "thinnest": mm(thinnest)}, exp, HIGHS)


def diagnosis(n, title, corners, rise, free, least):
    given, kinds = {}, []
    limit = 0.05 if least is None else least
    most = None
    if corners:
        w = Wedge(120.0, 90.0, corners)
        given["face"] = foot(120.0, 90.0, corners)
        most = max(corners)
        if w.tight > limit:
            kinds.append("parallel")
        if w.open - w.tight > limit:
            kinds.append("angular")
        if not kinds and most > limit:
            kinds.append("parallel")
    for name, v in (("rise", rise), ("free", free)):
        if v is not None:
            given[name] = mm(v)
    if least is not None:
        given["least"] = mm(least)
    own = rise if free is None else free
    if corners and own is not None and abs(own) > limit and most <= limit:
        kinds.append("springy")
    if rise is not None and free is not None and abs(rise - free) > limit:
        kinds.append("induced")
    verdict = "soft" if kinds else "sits"
    if not corners and (own is None or abs(own) > limit):
        verdict = "cannot-tell"
    exp = ([text("kinds", " ".join(kinds))] if kinds else []) + [text("verdict", verdict)]
    return vector(f"foot-diagnosis-{n}", title, "softfoot.foot-diagnosis", given, exp, HIGHS)


def weights(x, z):
    """What leaves every plane out, its sizes adding up to four, the first one positive."""
    w = null_space(np.vstack([np.ones(4), x / 1000, z / 1000]))[:, 0]
    return w * 4 / np.abs(w).sum() * np.sign(w[0])


def base_twist(n, points):
    x, z, h = np.array(points, float).T
    given = {"points": [{"pad": f"p{i}", "station": mm(a), "lateral": mm(b), "height": [float(v), "um"]} for i, (a, b, v) in enumerate(points)]}
    return vector(f"base-twist-{n}", "Four pads: the part of the heights that no plane has", "softfoot.base-twist", given,
                  [number("twist", weights(x, z) @ h, "um", 1e-9)], LINALG)


def twist(n, x0, length, half, what):
    x, z = np.array([x0, x0, x0 + length, x0 + length]), np.array([-half, half, half, -half])
    v = np.round(rng.uniform(0.0, 0.6, 4), 3)
    feet = [{"name": f"f{i}", "station": mm(a), "lateral": mm(b)} for i, (a, b) in enumerate(zip(x, z))]
    a = np.column_stack([np.ones(4), x - x.mean(), z])
    rest = v - a @ np.linalg.lstsq(a, v, rcond=None)[0]
    value = 4 * rest[0] * (1 if what == "heights" else -1)  # a wide gap stands over a low pad
    return vector(f"twist-{n}", f"Four {what} round a rectangle: four times what a plane leaves at the first", "softfoot.twist",
                  {"feet": feet, what: [mm(w) for w in v]}, [number("twist", value, "mm", 1e-9)], NUMPY)


def reversal(n, first, turned):
    slope, zero = np.linalg.solve([[1.0, 1.0], [-1.0, 1.0]], [first, turned])
    return vector(f"level-reversal-{n}", "Two readings of one level, turned end for end between them", "softfoot.level-reversal",
                  {"first": [first, "mm/m"], "turned": [turned, "mm/m"]}, numbers({"slope": slope, "zero-error": zero}, "mm/m", 1e-9), NUMPY)


def traverse(n, lengths, spread, start, end, slopes):
    lengths = np.array(lengths)
    given = {"start": [start, "um"], "end": [end, "um"], "legs": [], "spread": spread}
    rises = []
    for k, length in enumerate(lengths):
        leg = {"length": [float(length), "m"]}
        if k in slopes:
            s = round(float(rng.normal(0, 30)), 1)
            leg["slope"] = [s, "um/m"]
            rises.append(s * length)
        else:
            r = round(float(rng.normal(0, 50)), 1)
            leg["rise"] = [r, "um"]
            rises.append(r)
        given["legs"].append(leg)
    read = start + np.cumsum(rises)
    closure = read[-1] - end
    way = np.cumsum(lengths) if spread == "by-length" else np.arange(1, len(lengths) + 1)
    adjusted = read - np.interp(way, [0, way[-1]], [0, closure])
    exp = numbers({"closure": closure} | {f"as-read.{i}": v for i, v in enumerate(read)} | {f"adjusted.{i}": v for i, v in enumerate(adjusted)}, "um", 1e-8)
    return vector(f"level-traverse-{n}", f"{len(lengths)} legs, the closing error spread {spread.replace('-', ' ')}", "softfoot.level-traverse", given, exp, NUMPY)


def rises(n, count):
    m = np.round(np.abs(rng.normal(0, 0.02, (count, count))), 3) + np.diag(np.round(rng.uniform(0.15, 0.4, count), 3))
    m = np.round(m, 3)
    own = np.diagonal(m)
    given = {"feet": [f"f{i}" for i in range(count)], "othersTight": True, "rises": [[mm(v) for v in row] for row in m]}
    exp = numbers({f"own.{i}": v for i, v in enumerate(own)} | {"spread": np.ptp(own)}, "mm", 1e-9)
    return vector(f"rise-matrix-{n}", f"{count} bolts loosened one by one, a dial at every foot", "softfoot.rise-matrix", given, exp, NUMPY, [])


def stock(leaves, most, within):
    return {"leaves": [[float(v), "mm"] for v in leaves], "maxLeaves": most, "within": [float(within), "mm"]}


def sets(leaves, most):
    for size in range(most + 1):
        yield from itertools.combinations_with_replacement(leaves, size)


def stack(n, leaves, most, within, wanted):
    """leaves and the rest as decimal texts. Fewest leaves, then nearest, then thinner."""
    f, w, near = [Fraction(v) for v in leaves], Fraction(wanted), Fraction(within)
    best = min((s for s in sets(f, most) if abs(sum(s) - w) <= near), key=lambda s: (len(s), abs(sum(s) - w), sum(s)), default=None)
    warn = []
    if best is None:
        best, warn = min(sets(f, most), key=lambda s: (abs(sum(s) - w), sum(s))), ["shim-residual"]
    total = sum(best)
    same = [s for s in sets(f, most) if sum(s) == total]
    exp = numbers({"total": total, "error": total - w}, "mm", 1e-9)
    if len({len(s) for s in same}) == 1 or not warn:
        exp.append(number("count", len(best), "1", 1e-9, "a count"))
    if len([s for s in same if len(s) == len(best)]) == 1:
        exp += numbers({f"leaf.{i}": v for i, v in enumerate(sorted(best, reverse=True))}, "mm", 1e-9)
    return vector(f"shim-stack-{n}", f"{wanted} mm out of {len(leaves)} leaves, at most {most}: every stack tried", "softfoot.shim-stack",
                  {"stock": stock(leaves, most, within), "wanted": mm(wanted)}, exp, PYTHON, warn)


def left_open(order, tight, wide):
    """Leaves laid one on the other, each as far in as the gap has room for it; the most that is open anywhere."""
    ends, height = [], Fraction(0)
    for leaf in order:
        height += leaf
        if height > wide:
            return None
        ends.append(Fraction(1) if height <= tight else (wide - height) / (wide - tight))
    if any(a < b for a, b in zip(ends, ends[1:])):
        return None
    most = wide - height
    for s in {e for e in ends if e < 1} | {Fraction(1)}:
        past = sum((leaf for leaf, e in zip(order, ends) if e > s or s == 1 == e), Fraction(0))
        most = max(most, wide - (wide - tight) * s - past) if s < 1 else max(most, tight - past)
    return most


def stepped(n, leaves, most, within, tight, wide):
    """The wedge opens along the foot."""
    f, t, w, near = [Fraction(v) for v in leaves], Fraction(tight), Fraction(wide), Fraction(within)
    found = []
    for s in sets(f, most):
        gaps = [g for g in (left_open(o, t, w) for o in set(itertools.permutations(s))) if g is not None]
        if gaps:
            found.append((s, min(gaps)))
    good = [(len(s), g, -sum(s)) for s, g in found if g <= near]
    warn = []
    if good:
        count, gap, total = min(good)
        exp = [number("count", count, "1", 1e-9, "a count; every stack was tried in every order")]
        exp += numbers({"residual": gap, "total": -total}, "mm", 1e-9)
    else:
        warn = ["shim-residual"]
        exp = [number("residual", min(g for _, g in found), "mm", 1e-9)]
    corners = [float(tight), float(tight), float(wide), float(wide)]
    return vector(f"stepped-shim-{n}", f"From {tight} to {wide} mm out of {len(leaves)} leaves, every stack in every order", "softfoot.stepped-shim",
                  {"stock": stock(leaves, most, within), "foot": foot(150.0, 100.0, corners)}, exp, PYTHON, warn)


suite("softfoot/second-library", [
    *(base_twist(n, p) for n, p in enumerate((
        [(0, -500, 0), (0, 500, 35), (2400, 500, -12), (2400, -500, 61)],
        [(0, -400, 12), (1800, 450, -8), (100, 600, 44), (1700, -500, 3)],
        [(-300, 0, 5), (900, -700, 31), (2100, 100, -14), (800, 800, 22)],
    ), 1)),
    flat_shim(1, 150.0, 100.0, [0.11, 0.14, 0.32, 0.29]), flat_shim(2, 200.0, 120.0, [0.42, 0.2, 0.31, 0.05]),
    flat_shim(3, 120.0, 90.0, [0.1, 0.25, 0.18, 0.36], 0.2), flat_shim(4, 120.0, 90.0, [0.3, 0.35, 0.4, 0.42], 0.25),
    diagnosis(1, "An even gap", [0.21, 0.22, 0.22, 0.2], 0.2, None, None),
    diagnosis(2, "A wedge that goes with its pipe besides", [0.01, 0.16, 0.02, 0.14], 0.3, 0.12, None),
    diagnosis(3, "It moves and no gap is found", [0.02, 0.03, 0.01, 0.02], 0.11, 0.1, None),
    diagnosis(4, "Within what counts, that is given", [0.06, 0.07, 0.05, 0.08], 0.07, 0.06, 0.1),
    diagnosis(5, "A rise without gaps", None, 0.12, None, None),
    reversal(1, 0.13, -0.05), reversal(2, -0.21, -0.33), reversal(3, 0.004, 0.018),
    traverse(1, [1.2, 2.0, 0.8, 1.5], "by-length", 0.0, 0.0, ()), traverse(2, [1.0, 1.0, 2.5, 0.7, 1.3], "by-leg", 120.0, 150.0, (1, 3)),
    traverse(3, [3.0, 0.5, 1.75], "by-length", -40.0, 15.0, (0, 1, 2)),
    rises(1, 4), rises(2, 6), rises(3, 3),
    stack(1, ["0.05", "0.1", "0.2", "0.25", "0.5", "0.7", "1"], 4, "0.02", "1.37"), stack(2, ["0.127", "0.254", "0.381", "0.635"], 3, "0", "1.143"),
    stack(3, ["0.3", "0.8"], 3, "0.01", "1.47"), stack(4, ["0.025", "0.05", "0.075", "0.4", "0.9"], 5, "0.01", "2.34"),
    stepped(1, ["0.05", "0.1", "0.2"], 5, "0.06", "0.12", "0.41"), stepped(2, ["0.025", "0.05", "0.125"], 6, "0.05", "0.0", "0.2"),
    stepped(3, ["0.1", "0.15"], 4, "0.05", "0.2", "0.6"), stepped(4, ["0.05", "0.07", "0.3"], 4, "0.08", "0.31", "0.5"),
    taper(1, 160.0, 110.0, [0.4, 0.9, 1.6, 2.2], 1.5), taper(2, 120.0, 80.0, [3.1, 2.6, 3.4, 2.8], 2.0), taper(3, 200.0, 150.0, [0.0, 0.3, 0.1, 0.5], 0.8),
    twist(1, 0.0, 1100.0, 350.0, "heights"), twist(2, -600.0, 900.0, 300.0, "gaps"), twist(3, 250.0, 700.0, 500.0, "heights"),
])
