"""Writes the vectors of strain tests as JSON on standard output.

Readings are invented with a fixed seed: a machine moves as a rigid body, some
micrometres of noise on top. Each motion is the weighted least-squares solution
of reading = n.shift + turn.(s x n), by scipy.linalg.lstsq; uncertainties come
from scipy.linalg.pinv of the weighted rows. Run with Python 3, NumPy and SciPy:
python3 piping_strain.py
"""

import json

import numpy as np
from scipy.linalg import lstsq, pinv

rng = np.random.default_rng(68604)
SOURCE = "scipy-1-10-1-linalg"


def rows(places, directions, about):
    s = places - about
    return np.hstack([directions, np.cross(s, directions)])


def spot(p):
    return {"x": [float(p[0]), "mm"], "y": [float(p[1]), "mm"], "z": [float(p[2]), "mm"]}


def number(name, value, unit, tolerance=1e-9):
    return {"name": name, "exact": float(value), "unit": unit, "tolerance": tolerance,
            "reason": "double precision, magnified by the geometry"}


def case(ident, title, n, steps, on_shaft=0):
    shaft_y, shaft_z = 400.0, 15.0
    stations = [900.0, 1050.0]
    about = np.array([stations[0], shaft_y, shaft_z])
    places = np.round(rng.uniform([0, 0, -350], [900, 700, 350], size=(n, 3)), 1)
    directions = rng.normal(size=(n, 3))
    directions /= np.linalg.norm(directions, axis=1)[:, None]
    sigma = np.round(rng.uniform(2, 6, size=n), 2)  # um
    foot, nozzle = np.array([120.0, 0, -300]), np.array([400.0, 800, 30])
    a = rows(places, directions, about) * np.array([1, 1, 1, 1e-3, 1e-3, 1e-3])  # um from um and urad
    casing = np.arange(n) >= on_shaft
    expect, logs, running = [], [], np.zeros(n)
    for k in range(steps):
        motion = np.concatenate([rng.normal(scale=30, size=3), rng.normal(scale=60, size=3)])
        before = running.copy()
        running = np.round(running + a @ motion + rng.normal(scale=3, size=n), 1)
        logs.append(running.copy())
        moved = running - before
        w = 1 / sigma[casing]
        x = lstsq(a[casing] * w[:, None], moved[casing] * w)[0]
        back = pinv(a[casing] * w[:, None])
        cov = back @ back.T
        name = f"step.{k}"
        for j, axis in enumerate("xyz"):
            expect.append(number(f"{name}.turn.{axis}", x[3 + j] / 1e3, "mm/m"))
            expect.append(number(f"{name}.turn.{axis}.sigma", np.sqrt(cov[3 + j, 3 + j]) / 1e3, "mm/m"))
        points = [("foot.0", foot), ("nozzle.0", nozzle)]
        if on_shaft == 0:
            points += [(f"coupling.{i}", np.array([s, shaft_y, shaft_z])) for i, s in enumerate(stations)]
        for label, p in points:
            g = rows(np.tile(p, (3, 1)), np.eye(3), about) * np.array([1, 1, 1, 1e-3, 1e-3, 1e-3])
            for row, way in zip(g, ("along", "up", "right")):
                expect.append(number(f"{name}.{label}.{way}", row @ x, "um", 1e-7))
                expect.append(number(f"{name}.{label}.{way}.sigma", np.sqrt(row @ cov @ row), "um", 1e-7))
        for i in np.flatnonzero(casing):
            expect.append(number(f"{name}.residual.{i}", moved[i] - a[i] @ x, "um", 1e-7))
    names = [f"dial {i + 1}" for i in range(n)]
    return {
        "id": f"piping.strain-test.{ident}", "title": title, "computation": "piping.strain-test", "flags": ["cross-library"],
        "input": {
            "indicators": [{"name": names[i], "at": spot(places[i]), "toward": directions[i].tolist(), "sigma": [float(sigma[i]), "um"],
                            "touches": "casing" if casing[i] else "shaft"} for i in range(n)],
            "shaft": spot([0, shaft_y, shaft_z]), "coupling": [[s, "mm"] for s in stations],
            "feet": [{"name": "foot", "at": spot(foot)}], "nozzles": [{"name": "nozzle", "at": spot(nozzle)}],
            "steps": [{"name": f"flange {k + 1}", "action": "tighten", "group": "flange", "of": [f"flange {k + 1}"],
                       "readings": [{"by": names[i], "shows": [float(log[i]), "um"]} for i in range(n)]} for k, log in enumerate(logs)],
        },
        "expect": expect, "source": SOURCE, "known": "derived",
    }


vectors = [
    case("scipy-six", "Six dials in any direction on a casing, no redundancy", 6, 2),
    case("scipy-nine", "Nine dials on a casing, three flanges", 9, 3),
    case("scipy-twelve", "Twelve dials, the first three of them on the shaft", 12, 2, on_shaft=3),
]
print(json.dumps({"suite": "piping/strain-scipy", "vectors": vectors}, indent=1))
