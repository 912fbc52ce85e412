"""Writes vectors of pipes as springs and of nozzle loads as JSON on standard output.

Pipes are cut into short Euler-Bernoulli frame elements in space; the stiffness
matrix is assembled and solved by numpy.linalg.solve with the end at the nozzle
moved and turned as given and the far end held. No closed form of the ends is
used. Moduli are read with numpy.interp, moments carried with numpy.cross. All
sizes and loads are invented. Run with Python 3 and NumPy:
python3 piping_loads.py
"""

import json
import re

import numpy as np

SOURCE = "numpy-1-24-2-frames"
SOLVED = "a solve of some fifty equations in double precision"
SUMMED = "double-precision sums, and the conversion of units"
INCH = 0.0254
LBF = 4.4482216152605


def element(e, g, area, inertia, length):
    """Stiffness of a frame element along its own x, twelve by twelve."""
    k = np.zeros((12, 12))
    a, t = e * area / length, g * 2 * inertia / length
    for i, s in ((0, a), (3, t)):
        k[i, i] = k[i + 6, i + 6] = s
        k[i, i + 6] = k[i + 6, i] = -s
    ei = e * inertia
    b = ei * np.array([
        [12 / length**3, 6 / length**2, -12 / length**3, 6 / length**2],
        [6 / length**2, 4 / length, -6 / length**2, 2 / length],
        [-12 / length**3, -6 / length**2, 12 / length**3, -6 / length**2],
        [6 / length**2, 2 / length, -6 / length**2, 4 / length],
    ])
    y, z = [1, 5, 7, 11], [2, 4, 8, 10]
    k[np.ix_(y, y)] += b
    sign = np.diag([1, -1, 1, -1])  # turning about y carries the end toward -z
    k[np.ix_(z, z)] += sign @ b @ sign
    return k


def axes(away):
    x = np.array(away) / np.linalg.norm(away)
    y = np.cross([0.3, -0.5, 0.8], x)
    y /= np.linalg.norm(y)
    return np.array([x, y, np.cross(x, y)])


def reactions(pipe, away, shift, turn, parts=8):
    """Load of the pipe on the nozzle, and at the far end, in the frame of the train."""
    outside, inside = pipe["outside"], pipe["outside"] - 2 * pipe["wall"]
    area, inertia = np.pi / 4 * (outside**2 - inside**2), np.pi / 64 * (outside**4 - inside**4)
    e = pipe["modulus"]
    rotate = np.kron(np.eye(4), axes(away))
    small = rotate.T @ element(e, e / 2 / (1 + pipe["poisson"]), area, inertia, pipe["length"] / parts) @ rotate
    n = 6 * (parts + 1)
    k = np.zeros((n, n))
    for i in range(parts):
        k[6 * i:6 * i + 12, 6 * i:6 * i + 12] += small
    far = np.arange(n - 6, n)
    release = np.zeros((0, n))
    if pipe["far"] == "hinged":  # free to turn across the pipe
        release = np.zeros((2, n))
        release[:, n - 3:] = axes(away)[1:]
    # The unknown degrees of freedom: all between the ends, and the released turns.
    basis = np.vstack([np.eye(n)[6:n - 6], release])
    held = np.zeros(n)
    held[:6] = [*shift, *turn]
    free = np.linalg.solve(basis @ k @ basis.T, -basis @ k @ held)
    load = k @ (held + basis.T @ free)
    return -load[:6], load[far]


def inputs(pipe, u):
    """The pipe with its sizes in metres or inches."""
    one, name, press = (INCH, "in", LBF / INCH**2) if u == "in" else (1e-3, "mm", 1e6)
    given = {
        "section": {"outside": [pipe["outside"], name], "wall": [pipe["wall"], name]},
        "modulus": [pipe["modulus"], "psi" if u == "in" else "MPa"],
        "length": [pipe["length"], name], "far": pipe["far"], "poisson": pipe["poisson"],
    }
    si = dict(pipe, outside=pipe["outside"] * one, wall=pipe["wall"] * one, length=pipe["length"] * one,
              modulus=pipe["modulus"] * press)
    return given, si, one, name


def value(name, exact, unit, tolerance, reason):
    return {"name": name, "exact": float(exact), "unit": unit, "tolerance": float(f"{tolerance:.1g}"), "reason": reason}


def vector(name, title, computation, given, expect, warnings=()):
    return {"id": f"piping.{computation}.numpy-{name}", "title": title, "computation": "piping." + computation,
            "input": given, "expect": expect, "warnings": list(warnings), "source": SOURCE, "known": "derived"}


def frame(name, title, pipe, u, away, shift, turn):
    given, si, one, length = inputs(pipe, u)
    load, _ = reactions(si, away, np.array(shift) * one, turn)
    f, m = max(abs(load[:3])), max(abs(load[3:]))
    expect = [value("force." + a, load[i], "N", 1e-8 * f, SOLVED) for i, a in enumerate("xyz")]
    expect += [value("moment." + a, load[3 + i], "N.m", 1e-8 * m, SOLVED) for i, a in enumerate("xyz")]
    expect.append(value("force.resultant", np.linalg.norm(load[:3]), "N", 1e-8 * f, SOLVED))
    expect.append(value("moment.resultant", np.linalg.norm(load[3:]), "N.m", 1e-8 * m, SOLVED))
    misfit = {"away": away, "shift": [[v, length] for v in shift], "turn": turn}
    return vector(name, title, "nozzle-load", {"pipe": given, "misfit": misfit}, expect)


def closing(name, title, pipe, u, offset=0.0, tilt=0.0):
    """One plane: the pipe runs along x, the offset is up and the tilt lifts."""
    given, si, one, length = inputs(pipe, u)
    near, far = reactions(si, [1, 0, 0], [0, offset * one, 0], [0, 0, tilt])
    inside = si["outside"] - 2 * si["wall"]
    modulus = np.pi / 32 * (si["outside"]**4 - inside**4) / si["outside"]
    force, moment, end = -near[1], -near[5], far[5]
    size = max(abs(moment), abs(end))
    expect = [value("force", force, "N", 1e-8 * abs(force), SOLVED), value("moment", moment, "N.m", 1e-8 * size, SOLVED),
              value("far-moment", end, "N.m", 1e-8 * size, SOLVED),
              value("stress", size / modulus / 1e6, "MPa", 1e-8 * size / modulus / 1e6, SOLVED)]
    given = {"pipe": given}
    if offset:
        given["offset"] = [offset, length]
    if tilt:
        given["tilt"] = [tilt * 1000, "mm/m"]
    return vector(name, title, "closing", given, expect)


STEEL = [29.3, 28.6, 28.1, 27.5, 27.1, 26.5, 25.3, 24.0, 22.3, 20.2, 17.9, 15.4]
AT = [70, *range(200, 1300, 100)]


def modulus(t):
    given = {"name": "carbon steel", "variant": "over 0.30 % carbon", "at": [t, "degF"]}
    inside = AT[0] <= t <= AT[-1]
    expect = [value("modulus", np.interp(t, AT, STEEL) * 1e6, "psi", 1e-2, SUMMED)]
    return vector(f"{abs(t):g}-f".replace(".", "-"), f"Modulus of carbon steel at {t:g} degF", "modulus", given, expect,
                  () if inside else ["modulus-out-of-range"])


def triple(v, unit):
    return [[float(x), unit] for x in v]


def turbine(name, title, standard, sizes, loads, arms):
    us = standard != "api-617-si"
    f_unit, m_unit, d_unit = ("lbf", "lbf.ft", "in") if us else ("N", "N.m", "mm")
    force, moment = np.zeros(3), np.zeros(3)
    for (f, m), arm in zip(loads, arms):
        force += f
        moment += np.array(m) + np.cross(np.array(arm) / (12 if us else 1000), f)
    given = {"rule": {"standard": standard}, "connections": [
        {"nominal": [s, d_unit], "load": {"force": triple(f, f_unit), "moment": triple(m, m_unit)},
         "centre": triple(a, d_unit)} for s, (f, m), a in zip(sizes, loads, arms)]}
    total, joint, third = np.linalg.norm(sizes), *((9, 18) if us else (230, 460))
    d = total if total <= joint else (third + total) / 3
    a, b, k = {"nema-sm-23": (2, 1, 250), "api-617-us": (2, 1, 462), "api-617-si": (1, 1.64, 40.4)}[standard]
    measured = a * np.linalg.norm(force) + b * np.linalg.norm(moment)
    s_unit = m_unit if us else f_unit
    expect = [value("combined.force." + x, force[i], f_unit, 1e-8 * np.linalg.norm(force), SUMMED) for i, x in enumerate("xyz")]
    expect += [value("combined.moment." + x, moment[i], m_unit, 1e-8 * np.linalg.norm(moment), SUMMED) for i, x in enumerate("xyz")]
    expect += [value("combined.diameter", d, d_unit, 1e-9 * d, SUMMED),
               value("combined.resultant.measured", measured, s_unit, 1e-8 * measured, SUMMED),
               value("combined.resultant.limit", k * d, s_unit, 1e-8 * measured, SUMMED),
               {"name": "combined.resultant.verdict", "text": "within" if measured <= k * d else "over"}]
    return vector(name, title, "connections", given, expect)


def main():
    six = {"outside": 6.625, "wall": 0.28, "length": 143.0, "modulus": 29.1e6, "far": "anchored", "poisson": 0.3}
    dn100 = {"outside": 114.3, "wall": 6.02, "length": 2750.0, "modulus": 201500.0, "far": "anchored", "poisson": 0.29}
    hinge6, hinge100 = dict(six, far="hinged"), dict(dn100, far="hinged")
    out = [
        closing("offset-anchored-in", "An offset closed over an anchored run", six, "in", offset=0.09),
        closing("offset-hinged-in", "The same with a hinged far end", hinge6, "in", offset=0.09),
        closing("offset-anchored-mm", "An offset closed over an anchored run, metric", dn100, "mm", offset=-2.4),
        closing("tilt-anchored-in", "A tilt closed over an anchored run", six, "in", tilt=0.0021),
        closing("tilt-hinged-in", "The same tilt with a hinged far end", hinge6, "in", tilt=0.0021),
        closing("tilt-hinged-mm", "A tilt closed with a hinged far end, metric", hinge100, "mm", tilt=-0.0034),
        frame("up-from-top", "A riser from a top nozzle, sideways and tilted", six, "in", [0, 1, 0], [0.06, 0.002, -0.04], [0.001, 0, -0.0007]),
        frame("along-shaft", "A run along the shaft, all six ways", dn100, "mm", [-1, 0, 0], [0.05, 1.4, -0.9], [0.0011, -0.0016, 0.0008]),
        frame("across-hinged", "A run to the right, hinged", hinge100, "mm", [0, 0, 1], [1.1, -0.7, 0.03], [0.002, 0.0009, -0.0013]),
        frame("skew", "A run in no direction of the frame", six, "in", [0.36, 0.48, -0.8], [0.03, -0.05, 0.02], [0.0012, 0.0004, -0.0009]),
        frame("skew-hinged", "The same, hinged", hinge6, "in", [0.36, 0.48, -0.8], [0.03, -0.05, 0.02], [0.0012, 0.0004, -0.0009]),
        frame("turn-alone", "Nothing but a turn about the pipe", dn100, "mm", [0, 1, 0], [0, 0, 0], [0, 0.0025, 0]),
    ]
    out += [modulus(t) for t in (85.0, 250.0, 437.5, 650.0, 1111.0, 1350.0, -20.0)]
    out += [
        turbine("turbine-small", "A small turbine, inlet and exhaust", "nema-sm-23", [4, 8],
                [([120, -90, 60], [80, -40, 110]), ([-70, 210, 45], [-150, 60, 30])], [[14, 22, -9], [0, 0, 0]]),
        turbine("turbine-large", "A larger turbine over the rule", "nema-sm-23", [6, 12],
                [([310, 260, -180], [240, 420, -95]), ([-95, 640, 230], [310, -260, 505])], [[20, 31, -12], [0, 0, 0]]),
        turbine("compressor-us", "A compressor, suction and discharge", "api-617-us", [10, 8],
                [([410, -520, 260], [900, -340, 510]), ([-300, 180, 95], [-420, 130, 280])], [[0, 0, 0], [31, -4, 6]]),
        turbine("compressor-si", "A compressor in SI units", "api-617-si", [300, 200],
                [([1900, -2400, 1100], [1250, -600, 700]), ([-1300, 800, 450], [-580, 190, 360])], [[0, 0, 0], [790, -105, 150]]),
    ]
    text = json.dumps({"suite": "piping/beams-numpy", "vectors": out}, indent=2)
    text = re.sub(r"\[\s+([^][{}]*?)\s+\]", lambda m: "[" + re.sub(r"\s*\n\s*", " ", m[1]) + "]", text)
    text = re.sub(r"\[\s+((?:\[[^][]*\],?\s*)+?)\s+\]", lambda m: "[" + re.sub(r"\s*\n\s*", " ", m[1]) + "]", text)
    print(re.sub(r"\{\s+(\"name\"[^{}]*?)\s+\}", lambda m: "{" + re.sub(r"\s*\n\s*", " ", m[1]) + "}", text))


main()
