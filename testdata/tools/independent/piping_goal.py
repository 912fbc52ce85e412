"""Where a nozzle, or a machine with all its nozzles, would have to go.

Definitions: testdata/README.md, "Where the machine would have to go".

Formulas, from first principles: with a the axis toward the pipe, u up (toward 12
o'clock), r = a x u to the right, and m the movement of the point of the machine
where the pipe's face meets the axis (nozzle + mean a), the gap closes by m.a, the
pipe flange goes by -m.u and -m.r; a turn w opens the gap toward 12 by w.r and
toward 3 by -w.u, and takes w.a off the rotation.
"""

import math

import common as c
from common import ANGLE, Fault, LENGTH, NUMBER, RATIO, TEXT, listof, opt, record, word
from piping_flange import JOINT, SLACK, check_joint

PLACE = record({"x": LENGTH, "y": LENGTH, "z": LENGTH})
DIRECTION = record({"x": NUMBER, "y": NUMBER, "z": NUMBER})
PAIR = record({"name": opt(TEXT), "centre": PLACE, "axis": DIRECTION, "up": DIRECTION})
TOLERANCE = record({"gap": opt(LENGTH), "offset": opt(LENGTH), "tilt": opt(RATIO), "rotation": opt(ANGLE)})
GOAL = {"flange": PAIR, "joint": JOINT, "tolerance": TOLERANCE, "weight": opt(NUMBER)}
PARTS = ("gap", "up", "right", "rotation", "tilt-right", "tilt-up")
FAR = 10000.0  # m; no source
SMALL_TURN = 0.1  # rad; no source
MOST_GOALS = 64


def vec(p):
    return [p.x, p.y, p.z]


def unit(d):
    n = c.norm(vec(d))
    if n == 0:
        raise Fault("missing", "a direction without length")
    return c.scale(vec(d), 1 / n)


def frame(pair):
    """Centre, axis, up and right of a flange; up is turned square to the axis."""
    a, u = unit(pair.axis), unit(pair.up)
    if any(abs(x) > FAR for x in vec(pair.centre)):
        raise Fault("out-of-range", "centre")
    u = c.sub(u, c.scale(a, c.dot(a, u)))
    if c.norm(u) < 0.1:
        raise Fault("out-of-range", "12 o'clock along the axis")
    u = c.scale(u, 1 / c.norm(u))
    return vec(pair.centre), a, u, c.cross(a, u)


def effects(pair, mean, about):
    """What shift and turn do: for each part the row over (shift, turn about `about`)."""
    centre, a, u, r = frame(pair)
    point = c.sub(c.add(centre, c.scale(a, mean)), about)
    moved = lambda e: list(e) + c.cross(point, e)  # e . (shift + turn x point)
    zero = [0.0] * 3
    return {"gap": moved(a), "up": moved(u), "right": moved(r), "rotation": zero + list(a),
            "tilt-right": zero + list(u), "tilt-up": zero + list(r)}


def asked(j):
    """The movement of the nozzle that closes each part that was measured."""
    out = {}
    if j.gasket is not None:
        out["gap"] = j.mean - j.gasket
    if j.offset is not None:
        out["up"], out["right"] = j.offset.up, j.offset.right
    if j.rotation is not None:
        out["rotation"] = j.rotation
    out["tilt-right"], out["tilt-up"] = j.tilt.right, -j.tilt.up
    return {k: out[k] for k in PARTS if k in out}


def goal_of(g):
    """(frame effects about a point, asked, tolerances, weight)"""
    want = asked(check_joint(g.joint))
    frame(g.flange)
    t = {}
    for k in want:
        name = {"gap": "gap", "up": "offset", "right": "offset", "rotation": "rotation"}.get(k, "tilt")
        tol = c.require(g.tolerance[name], "tolerance." + name)
        if c.not_negative(tol, "tolerance") == 0:
            raise Fault("missing", "tolerance." + name)
        t[k] = tol
    weight = 1.0 if g.weight is None else c.not_negative(g.weight, "weight")
    return want, t, weight


def motion_results(x):
    names = ["shift.x", "shift.y", "shift.z", "turn.x", "turn.y", "turn.z"]
    return dict(zip(names, x))


def nozzle_goal(v):
    g = record(GOAL)(v)
    want, _, _ = goal_of(g)
    _, a, u, r = frame(g.flange)
    pick = lambda k: want.get(k, 0.0)
    shift = c.add(c.add(c.scale(a, pick("gap")), c.scale(u, pick("up"))), c.scale(r, pick("right")))
    turn = c.add(c.add(c.scale(a, pick("rotation")), c.scale(u, pick("tilt-right"))), c.scale(r, pick("tilt-up")))
    out = motion_results(shift + turn)
    out.update({"part." + k: x for k, x in want.items()})
    out["asked"] = " ".join(want)
    return out, []


def flange_after(v):
    motion = record({"about": PLACE, "shift": PLACE, "turn": record({"x": ANGLE, "y": ANGLE, "z": ANGLE})})
    d = record({"flange": PAIR, "joint": JOINT, "motion": motion})(v)
    j = check_joint(d.joint)
    x = vec(d.motion.shift) + vec(d.motion.turn)
    if c.norm(x[3:]) > SMALL_TURN:
        raise Fault("out-of-range", "a turn that is not small")
    done = {k: c.dot(row, x) for k, row in effects(d.flange, j.mean, vec(d.motion.about)).items()}
    out = {"mean": j.mean - done["gap"], "tilt.right": j.tilt.right - done["tilt-right"],
           "tilt.up": j.tilt.up + done["tilt-up"]}
    if j.gasket is not None:
        out["gap-error"] = out["mean"] - j.gasket
    if j.offset is not None:
        off = [j.offset.up - done["up"], j.offset.right - done["right"]]
        out["offset.up"], out["offset.right"], out["offset.size"] = off[0], off[1], c.norm(off)
    if j.rotation is not None:
        out["rotation"] = j.rotation - done["rotation"]
    return out, []


WAYS = ("shift-x", "shift-y", "shift-z", "turn-x", "turn-y", "turn-z")


def nozzle_compromise(v):
    """The motion with the least sum of weight times (left over tolerance) squared."""
    d = record({"goals": listof(record(GOAL)), "free": listof(word(*WAYS)), "about": PLACE})(v)
    if not d.goals:
        raise Fault("missing", "goals")
    if len(d.goals) > MOST_GOALS:
        raise Fault("out-of-range", "goals")
    goals = [goal_of(g) for g in d.goals]
    use = [i for i, w in enumerate(WAYS) if w in d.free]
    if not use:
        raise Fault("undetermined", "no way is free")
    rows, values, tags = [], [], []
    for i, (g, (want, tol, weight)) in enumerate(zip(d.goals, goals)):
        eff = effects(g.flange, g.joint.mean, vec(d.about))
        for k, x in want.items():
            w = math.sqrt(weight) / tol[k]
            rows.append([w * eff[k][m] for m in use])
            values.append(w * x)
            tags.append((i, k, eff[k], x))
    # Turns in units that move the farthest nozzle as far as a shift would.
    reach = max([math.dist(vec(g.flange.centre), vec(d.about)) for g in d.goals] + [0.1])
    units = [1.0 if m < 3 else 1 / reach for m in use]
    scaled = [[x * s for x, s in zip(r, units)] for r in rows]
    back = c.pinv(scaled)
    y = c.matvec(back, values)
    _, s, _ = c.svd(scaled)
    motion = [0.0] * 6
    for m, x, k in zip(use, y, units):
        motion[m] = x * k
    out = motion_results(motion)
    out["rank"] = float(sum(1 for x in s if x > 1e-10 * s[0]))
    left = [val - c.dot(r, y) for r, val in zip(scaled, values)]
    out["sum-squares"] = c.dot(left, left)
    out["within"] = "true" if all(abs(x - c.dot(e, motion)) <= goals[i][1][k] * (1 + SLACK) for i, k, e, x in tags) \
        else "false"
    for i, k, e, x in tags:
        out["left.%d.%s" % (i, k)] = x - c.dot(e, motion)
    return out, []


COMPUTATIONS = {
    "piping.nozzle-goal": nozzle_goal,
    "piping.flange-after": flange_after,
    "piping.nozzle-compromise": nozzle_compromise,
}
