"""Writes a second set of runout vectors as JSON on standard output.

Distances from a chord are read off numpy.interp, the line of a shaft and all its
sweeps are fitted at once by numpy.linalg.lstsq, the extremes of a fit over the
box of both zones come from scipy.optimize.linprog (HiGHS), the advance of a hub on
its taper from scipy.optimize.brentq, and measured fits from fractions of the
standard library of Python. Run with Python 3, NumPy and SciPy:
python3 second_runout.py
"""

import sys
from fractions import Fraction

import numpy as np
from scipy.optimize import brentq, linprog

sys.dont_write_bytecode = True

from emit import number, numbers, suite, text, vector  # noqa: E402

NUMPY, HIGHS, SCIPY, PYTHON = "numpy-1-24-2", "scipy-1-10-1-linprog", "scipy-1-10-1-budgets", "python-3-11-2"
rng = np.random.default_rng(77031)


def mm(v):
    return [float(v), "mm"]


def um(v):
    return [float(v), "um"]


def chord(n, elevations, size):
    h = np.array(elevations, float)
    p = np.round(rng.uniform(-size, size, (len(h), 2)) + np.outer(h, rng.uniform(-20, 20, 2)), 1)
    low = np.argsort(h)
    ends = [low[0], low[-1]]
    line = np.column_stack([np.interp(h, h[ends], p[ends, k]) for k in (0, 1)])
    away = p - line
    far = np.linalg.norm(away, axis=1)
    worst = int(np.argmax(far))
    exp = numbers({f"away.{i}.north": a[0] for i, a in enumerate(away)} | {f"away.{i}.east": a[1] for i, a in enumerate(away)}, "um", 1e-8)
    exp += [number("farthest", far[worst], "um", 1e-8), number("farthest.elevation", h[worst], "m", 1e-12)]
    # 3 mil is the limit of straightness, as in vectors/runout/plumb.json
    exp.append(text("verdict", "within" if far[worst] <= 76.2 else "over"))
    given = {"points": [{"elevation": [float(e), "m"], "north": um(q[0]), "east": um(q[1])} for e, q in zip(h, p)]}
    return vector(f"chord-{n}", f"{len(h)} points of a vertical shaft against the chord of its ends", "runout.chord", given, exp, NUMPY)


def sweep(clocks, centre, noise):
    t = np.radians(clocks)
    v = rng.uniform(-0.1, 0.1) + centre[0] * np.cos(t) + centre[1] * np.sin(t) + rng.normal(0, noise, len(t))
    return {"unit": "mm", "readings": [[c, float(x)] for c, x in zip(clocks, np.round(v - v[0], 4) + 0.0)]}


def centre_of(s):
    """First harmonic as seen by a dial on a fixed base, the second fitted beside it: the high mark."""
    c, v = np.array(s["readings"]).T
    t = np.radians(c)
    a = np.column_stack([np.ones(len(t)), np.cos(t), np.sin(t), np.cos(2 * t), np.sin(2 * t)])
    return np.linalg.lstsq(a, v, rcond=None)[0][1:3]


LEAST = 0.0125  # mm
CAUSES = ["bent-shaft", "bored-eccentric", "bored-skewed"]


def root(r):
    return float(np.sqrt(np.mean(np.sum(np.square(r), axis=1))))


def told(line_at, hub, x):
    """The account with the fewest unknowns that leaves less than what counts, with room to either side."""
    bent = max(np.linalg.norm(line_at(s)) for s in (0.0, 100.0)) > LEAST
    base = np.array([line_at(s) for s in x]) if bent else np.zeros_like(hub)
    ones, both = np.ones((len(x), 1)), np.column_stack([np.ones(len(x)), x])
    rest = hub - base
    leaves = [root(rest)]
    leaves += [root(rest - a @ np.linalg.lstsq(a, rest, rcond=None)[0]) for a in (ones, both)]
    for names, left in zip(([], ["bored-eccentric"], ["bored-skewed"]), leaves):
        if left < 0.5 * LEAST:
            return "+".join((["bent-shaft"] if bent else []) + names) or "sound"
        assert left > 1.5 * LEAST
    return None


def hub_case(n, title, slope, offset, own, stations=(220.0, 300.0, 380.0)):
    clocks = [0, 40, 95, 150, 200, 260, 310]
    shaft_at, x = [0.0, 55.0, 100.0], list(stations)
    line = lambda s: np.array(offset) + np.array(slope) * s
    shaft = [{"station": mm(s), "sweep": sweep(clocks, line(s), 3e-4)} for s in shaft_at]
    hub = [{"station": mm(s), "sweep": sweep(clocks, line(s) + np.array(own[0]) + np.array(own[1]) * (s - 300.0), 3e-4)} for s in x]
    # the straight line through the shaft's centres
    centres = np.array([centre_of(s["sweep"]) for s in shaft])
    k = [np.polyfit(shaft_at, centres[:, i], 1) for i in (0, 1)]
    line_at = lambda s: np.array([np.polyval(k[0], s), np.polyval(k[1], s)])
    hubs = np.array([centre_of(s["sweep"]) for s in hub])
    diff = np.array([h - line_at(s) for h, s in zip(hubs, x)])
    exp = []
    for i, d in enumerate(diff):
        exp += numbers({f"difference.{i}.vertical": d[0], f"difference.{i}.horizontal": d[1], f"difference.{i}.size": np.hypot(*d),
                        f"hub.{i}.size": np.hypot(*hubs[i])}, "mm", 1e-9)
    exp += numbers({f"shaft.{i}.size": np.hypot(*c) for i, c in enumerate(centres)}, "mm", 1e-9)
    account = told(line_at, hubs, np.array(x))
    if account:
        exp += [text("account.0", account), text("verdict", "told")]
    return vector(f"hub-diagnosis-{n}", title, "runout.hub-diagnosis", {"hub": hub, "shaft": shaft}, exp, NUMPY)


def extremes(hole, shaft):
    """Interference is the shaft's deviation less the hole's, over the box of both zones."""
    bounds = [tuple(shaft), tuple(hole)]
    least = linprog([1, -1], bounds=bounds, method="highs").fun
    most = -linprog([-1, 1], bounds=bounds, method="highs").fun
    kind = "interference" if least >= 0 else "clearance" if most <= 0 else "transition"
    return numbers({"least": least, "most": most}, "um", 1e-9) + [text("kind", kind)]


def pair(n, hole, shaft):
    given = {k: {"lower": um(v[0]), "upper": um(v[1])} for k, v in (("hole", hole), ("shaft", shaft))}
    return vector(f"pair-{n}", f"Hole {hole[0]:g} to {hole[1]:g} um, shaft {shaft[0]:g} to {shaft[1]:g} um, over the box of both", "runout.pair", given, extremes(hole, shaft), HIGHS)


# Deviations in um as in the vectors of runout.zone, by zone and largest diameter of the step.
ZONES = {("H7", 50): (0, 25), ("k6", 50): (2, 18), ("p6", 80): (32, 51), ("H7", 80): (0, 30), ("n6", 30): (15, 28), ("H7", 30): (0, 21),
         ("m6", 80): (11, 30)}


def hub_fit(n, zone, step, diameter):
    exp = extremes(ZONES["H7", step], ZONES[zone, step])
    return vector(f"hub-fit-{n}", f"H7/{zone} at {diameter:g} mm: extremes over the box of both zones", "runout.hub-fit", {"zone": zone, "diameter": mm(diameter)}, exp, HIGHS)


def measured(n, shaft, bore, seat, least, most):
    s, b = Fraction(shaft), Fraction(bore)
    share = (s - b) / b * 1000  # mil per inch of bore
    exp = [number("interference", float((s - b) * 1000), "mil", 1e-7, "the difference of two lengths a thousand times as large"),
           number("per-diameter", float(share), "mil/in", 1e-7, "the difference of two lengths a thousand times as large")]
    word = "under" if share < Fraction(least) else "over" if most and share > Fraction(most) else "within"
    exp.append(text("practice", word))
    given = {"shaft": [float(shaft), "in"], "bore": [float(bore), "in"], "seat": seat}
    return vector(f"measured-fit-{n}", f"Shaft {shaft} in and bore {bore} in by fractions, {seat.replace('-', ' ')}", "runout.measured-fit", given, exp, PYTHON)


def taper(n, ratio, unit, scale, interference):
    """The hub is pushed on until the cone under each of its circles has grown by the interference."""
    cone = lambda x: 100.0 + ratio * scale * x  # mm, at x from the small end
    x = brentq(lambda a: cone(40.0 + a) - cone(40.0) - interference, 0.0, 1000.0, xtol=1e-13, rtol=1e-14)
    return vector(f"taper-seat-{n}", f"Taper {ratio} {unit}, pushed on until it grips {interference} mm", "runout.taper-seat",
                  {"taper": [ratio, unit], "interference": mm(interference)}, [number("advance", x, "mm", 1e-9)], SCIPY)


def opposite_marks(n, count, start):
    """The difference of opposite marks is twice what is left when the even waves of the section are taken out."""
    clocks = [start + 360.0 / count * i for i in range(count)]
    v = np.round(0.04 * np.cos(np.radians(np.array(clocks) - 130)) + rng.normal(0, 0.02, count), 3)
    waves = np.fft.rfft(v)
    waves[::2] = 0
    odd = np.fft.irfft(waves, count)
    half = count // 2
    runout = 2 * odd[:half]
    worst = int(np.argmax(np.abs(runout)))
    exp = numbers({f"runout.{i}": r for i, r in enumerate(runout)} | {f"bend.{i}": r / 2 for i, r in enumerate(runout)}
                  | {"largest.runout": runout[worst], "largest.bend": runout[worst] / 2}, "mm", 1e-9)
    exp += [number("largest.at", clocks[worst], "deg", 1e-9), number("understates", 1 - np.cos(np.pi / count), "1", 1e-12)]
    given = {"sweep": {"unit": "mm", "readings": [[c, float(x)] for c, x in zip(clocks, v)]}}
    return vector(f"opposite-marks-{n}", f"{count} even marks, the even waves taken out by a Fourier transform", "runout.opposite-marks", given, exp, NUMPY)


suite("runout/second-library", [
    chord(1, [12.0, 9.5, 6.0, 2.5, 0.0], 40), chord(2, [8.0, 5.0, 3.0, 0.0], 90), chord(3, [10.0, 7.0, 1.0, -4.0, -6.5, -9.0], 60),
    hub_case(1, "A bent shaft and a true hub", (2e-4, -1e-4), (0.03, 0.02), ((0.0, 0.0), (0.0, 0.0))),
    hub_case(2, "A true shaft and a hub bored off its centre", (0.0, 0.0), (0.001, -0.001), ((0.05, -0.03), (0.0, 0.0))),
    hub_case(3, "A true shaft and a hub bored askew", (0.0, 0.0), (0.0, 0.001), ((0.02, 0.03), (6e-4, -5e-4))),
    hub_case(4, "A bent shaft and a hub bored off its centre", (-2e-4, 1.5e-4), (0.05, 0.01), ((-0.06, 0.04), (0.0, 0.0))),
    hub_fit(1, "k6", 50, 42.5), hub_fit(2, "p6", 80, 75.0), hub_fit(3, "n6", 30, 25.0), hub_fit(4, "m6", 80, 60.0),
    measured(1, "3.5021", "3.4995", "straight-keyed", "0.5", "0.75"), measured(2, "6.0084", "6.0002", "straight-keyless", "1", "1.5"),
    measured(3, "4.9987", "4.9998", "straight-keyed", "0.5", "0.75"), measured(4, "5.5124", "5.4989", "taper-hydraulic", "2", "2.5"),
    opposite_marks(1, 8, 0.0), opposite_marks(2, 12, 15.0), opposite_marks(3, 6, 20.0),
    pair(1, (0, 30), (11, 30)), pair(2, (-12, 5), (21, 37)), pair(3, (4, 40), (-25, 3)), pair(4, (0, 25), (-41, -25)),
    taper(1, 0.75, "in/ft", 1 / 12, 0.18), taper(2, 0.05, "1", 1.0, 0.085), taper(3, 20.0, "mm/m", 1e-3, 0.12),
])
