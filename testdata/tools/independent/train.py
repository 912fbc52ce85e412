"""A train of rigid machines, and where everything stands after motions.

Definitions: testdata/README.md, "Planning moves" and "Where the machine would have
to go". Millimetres, and milliradians, are used throughout, so that a turn times a
way in metres is a movement.

A point r of a machine moves by shift + turn x (r - about) (rigid body, small
motions). The misalignment after motions is

    e(x) = found(x) + state(x) + far motion(x) - near motion(x)

with the motion of a shaft that of the point (x, height, lateral) of its machine.
"""

import math

from axis import SMALL_AXIS
from common import (ANGLE, BOOL, INT, LENGTH, NUMBER, RATIO, TEXT, Fault, cross, dot, listof, norm, not_negative, opt,
                    or_null, positive, record, to_si, unit_kind)

WAYS = ("shift-x", "shift-y", "shift-z", "turn-x", "turn-y", "turn-z")
PARTS = ("gap", "offset-up", "offset-right", "tilt-up", "tilt-right", "rotation")
MOST_MACHINES, MOST_FEET = 12, 16
FARTHEST = 1e4  # m; a train is not that long (own choice)
HEAVIEST, WIDEST = 1e3, 100.0  # a weight, a widened limit (own choice)
KEPT = 1e-9  # a limit is kept to that part
STILL = 1e-3  # mm; a foot that moves by less is not touched


def way(v, path):
    """The name of a way to move as its number."""
    if TEXT(v, path) not in WAYS:
        raise Fault("unknown-kind", path)
    return WAYS.index(v)


_PLACE = record({"x": LENGTH, "y": LENGTH, "z": LENGTH})
_WAY = record({"x": NUMBER, "y": NUMBER, "z": NUMBER})
_TURN = record({"x": ANGLE, "y": ANGLE, "z": ANGLE})
MOTION = record({"about": _PLACE, "shift": _PLACE, "turn": _TURN})
_FEET = record({"unit": TEXT, "at": listof(listof(NUMBER)), "room": opt(listof(listof(or_null(NUMBER)))),
                "names": opt(listof(TEXT))})
_ACROSS = record({"up": LENGTH, "right": LENGTH})
_JOINT = record({"mean": LENGTH, "gasket": opt(LENGTH), "tilt": record({"up": RATIO, "right": RATIO}),
                 "offset": opt(_ACROSS), "rotation": opt(ANGLE)})
_GOAL = record({"flange": record({"name": opt(TEXT), "centre": _PLACE, "axis": _WAY, "up": _WAY}), "joint": _JOINT,
                "tolerance": record({"gap": opt(LENGTH), "offset": opt(LENGTH), "tilt": opt(RATIO),
                                     "rotation": opt(ANGLE)}),
                "hard": opt(BOOL, False)})
_MACHINE = record({"name": opt(TEXT, ""), "feet": opt(_FEET), "about": opt(_PLACE), "free": opt(listof(way), []),
                   "weight": opt(NUMBER, 0.0), "goals": opt(listof(_GOAL), [])})
_SHAFT = record({"machine": INT, "height": opt(LENGTH, 0.0), "lateral": opt(LENGTH, 0.0)})
_COUPLING = record({
    "name": opt(TEXT), "near": _SHAFT, "far": _SHAFT, "found": SMALL_AXIS,
    "offsets": opt(listof(record({"station": LENGTH, "limit": LENGTH, "resultant": opt(BOOL, False)})), []),
    "slope": opt(record({"limit": RATIO, "resultant": opt(BOOL, False)})),
    "gap": opt(record({"error": LENGTH, "tolerance": LENGTH})),
})
_STATE = record({"name": opt(TEXT), "relative": listof(SMALL_AXIS), "widen": opt(NUMBER, 0.0)})
_TRAIN = record({"machines": listof(_MACHINE), "couplings": listof(_COUPLING), "states": opt(listof(_STATE), [])})


def place(p):
    """A place in metres, checked to be near enough."""
    out = (p.x, p.y, p.z)
    if max(map(abs, out)) > FARTHEST:
        raise Fault("out-of-range", "place")
    return out


class Functional:
    """const + sum of coefficients times the six parts of the motions of machines.

    coefficients maps (machine, way) to a number.
    """

    __slots__ = ("coefficients", "const")

    def __init__(self, coefficients, const=0.0):
        self.coefficients, self.const = coefficients, const

    def of(self, motions):
        return self.const + math.fsum(c * motions[m][k] for (m, k), c in self.coefficients.items())


def point_motion(machine, about, p):
    """The movement of a point as three functionals of the motion of its machine."""
    r = [a - b for a, b in zip(p, about)]
    # turn x r: (ty rz - tz ry, tz rx - tx rz, tx ry - ty rx)
    rows = ({4: r[2], 5: -r[1]}, {5: r[0], 3: -r[2]}, {3: r[1], 4: -r[0]})
    out = []
    for k, row in enumerate(rows):
        c = {(machine, k): 1.0}
        c.update({(machine, w): v for w, v in row.items() if v})
        out.append(c)
    return out


def combine(*terms):
    """Sum of weight times coefficients."""
    out = {}
    for weight, c in terms:
        for key, v in c.items():
            out[key] = out.get(key, 0.0) + weight * v
    return out


class Foot:
    def __init__(self, at, room, motion):
        self.at = at
        # mm, None for no limit: down, up, left, right
        self.room = room
        self.along, self.up, self.right = (Functional(c) for c in motion)


class Part:
    """One part of what a flange asks: left = asked - done, held against a tolerance."""

    def __init__(self, name, asked, done, tolerance):
        self.name, self.tolerance = name, tolerance
        self.left = Functional({k: -v for k, v in done.items()}, asked)


class Goal:
    def __init__(self, machine, about, g):
        self.hard = g.hard
        centre = place(g.flange.centre)
        axis = direction(g.flange.axis)
        up = direction(g.flange.up)
        up = [u - dot(up, axis) * a for u, a in zip(up, axis)]
        if norm(up) < 1e-6:
            raise Fault("out-of-range", "up")
        up = [u / norm(up) for u in up]
        right = cross(axis, up)  # 3 o'clock of a person who looks along the axis
        joint = g.joint
        offset = joint.offset or {"up": 0.0, "right": 0.0}
        # The shift is asked of the point that meets the pipe's face when both are in line,
        # one mean gap from the nozzle along the axis. (An offset times a turn is of the
        # second order and left out.)
        pipe = [c + a * joint.mean for c, a in zip(centre, axis)]
        self.far = math.dist(pipe, about)
        moved = point_motion(machine, about, pipe)

        def shift(n):
            return combine(*zip(n, moved))

        def turn(n, sign=1.0):
            return {(machine, 3 + k): sign * v for k, v in enumerate(n) if v}

        asked = []
        if joint.gasket is not None:
            asked.append(("gap", joint.mean - joint.gasket, shift(axis), "gap"))
        if joint.offset is not None:
            asked.append(("offset-up", offset["up"], shift(up), "offset"))
            asked.append(("offset-right", offset["right"], shift(right), "offset"))
        # A turn lifts the point at 12 o'clock along the axis by (turn x up).axis = -turn.right
        # for each unit of radius, and the point at 3 o'clock by turn.up.
        asked.append(("tilt-up", joint.tilt.up, turn(right, -1.0), "tilt"))
        asked.append(("tilt-right", joint.tilt.right, turn(up), "tilt"))
        if joint.rotation is not None:
            asked.append(("rotation", joint.rotation, turn(axis), "rotation"))
        self.parts = [Part(n, 1e3 * v, done, 1e3 * tolerance(g.tolerance[t])) for n, v, done, t in asked]


def tolerance(value):
    if value is None:
        raise Fault("missing", "tolerance")
    if not_negative(value, "tolerance") == 0:
        raise Fault("missing", "tolerance")
    return value


def direction(d):
    n = [d.x, d.y, d.z]
    if norm(n) == 0:
        raise Fault("missing", "direction")
    return [x / norm(n) for x in n]


class Machine:
    def __init__(self, index, d):
        self.name, self.free, self.moves = d.name, d.free, bool(d.free)
        self.weight = not_negative(d.weight, "weight") or 1.0
        if self.weight > HEAVIEST:
            raise Fault("out-of-range", "weight")
        at, rooms = read_feet(d.feet)
        middle = [math.fsum(p[k] for p in at) / len(at) for k in range(3)] if at else [0.0] * 3
        self.about = list(place(d.about)) if d.about else middle
        self.feet = [Foot(p, room, point_motion(index, self.about, p)) for p, room in zip(at, rooms)]
        self.goals = [Goal(index, self.about, g) for g in d.goals]
        ways = [math.dist(p, self.about) for p in at] + [g.far for g in self.goals]
        self.lever = max(ways, default=0.0) or 1.0  # m; how far a turn is felt


def read_feet(feet):
    """Places in metres and rooms in millimetres."""
    if feet is None:
        return [], []
    if unit_kind(feet.unit) != "length":
        raise Fault("wrong-unit", "feet")
    if feet.room is not None and len(feet.room) != len(feet.at) or feet.names and len(feet.names) != len(feet.at):
        raise Fault("mismatch", "feet")
    if len(feet.at) > MOST_FEET:
        raise Fault("out-of-range", "feet")
    at, rooms = [], []
    for i, p in enumerate(feet.at):
        if len(p) != 3:
            raise Fault("mismatch", "at")
        p = [to_si(x, feet.unit) for x in p]
        if max(map(abs, p)) > FARTHEST:
            raise Fault("out-of-range", "at")
        room = [None] * 4 if feet.room is None else feet.room[i]
        if len(room) != 4:
            raise Fault("mismatch", "room")
        at.append(p)
        rooms.append([None if x is None else 1e3 * to_si(not_negative(x, "room"), feet.unit) for x in room])
    return at, rooms


class Coupling:
    """Offset limits, a slope limit and a gap; each as functionals vertical and horizontal."""

    def __init__(self, train, d):
        n, f = d.near.machine, d.far.machine
        if not (0 <= n < len(train.machines) and 0 <= f < len(train.machines)) or n == f:
            raise Fault("mismatch", "machine")
        self.found = d.found
        self.sides = [(-1.0, n, d.near), (1.0, f, d.far)]
        self.train = train
        if not d.offsets and d.slope is None and d.gap is None:
            raise Fault("missing", "limits")
        # (is a slope, station, limit in mm or mm/m, resultant, vertical, horizontal)
        self.limits = []
        for o in d.offsets:
            limit = 1e3 * positive(not_negative(o.limit, "limit"), "limit")
            self.limits.append((False, o.station, limit, o.resultant, *self.offset_at(o.station)))
        if d.slope is not None:
            limit = 1e3 * positive(not_negative(d.slope.limit, "limit"), "limit")
            self.limits.append((True, 0.0, limit, d.slope.resultant, *self.slope()))
        self.gap = None
        if d.gap is not None:
            not_negative(d.gap.tolerance, "tolerance")
            # The gap widens by what the far shaft goes along x less what the near one does.
            self.gap = (Functional(self._moved(0.0, 0), 1e3 * d.gap.error), 1e3 * d.gap.tolerance)

    def _moved(self, x, k):
        terms = []
        for sign, m, shaft in self.sides:
            p = (x, shaft.height, shaft.lateral)
            terms.append((sign, point_motion(m, self.train.machines[m].about, p)[k]))
        return combine(*terms)

    def offset_at(self, x):
        """far less near at station x in both planes, mm, cold."""
        e = self.found.at(x)
        return Functional(self._moved(x, 1), 1e3 * e[0]), Functional(self._moved(x, 2), 1e3 * e[1])

    def slope(self):
        """A line along x turns by turn z upward and by minus turn y to the right."""
        v = combine(*((sign, {(m, 5): 1.0}) for sign, m, _ in self.sides))
        h = combine(*((sign, {(m, 4): -1.0}) for sign, m, _ in self.sides))
        return Functional(v, 1e3 * self.found.slope[0]), Functional(h, 1e3 * self.found.slope[1])


class Train:
    def __init__(self, v, path="train"):
        d = _TRAIN(v, path)
        if not d.machines:
            raise Fault("missing", "machines")
        if len(d.machines) > MOST_MACHINES:
            raise Fault("out-of-range", "machines")
        self.machines = [Machine(i, m) for i, m in enumerate(d.machines)]
        self.couplings = [Coupling(self, c) for c in d.couplings]
        # (movements by coupling, how much wider the limits are)
        self.states = []
        for s in d.states:
            if len(s.relative) != len(d.couplings):
                raise Fault("mismatch", "relative")
            wider = not_negative(s.widen, "widen") or 1.0
            if wider > WIDEST:
                raise Fault("out-of-range", "widen")
            self.states.append((s.relative, wider))
        if not self.couplings and not any(m.goals for m in self.machines):
            raise Fault("missing", "couplings")

    def must_move(self):
        if not any(m.moves for m in self.machines):
            raise Fault("nothing-may-move")

    def running(self, c, limit):
        """For each state what it adds to a limit's vertical and horizontal size, and the limit then.

        Without states the train is judged as it stands.
        """
        slope, station, size = limit[:3]
        if not self.states:
            return [(0.0, 0.0, size)]
        out = []
        for relative, wider in self.states:
            e = relative[c].slope if slope else relative[c].at(station)
            out.append((1e3 * e[0], 1e3 * e[1], size * wider))
        return out

    # ------------------------------------------------------------ where everything stands

    def evaluate(self, motions):
        """Results by name for motions, one list of six (mm, mrad) about its point for each machine."""
        results = {}
        self.couplings_after(motions, results)
        feet = self._feet(motions, results)
        self._flanges(motions, results)
        worst = results["worst.coupling"]
        hard = results["worst.hard"]
        within = max(worst, feet, hard) <= 1 + KEPT
        results["within"] = "true" if within else "false"
        return results

    def couplings_after(self, motions, results):
        overall = 0.0
        for i, c in enumerate(self.couplings):
            name = "coupling.%d" % i
            worst = [0.0] * max(1, len(self.states))
            for limit in c.limits:
                v, h = limit[4].of(motions), limit[5].of(motions)
                for s, (dv, dh, size) in enumerate(self.running(i, limit)):
                    worst[s] = max(worst[s], share(v + dv, h + dh, size, limit[3]))
            largest = max(worst)
            if c.gap is not None:
                gap = c.gap[0].of(motions)
                results[name + ".gap"] = gap * 1e-3
                largest = max(largest, part_of(gap, c.gap[1]))
            results[name + ".worst"] = largest
            overall = max(overall, largest)
            self._axis(results, name, c, motions)
            for s in range(len(self.states)):
                results["%s.state.%d.share" % (name, s)] = worst[s]
        results["worst.coupling"] = overall

    def _axis(self, results, name, c, motions):
        offset = [f.of(motions) * 1e-3 for f in c.offset_at(0.0)]
        slope = [f.of(motions) * 1e-3 for f in c.slope()]
        index = self.couplings.index(c)
        for k, plane in enumerate(("vertical", "horizontal")):
            results["%s.cold.%s" % (name, plane)] = offset[k]
            results["%s.cold.slope.%s" % (name, plane)] = slope[k]
            for s, (relative, _) in enumerate(self.states):
                results["%s.state.%d.%s" % (name, s, plane)] = offset[k] + relative[index].offset[k]

    def _feet(self, motions, results):
        largest, worst, ups, rights, touched = 0.0, 0.0, [], [], 0
        for i, m in enumerate(self.machines):
            for k, f in enumerate(m.feet):
                up, right, along = f.up.of(motions), f.right.of(motions), f.along.of(motions)
                name = "foot.%d.%d." % (i, k)
                used = foot_share(f.room, up, right)
                results.update({name + "up": up * 1e-3, name + "right": right * 1e-3, name + "along": along * 1e-3,
                                name + "share": used})
                worst = max(worst, used)
                largest = max(largest, abs(up), abs(right))
                ups.append(abs(up))
                rights.append(abs(right))
                touched += max(abs(up), abs(right)) > STILL
        results.update({"worst.foot": worst, "largest": largest * 1e-3, "shims": math.fsum(ups) * 1e-3,
                        "total": math.fsum(ups + rights) * 1e-3, "touched": float(touched)})
        return worst

    def _flanges(self, motions, results):
        worst = hard = 0.0
        count = 0
        for m in self.machines:
            for g in m.goals:
                used = max((part_of(p.left.of(motions), p.tolerance) for p in g.parts), default=0.0)
                results["flange.%d.worst" % count] = used
                count += 1
                worst = max(worst, used)
                hard = max(hard, used if g.hard else 0.0)
        results["worst.flange"], results["worst.hard"] = worst, hard


def share(v, h, limit, resultant):
    return (math.hypot(v, h) if resultant else max(abs(v), abs(h))) / limit


def part_of(size, limit):
    """What part of a limit is used; of a limit of nothing all or more than any."""
    if limit > 0:
        return abs(size) / limit
    return 0.0 if abs(size) < 1e-6 else 1e9


def foot_share(room, up, right):
    down_, up_, left_, right_ = room
    used = 0.0
    for limit, size in ((down_, -up), (up_, up), (left_, -right), (right_, right)):
        if limit is not None and size > 0:
            used = max(used, part_of(size, limit))
    return used


def motions_of(train, given):
    """Motions as they were given, moved to the point of each machine: shift + turn x (point - about)."""
    if len(given) != len(train.machines):
        raise Fault("mismatch", "motions")
    out = []
    for m, g in zip(train.machines, given):
        shift, about = place(g.shift), place(g.about)
        turn = (g.turn.x, g.turn.y, g.turn.z)
        if max(map(abs, turn)) > 0.1 or max(map(abs, shift)) > 10:
            raise Fault("out-of-range", "motion")
        lifted = cross(turn, [a - b for a, b in zip(m.about, about)])
        out.append([1e3 * (s + u) for s, u in zip(shift, lifted)] + [1e3 * t for t in turn])
    return out
