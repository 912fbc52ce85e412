"""Writes the flange vectors of other libraries as JSON on standard output.

Readings are invented with a fixed seed. numpy.linalg.lstsq fits planes, centres
and the motion of a casing; what a motion does to a joint is taken from exact
positions in space (scipy.spatial.transform.Rotation) by central differences, not
from formulas of small angles. Run with Python 3, NumPy and SciPy:
python3 piping_flange.py survey, the same with goal.
"""

import json
import sys

import numpy as np
from scipy.spatial.transform import Rotation

rng = np.random.default_rng(686)
FIT = "two double-precision fits of the same readings differ by rounding alone"
STEP = "derivatives by central differences are good to about ten digits"
SOURCE = "numpy-scipy-flange"


def expect(name, value, unit, tolerance, reason=FIT):
    return {"name": name, "exact": float(value), "unit": unit, "tolerance": tolerance, "reason": reason}


def vector(name, title, computation, given, out):
    return {"id": "piping." + name, "title": title, "computation": "piping." + computation, "input": given,
            "expect": out, "source": SOURCE, "known": "derived"}


def rounded(v, digits):
    return [float(x) for x in np.round(v, digits)]


def narrowest(angles):
    """Least width of the polygon of unit vectors, by brute force over directions."""
    w = np.linspace(0, np.pi, 200001)
    c = np.cos(np.subtract.outer(w, angles))
    return np.min(c.max(axis=1) - c.min(axis=1))


def survey(name, title, degrees, gaps, diameter, gasket=None):
    """Lengths in mm."""
    t = np.radians(degrees)
    r = diameter / 2
    a = np.column_stack([np.ones(len(t)), r * np.cos(t), r * np.sin(t)])
    c = np.linalg.lstsq(a, gaps, rcond=None)[0]
    rest = np.array(gaps) - a @ c
    size = np.hypot(c[1], c[2])
    out = [
        expect("mean", c[0], "mm", 1e-9),
        expect("tilt.up", c[1] * 1000, "mm/m", 1e-8),
        expect("tilt.right", c[2] * 1000, "mm/m", 1e-8),
        expect("opening", diameter * size, "mm", 1e-8),
        expect("widest", np.degrees(np.arctan2(c[2], c[1])) % 360, "deg", 1e-6),
        expect("worst", rest[np.argmax(np.abs(rest))], "mm", 1e-9),
        expect("max-minus-min", max(gaps) - min(gaps), "mm", 1e-9),
        expect("understates", 1 - narrowest(t) / 2, "1", 1e-5, "brute force over directions in steps of a millionth of a turn or so"),
    ]
    if len(gaps) > 3:
        dof = len(gaps) - 3
        sigma = np.sqrt(rest @ rest / dof)
        cov = sigma**2 * np.linalg.inv(a.T @ a)
        g = np.array([c[1], c[2]]) / size
        out += [
            expect("rms", sigma, "mm", 1e-9),
            expect("sigma.mean", np.sqrt(cov[0, 0]), "mm", 1e-9),
            expect("sigma.opening", diameter * np.sqrt(g @ cov[1:, 1:] @ g), "mm", 1e-8),
        ]
    given = {"gaps": [{"at": [float(d), "deg"], "gap": [float(v), "mm"]} for d, v in zip(degrees, gaps)],
             "diameter": [diameter, "mm"]}
    if gasket is not None:
        given["gasket"] = [gasket, "mm"]
        out.append(expect("gap-error", c[0] - gasket, "mm", 1e-9))
    return vector(name, title, "flange-survey", given, out)


def centres(name, title, degrees, steps, fit_ods):
    t = np.radians(degrees)
    a = np.column_stack([np.cos(t), np.sin(t)] + ([np.ones(len(t))] if fit_ods else []))
    c = np.linalg.lstsq(a, steps, rcond=None)[0]
    rest = np.array(steps) - a @ c
    s2 = rest @ rest / (len(t) - a.shape[1])
    cov = s2 * np.linalg.inv(a.T @ a)
    out = [
        expect("offset.up", c[0], "mm", 1e-9),
        expect("offset.right", c[1], "mm", 1e-9),
        expect("half-difference", c[2] if fit_ods else 0, "mm", 1e-9),
        expect("rms", np.sqrt(s2), "mm", 1e-9),
        expect("sigma.up", np.sqrt(cov[0, 0]), "mm", 1e-9),
        expect("sigma.right", np.sqrt(cov[1, 1]), "mm", 1e-9),
    ]
    given = {"steps": [{"at": [float(d), "deg"], "step": [float(v), "mm"]} for d, v in zip(degrees, steps)]}
    if fit_ods:
        given["fitODs"] = True
    return vector(name, title, "flange-centres", given, out)


def surveys():
    yield survey("flange-numpy.eight", "Eight gaps, a slightly dished face", list(range(0, 360, 45)),
                 rounded(3.1 + 0.12 * np.cos(np.radians(np.arange(0, 360, 45) - 130)) + 0.02 * rng.normal(size=8), 2), 273.0, 3.0)
    yield survey("flange-numpy.six", "Six gaps from 20 degrees past the top", list(range(20, 360, 60)),
                 rounded(2.0 + 0.3 * rng.normal(size=6), 2), 410.0)
    for k in range(4):
        n = int(rng.integers(4, 10))
        at = rounded(360 * (np.arange(n) + 0.8 * rng.random(n)) / n, 1)
        yield survey("flange-numpy.any-%d" % k, "%d gaps at uneven positions" % n, at, rounded(4 + 0.2 * rng.normal(size=n), 2), 320.0 + 40 * k)
    yield survey("flange-numpy.three", "Three gaps, nothing left to check", [0, 120, 240], [3.0, 3.2, 3.1], 250.0)
    yield survey("flange-numpy.five", "Five gaps, the pentagon understates by less than half its widest step says",
                 list(range(0, 360, 72)), rounded(3 + 0.1 * rng.normal(size=5), 2), 250.0)
    yield centres("flange-numpy.rim-four", "Straightedge at four points", [0, 90, 180, 270], [1.1, -0.4, -0.9, 0.5], False)
    yield centres("flange-numpy.rim-five", "Straightedge at five points, diameters to be found", [0, 70, 150, 220, 300], rounded(0.6 + rng.normal(size=5), 2), True)


def square(axis, up):
    a = np.array(axis, float) / np.linalg.norm(axis)
    u = np.array(up, float) - np.dot(up, a) * a
    u /= np.linalg.norm(u)
    return np.array([a, u, np.cross(a, u)])  # rows: axis, up, right


def seen(frame, centre, pipe_frame, pipe_centre):
    """Gap, offset up and right, rotation, tilt right and up of a joint in space."""
    d = frame @ (pipe_centre - centre)
    q = frame @ pipe_frame[0]  # the pipe's axis as the machine sees it
    p = frame @ pipe_frame[1]  # its 12 o'clock
    return np.array([d[0], d[1], d[2], np.arctan2(p[2], p[1]), -q[2] / q[0], -q[1] / q[0]])


def moved(x, about, frame, centre):
    turn = Rotation.from_rotvec(x[3:])
    return turn.apply(frame), about + turn.apply(centre - about) + x[:3]


def change(about, frame, centre, mean):
    """How the six figures of a joint that fits change with a motion of the machine."""
    pipe = centre + mean * frame[0]
    j = np.zeros((6, 6))
    h = 1e-5
    for k in range(6):
        x = np.zeros(6)
        x[k] = h
        plus = seen(*moved(x, about, frame, centre), frame, pipe)
        x[k] = -h
        minus = seen(*moved(x, about, frame, centre), frame, pipe)
        j[:, k] = (plus - minus) / (2 * h)
    return j


WAYS = ["shift-x", "shift-y", "shift-z", "turn-x", "turn-y", "turn-z"]
PARTS = ["gap", "up", "right", "rotation", "tilt-right", "tilt-up"]


def nozzle(name, centre, axis, up, asked=(True,) * 6, weight=None):
    """A joint with invented misfit, metres and radians, and the JSON that says so."""
    mean, gasket = round(0.003 + 0.001 * rng.random(), 5), 0.003
    off = rounded(0.0006 * rng.normal(size=2), 5)
    tilt = rounded(0.0006 * rng.normal(size=2), 6)  # up, right
    rotation = round(0.001 * rng.normal(), 5)
    tol = [0.0015, 0.0005, 0.0005, 0.003, 0.0007, 0.0007]
    goal = {
        "flange": {"name": name, "centre": dict(zip("xyz", [[v, "m"] for v in centre])),
                   "axis": dict(zip("xyz", axis)), "up": dict(zip("xyz", up))},
        "joint": {"mean": [mean, "m"], "gasket": [gasket, "m"], "tilt": {"up": [tilt[0], "1"], "right": [tilt[1], "1"]}},
        "tolerance": {"gap": [tol[0], "m"], "offset": [tol[1], "m"], "tilt": [tol[4], "1"], "rotation": [tol[3], "rad"]},
    }
    if asked[1]:
        goal["joint"]["offset"] = {"up": [off[0], "m"], "right": [off[1], "m"]}
    if asked[3]:
        goal["joint"]["rotation"] = [rotation, "rad"]
    if weight:
        goal["weight"] = weight
    misfit = np.array([mean - gasket, off[0], off[1], rotation, tilt[1], tilt[0]])
    return goal, (square(axis, up), np.array(centre, float), mean, misfit, np.array(tol), np.array(asked), weight or 1)


def compromise(name, title, nozzles, free, about=(0.0, 0.0, 0.0)):
    about = np.array(about, float)
    keep = [k for k in range(6) if WAYS[k] in free]
    rows, want = [], []
    for _, (frame, centre, mean, misfit, tol, asked, weight) in nozzles:
        j = change(about, frame, centre, mean)
        for i in range(6):
            if asked[i]:
                rows.append(np.sqrt(weight) * j[i, keep] / tol[i])
                want.append(-np.sqrt(weight) * misfit[i] / tol[i])
    rows, want = np.array(rows), np.array(want)
    y = np.linalg.lstsq(rows, want, rcond=1e-9)[0]
    x = np.zeros(6)
    x[keep] = y
    out = [expect(n, x[k] * 1000, "mm", 1e-6, STEP) for k, n in enumerate(["shift.x", "shift.y", "shift.z"])]
    out += [expect(n, x[k + 3], "rad", 1e-9, STEP) for k, n in enumerate(["turn.x", "turn.y", "turn.z"])]
    out.append(expect("rank", np.linalg.matrix_rank(rows, tol=1e-6 * np.linalg.norm(rows, 2)), "1", 0.5, "a whole number"))
    out.append(expect("sum-squares", np.sum((rows @ y - want) ** 2), "1", 1e-6, STEP))
    for i, (_, (frame, centre, mean, misfit, tol, asked, weight)) in enumerate(nozzles):
        left = misfit + change(about, frame, centre, mean) @ x
        left[5] = -left[5]  # the goal counts the turn about 3 o'clock: tilt up, the other way
        for k in range(6):
            if asked[k]:
                out.append(expect("left.%d.%s" % (i, PARTS[k]), left[k] * (1 if k > 2 else 1000), "rad" if k > 2 else "mm", 1e-6, STEP))
    given = {"goals": [g for g, _ in nozzles], "free": free, "about": dict(zip("xyz", [[float(v), "m"] for v in about]))}
    return vector(name, title, "nozzle-compromise", given, out)


def goals():
    suction = lambda **k: nozzle("suction", [0.9, 0.1, -0.3], [1, 0, 0], [0, 1, 0], **k)
    discharge = lambda **k: nozzle("discharge", [0.6, 0.5, 0.05], [0, 1, 0], [1, 0, 0], **k)
    slanted = lambda **k: nozzle("slanted", [0.2, 0.3, 0.4], [0.2, 0.7, 0.6], [0.1, 1, 0], **k)
    gaps = (True, False, False, False, True, True)
    yield compromise("goal-numpy.one", "One nozzle alone is closed exactly", [suction()], WAYS)
    yield compromise("goal-numpy.two", "End suction and top discharge cannot both be met", [suction(), discharge()], WAYS, (0.5, 0, 0))
    yield compromise("goal-numpy.three", "Three nozzles, one of them weighing three times as much", [suction(), discharge(weight=3.0), slanted()], WAYS)
    yield compromise("goal-numpy.gaps", "Gaps alone on three nozzles", [suction(asked=gaps), discharge(asked=gaps), slanted(asked=gaps)], WAYS)
    yield compromise("goal-numpy.held", "A machine that may not roll or move along the train", [suction(), discharge()],
                     ["shift-y", "shift-z", "turn-y", "turn-z"], (0.4, 0.1, 0))
    yield compromise("goal-numpy.vertical", "Only raising and tipping", [discharge(), slanted()], ["shift-y", "turn-z"], (0.4, 0, 0))


def main():
    kinds = {"survey": ("piping/flange-numpy", surveys), "goal": ("piping/goal", goals)}
    suite, make = kinds[sys.argv[1]]
    json.dump({"suite": suite, "vectors": list(make())}, sys.stdout, indent=1)
    print()


main()
