"""Writes a second set of vectors of connected piping as JSON on standard output.

Flanges are turned and shifted as bodies in space with
scipy.spatial.transform.Rotation: what a motion does to a joint is read off the
moved faces, and the motion that closes a joint is found by
scipy.optimize.least_squares. Bolt holes are fitted by numpy.linalg.lstsq, or as
positions in space. A pipe is the differential equation of the beam, solved by
scipy.integrate.solve_bvp. What an oblique dial can see is found by linprog and
lstsq. Run with Python 3, NumPy and SciPy: python3 second_piping.py
"""

import sys

import numpy as np
from scipy.integrate import quad, solve_bvp
from scipy.optimize import least_squares, linprog, minimize_scalar
from scipy.spatial.transform import Rotation

sys.dont_write_bytecode = True

from emit import number, numbers, suite, text, vector  # noqa: E402

NUMPY, FLANGE, BEAM, LINEAR = "numpy-1-24-2", "numpy-scipy-flange", "scipy-1-10-1-bvp", "scipy-1-10-1"
rng = np.random.default_rng(58021)


def mm(v):
    return [float(v), "mm"]


# ---- bolt holes


def holes(n, at, circle, offset, scatter):
    r, t = circle / 2, np.radians(at)
    turn = round(float(rng.uniform(-0.004, 0.004)), 5)
    up, right = offset
    along = np.round(r * turn - up * np.sin(t) + right * np.cos(t) + rng.normal(0, scatter, len(t)), 2)
    known = right * np.cos(t) - up * np.sin(t)
    a = np.full((len(t), 1), r)
    got = np.linalg.lstsq(a, along - known, rcond=None)[0]
    rest = along - known - a @ got
    given = {"holes": [{"at": [float(d), "deg"], "along": mm(v)} for d, v in zip(at, along)], "boltCircle": mm(circle),
             "offset": {"up": mm(up), "right": mm(right)}}
    exp = numbers({"arc": r * got[0], "worst": rest[np.argmax(np.abs(rest))], "rms": np.sqrt(rest @ rest / (len(t) - 1))}, "mm", 1e-9)
    exp.append(number("rotation", got[0], "rad", 1e-12))
    return vector(f"bolt-holes-{n}", f"{len(at)} holes of two flanges whose centres stand apart by a known offset", "piping.bolt-holes", given, exp, NUMPY, [])


def holes_in_space(n, count, circle, offset):
    """Both bolt circles as points; how far apart two fellows are along the circle is an arc about the machine's centre."""
    r, t = circle / 2, 2 * np.pi * (np.arange(count) + 0.5) / count
    turn = round(float(rng.uniform(-0.006, 0.006)), 5)

    def arcs(q):
        # x away from the machine, y up, z right: clockwise is the right-handed turn about x
        p = Rotation.from_rotvec([q, 0, 0]).apply(np.column_stack([0 * t, r * np.cos(t), r * np.sin(t)])) + [0.0, *offset]
        off = np.arctan2(p[:, 2], p[:, 1]) - t
        return r * np.arctan2(np.sin(off), np.cos(off))

    along = np.round(arcs(turn), 3)
    q = least_squares(lambda x: arcs(x[0]) - along, [0.0], method="lm", xtol=1e-15, ftol=1e-15).x[0]
    given = {"holes": [{"at": [float(np.degrees(x)), "deg"], "along": mm(v)} for x, v in zip(t, along)], "boltCircle": mm(circle),
             "offset": {"up": mm(offset[0]), "right": mm(offset[1])}}
    reason = "exact positions: the next term, offset^2/(2 radius) = %.1g mm at one hole, cancels round the circle but for its own next" % (
        np.dot(offset, offset) / circle)
    return vector(f"bolt-holes-{n}", f"{count} holes as points in space", "piping.bolt-holes", given,
                  [number("rotation", q, "rad", 2e-7, reason), number("arc", r * q, "mm", 3e-5, reason)], FLANGE)


# ---- joints in space. A frame has the rows axis (machine to pipe), up and right.


def square(axis, up):
    a = np.array(axis, float) / np.linalg.norm(axis)
    u = np.array(up, float) - np.dot(up, a) * a
    u /= np.linalg.norm(u)
    return np.array([a, u, np.cross(a, u)])


class Face:
    def __init__(self, frame, centre):
        self.frame, self.centre = frame, np.array(centre, float)

    def moved(self, about, shift, turn):
        r = Rotation.from_rotvec(turn)
        return Face(r.apply(self.frame), about + shift + r.apply(self.centre - about))


def seen(machine, pipe):
    """Mean gap, offset up and right, rotation, tilt up and right of a joint, lengths in mm."""
    d = machine.frame @ (pipe.centre - machine.centre)
    q, p = machine.frame @ pipe.frame[0], machine.frame @ pipe.frame[1]
    return np.array([d[0], d[1], d[2], np.arctan2(p[2], p[1]), -q[1] / q[0], -q[2] / q[0]])


def pipe_of(machine, want):
    """The pipe's flange that makes a joint look so."""

    def made(x):
        turn = Rotation.from_rotvec(x[3:])
        return Face(turn.apply(machine.frame), machine.centre + x[:3] * 1000)

    scale = np.array([1e-3] * 3 + [1.0] * 3)
    x = least_squares(lambda x: (seen(machine, made(x)) - want) * scale, np.zeros(6), method="lm", xtol=1e-15, ftol=1e-15, gtol=1e-15).x
    return made(x)


def place(p):
    return dict(zip("xyz", (mm(v) for v in p)))


def joint(want, gasket):
    return {
        "mean": mm(want[0]), "gasket": mm(gasket), "tilt": {"up": [float(want[4]), "1"], "right": [float(want[5]), "1"]},
        "offset": {"up": mm(want[1]), "right": mm(want[2])}, "rotation": [float(want[3]), "rad"],
    }


PORTS = [
    ("end", [1, 0, 0], [0, 1, 0], [900.0, 120.0, -40.0]), ("top", [0, 1, 0], [1, 0, 0], [600.0, 480.0, 60.0]),
    ("slanted", [1, 4, -3], [0, 1, 1], [450.0, 300.0, -280.0]), ("side", [0, 0, -2], [0, 1, 0], [300.0, 0.0, -350.0]),
]


def misfit():
    return np.concatenate([
        np.round(3 + rng.uniform(-0.8, 0.8, 1), 2), np.round(rng.uniform(-0.8, 0.8, 2), 2), np.round(rng.uniform(-0.001, 0.001, 1), 5),
        np.round(rng.uniform(-0.0008, 0.0008, 2), 5),
    ])


def flange_of(port):
    name, axis, up, centre = port
    return {"name": name, "centre": place(centre), "axis": dict(zip("xyz", axis)), "up": dict(zip("xyz", up))}


def after(n, port):
    want, gasket = misfit(), 3.0
    machine = Face(square(port[1], port[2]), port[3])
    pipe = pipe_of(machine, want)
    about = np.round(rng.uniform(-400, 400, 3))
    shift, turn = np.round(rng.uniform(-0.8, 0.8, 3), 2), np.round(rng.uniform(-6e-4, 6e-4, 3), 6)
    got = seen(machine.moved(about, shift, turn), pipe)
    reason = "turned in space: turns of 1e-3 leave their products, 1e-6 over an arm of 1.2 m and as much at the face"
    exp = numbers({"mean": got[0], "gap-error": got[0] - gasket, "offset.up": got[1], "offset.right": got[2], "offset.size": np.hypot(got[1], got[2])}, "mm", 3e-3, reason)
    exp += numbers({"tilt.up": got[4], "tilt.right": got[5]}, "1", 3e-6, reason)
    exp.append(number("rotation", got[3], "rad", 3e-6, reason))
    given = {
        "flange": flange_of(port), "joint": joint(want, gasket),
        "motion": {"about": place(about), "shift": place(shift), "turn": {k: [float(v), "rad"] for k, v in zip("xyz", turn)}},
    }
    return vector(f"flange-after-{n}", f"What a machine moved in space makes of its {port[0]} joint", "piping.flange-after", given, exp, FLANGE)


def goal(n, port):
    want, gasket = misfit(), 3.0
    machine = Face(square(port[1], port[2]), port[3])
    pipe = pipe_of(machine, want)
    at = machine.centre + want[0] * machine.frame[0]  # shifts are asked of the point where the pipe's face should be
    ideal = np.array([gasket, 0, 0, 0, 0, 0])
    scale = np.array([1.0] * 3 + [500.0] * 3)  # turns over half a metre
    x = least_squares(lambda x: (seen(machine.moved(at, x[:3], x[3:] / 500), pipe) - ideal) * scale, np.zeros(6), method="lm", xtol=1e-15, ftol=1e-15, gtol=1e-15).x
    x[3:] /= 500
    given = {
        "flange": flange_of(port), "joint": joint(want, gasket),
        "tolerance": {"gap": mm(1.5), "offset": mm(0.5), "tilt": [0.7, "mm/m"], "rotation": [0.004, "rad"]},
    }
    reason = "closed in space: turns of 1e-3 leave their products, 1e-6 of a turn and as much of each offset or of the gap"
    exp = numbers(dict(zip(("turn.x", "turn.y", "turn.z"), x[3:])), "rad", 3e-6, reason)
    along = machine.frame @ x[:3]
    exp += numbers(dict(zip(("part.gap", "part.up", "part.right"), along)), "mm", 8e-3, reason)
    turns = machine.frame @ x[3:]
    exp += numbers({"part.rotation": turns[0], "part.tilt-right": turns[1], "part.tilt-up": turns[2]}, "rad", 3e-6, reason)
    exp += numbers(dict(zip(("shift.x", "shift.y", "shift.z"), x[:3])), "mm", 8e-3, reason)
    return vector(f"nozzle-goal-{n}", f"The motion that closes the {port[0]} joint, found in space", "piping.nozzle-goal", given, exp, FLANGE)


# ---- fit-up: the figures of the joint by search, the limits from the rule as read


def fit_up(n, rule, od, circle, want, cut, limits, extra):
    """limits: quantity to limit in mm; parallelism on the given diameter."""
    machine = Face(square([1, 0, 0], [0, 1, 0]), [0, 0, 0])
    pipe = pipe_of(machine, want)
    t = np.linspace(0, 2 * np.pi, 3601)

    def gap(c):
        """Along the machine's axis from its plane to the plane of the pipe's face."""
        y, z = od / 2 * np.cos(c), od / 2 * np.sin(c)
        a = pipe.frame[0]
        return (a @ pipe.centre - a[1] * y - a[2] * z) / a[0]

    def peak(f, sign):
        best = t[np.argmax(sign * f(t))]
        return minimize_scalar(lambda c: -sign * f(c), bounds=(best - 0.01, best + 0.01), method="bounded", options={"xatol": 1e-9})

    opening = gap(peak(gap, 1).x) - gap(peak(gap, -1).x)

    def apart(c):
        """How far the pipe's hole at clock c stands from its fellow, across."""
        p = pipe.centre + pipe.frame.T @ np.array([0, circle / 2 * np.cos(c), circle / 2 * np.sin(c)])
        return np.hypot(p[1] - circle / 2 * np.cos(c), p[2] - circle / 2 * np.sin(c))

    hole = max(apart(c) for c in t)
    measured = {
        "parallelism": opening, "gap": abs(want[0] - extra["gasket"]), "centre": np.hypot(want[1], want[2]),
        "holes": hole, "rotation": abs(want[3]) * circle / 2,
    }
    reason = "searched round the faces in space: what tilt and turn do together is under 1e-3 mm of a millimetre"
    exp, over = [], False
    for name, limit in limits.items():
        exp.append(number("share." + name, measured[name] / limit, "1", 2e-3, reason))
        exp.append(text("verdict." + name, "within" if measured[name] <= limit else "over"))
        over = over or measured[name] > limit
    largest = max(measured[k] for k in ("parallelism", "gap", "centre", "rotation"))
    exp.append(number("largest", largest, "mm", 2e-3, reason))
    exp.append(text("fit", "within" if not over else "cut" if largest > cut else "move"))
    given = {"joint": joint(want, extra["gasket"]), "limits": {"rule": rule, "flangeOD": mm(od), "boltCircle": mm(circle), **extra.get("more", {})}, "cutAbove": mm(cut)}
    return vector(f"flange-fit-up-{n}", f"The faces and holes searched round the joint, held against {rule}", "piping.flange-fit-up", given, exp, FLANGE)


def fit_ups():
    rp = {"more": {"reference": "flange"}, "gasket": 3.0}
    b31 = {"gasket": 3.0}
    pcc = {"gasket": 3.0, "more": {"gasket": mm(3.0)}}
    yield fit_up(1, "api-rp-686", 480.0, 430.0, np.array([3.9, 0.5, -0.4, 0.001, 0.0006, -0.0004]), 6.0,
                 {"parallelism": 0.48, "gap": 1.5, "holes": 1.5}, rp)
    yield fit_up(2, "api-rp-686", 250.0, 210.0, np.array([4.9, -0.9, 0.8, 0.004, 0.0004, 0.0006]), 6.0,
                 {"parallelism": 0.25, "gap": 1.5, "holes": 1.5}, rp)
    yield fit_up(3, "asme-b31.3-si", 200.0, 160.0, np.array([3.2, 1.9, 2.9, -0.008, 0.004, -0.011]), 2.0,
                 {"parallelism": 2.0, "holes": 3.0}, b31)
    yield fit_up(4, "asme-pcc-1-si", 400.0, 350.0, np.array([5.5, 0.9, 0.7, 0.002, 0.001, 0.0012]), 5.0,
                 {"parallelism": 0.8, "gap": 3.0, "centre": 1.5, "holes": 3.0}, pcc)


# ---- a straight pipe as the differential equation of the beam


def beam(ei, length, end, slope, hinged):
    """Force and moment that hold the near end at (end, slope), the far one held; y'''' = 0 in units of the length."""

    def ode(x, y):
        return np.vstack([y[1], y[2], y[3], np.zeros_like(x)])

    def ends(a, b):
        return np.array([a[0] - end, a[1] - slope * length, b[0], b[2] if hinged else b[1]])

    s = solve_bvp(ode, ends, np.linspace(0, 1, 9), np.zeros((4, 9)), tol=1e-10)
    assert s.status == 0
    y = s.sol(0.0)
    return ei * y[3] / length**3, -ei * y[2] / length**2  # on the end, along y and about the third axis


def ring(outside, wall, power):
    def disc(a):
        return 2 * a ** (power + 2) * quad(lambda t: np.sin(t) ** power * np.cos(t) ** 2, -np.pi / 2, np.pi / 2)[0]

    return disc(outside / 2) - disc(outside / 2 - wall)


# Largest loads of API 610 in N and N.m, NPS 3, 6 and 8: along the nozzle, along the
# shaft, the third; resultant; MX, MY, MZ; resultant (as in vectors/piping/loads.json).
API610 = {
    3: (1330, 1070, 890, 1930, 950, 470, 720, 1280), 6: (3110, 2490, 2050, 4480, 2300, 1180, 1760, 3130),
    8: (4890, 3780, 3110, 6920, 3530, 1760, 2580, 4710),
}


def screen(n, nps, port, outside, wall, length, far, away, shift, turn):
    """mm in the input, metres inside. away is +y for a top nozzle, +z or -z for a side one."""
    e = 2.0e11
    ei, ea = e * ring(outside / 1000, wall / 1000, 2), e * ring(outside / 1000, wall / 1000, 0)
    big, u, w = length / 1000, np.array(shift) / 1000, np.array(turn)
    a = np.array(away, float)
    force, moment = -a * ea * (a @ u) / big, np.zeros(3)
    for k in range(3):
        d = np.eye(3)[k]
        if abs(d @ a) > 0.5:
            continue
        third = np.cross(a, d)  # a turn about it tips the pipe toward d
        f, m = beam(ei, big, d @ u, third @ w, far == "hinged")
        force += -f * d
        moment += -m * third
    table = API610[nps]
    # axes of the standard: X along the shaft, Y across and level, Z up
    x, y, z = force[0], -force[2], force[1]
    largest = {"top": (table[1], table[2], table[0]), "side": (table[1], table[0], table[2])}[port]
    ms = (moment[0], -moment[2], moment[1])
    shares = {
        "FX": abs(x) / largest[0], "FY": abs(y) / largest[1], "FZ": abs(z) / largest[2], "FR": np.linalg.norm(force) / table[3],
        "MX": abs(ms[0]) / table[4], "MY": abs(ms[1]) / table[5], "MZ": abs(ms[2]) / table[6], "MR": np.linalg.norm(moment) / table[7],
    }
    worst = max(shares, key=shares.get)
    reason = "the boundary value problem is solved to 1e-10"
    size = max(np.abs(force).max(), 1.0)
    exp = numbers(dict(zip(("force.x", "force.y", "force.z"), force)), "N", float(f"{size * 1e-7:.0e}"), reason)
    exp += numbers(dict(zip(("moment.x", "moment.y", "moment.z"), moment)), "N.m", float(f"{max(np.abs(moment).max(), 1.0) * 1e-7:.0e}"), reason)
    exp.append(number("portion", 1 / shares[worst], "1", float(f"{1e-7 / shares[worst]:.0e}"), reason))
    exp += [text("verdict", "within" if shares[worst] <= 1 else "over"), text("governs", worst)]
    given = {
        "pipe": {"section": {"outside": mm(outside), "wall": mm(wall)}, "modulus": [2.0e5, "MPa"], "length": mm(length), "far": far},
        "misfit": {"away": away, "shift": [mm(v) for v in shift], "turn": turn}, "nozzle": {"nps": nps, "port": port, "units": "si"},
    }
    return vector(f"misfit-screen-{n}", f"A straight pipe from a {port} nozzle as a boundary value problem, {far} at the far end", "piping.misfit-screen", given, exp, BEAM)


# ---- an oblique dial


def oblique(n, at, reading, limit, toward, least, up, right):
    look = Rotation.from_euler("x", at, degrees=True).apply([0.0, 1.0, 0.0])[1:]
    most = -linprog(-look, bounds=[(-limit, limit)] * 2, method="highs").fun
    smallest = np.linalg.lstsq(look[None, :], [reading], rcond=None)[0]  # the least norm of all that read so
    way = Rotation.from_euler("x", toward, degrees=True).apply([0.0, 1.0, 0.0])[1:]
    size = np.linalg.lstsq(np.array([[abs(look @ way)]]), [least], rcond=None)[0][0]
    blind = [np.degrees(np.arctan2(*(Rotation.from_euler("x", at + k, degrees=True).apply([0.0, 1.0, 0.0])[[2, 1]]))) % 360 for k in (90, 270)]
    exp = numbers({
        "least": np.linalg.norm(smallest), "most": most, "visible.size": size, "redundancy": reading - look @ [up, right],
    }, "mm", 1e-9)
    exp += numbers({"blind.after": blind[0], "blind.before": blind[1]}, "deg", 1e-9)
    exp += [text("verdict", "over" if abs(reading) > most else "not determined"), text("visible", "yes")]
    given = {"at": [at, "deg"], "reading": mm(reading), "limit": mm(limit), "least": mm(least), "toward": [toward, "deg"], "vertical": mm(up), "horizontal": mm(right)}
    return vector(f"oblique-{n}", f"A dial at {at:g} degrees: the most within a square of limits by linear programming", "piping.oblique", given, exp, LINEAR)


suite("piping/second-library", [
    holes(1, [22.5, 67.5, 112.5, 157.5, 202.5, 247.5, 292.5, 337.5], 432.0, (0.4, -0.7), 0.05),
    holes(2, [45, 135, 225], 180.0, (-0.3, 0.5), 0.08),
    holes_in_space(3, 8, 360.0, (0.6, -0.5)),
    holes_in_space(4, 12, 540.0, (-1.1, 0.7)),
    *(after(n, p) for n, p in enumerate(PORTS, 1)),
    *(goal(n, p) for n, p in enumerate(PORTS, 1)),
    *fit_ups(),
    screen(1, 6, "top", 168.3, 7.11, 3600.0, "anchored", [0, 1, 0], [1.2, 0.02, -0.7], [0.0008, 0, -0.0011]),
    screen(2, 3, "top", 88.9, 5.49, 5200.0, "hinged", [0, 1, 0], [0.9, -0.01, 1.6], [-0.0004, 0, 0.0006]),
    screen(3, 8, "side", 219.1, 8.18, 9000.0, "anchored", [0, 0, 1], [2.0, -1.1, 0.03], [0.0005, 0.0009, 0]),
    screen(4, 6, "side", 168.3, 7.11, 4800.0, "hinged", [0, 0, -1], [-0.6, 0.5, 0.01], [0.0, 0.0003, 0]),
    oblique(1, 45.0, 0.062, 0.05, 100.0, 0.005, 0.03, 0.05),
    oblique(2, 315.0, -0.081, 0.05, 20.0, 0.003, -0.04, 0.07),
    oblique(3, 60.0, 0.05, 0.04, 200.0, 0.002, 0.01, 0.055),
    oblique(4, 208.0, 0.031, 0.02, 0.0, 0.004, -0.02, -0.03),
])
