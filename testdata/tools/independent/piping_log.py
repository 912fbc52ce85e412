"""The log of a strain test: what dials showed step by step, and the rigid motions
that follow.

Definitions: testdata/README.md, "Strain tests", and piping/doc.go.

Formulas. A rigid body that shifts by s and turns by w about a point moves a dial at
r from that point, of direction n, by n.s + w.(r x n) (the row of linear
point-to-plane fits: Low, 2004). Motions are weighted least squares, by singular
values, so that what the dials do not see has no value: a component is known when
its row lies in the span of the rows read. A movement is the difference of two
readings, each rounded to the resolution: its standard uncertainty is
resolution/sqrt(6), and sqrt(m) of that over m zeroings.
"""

import math

import common as c
from common import BOOL, Fault, LENGTH, NUMBER, TEXT, listof, opt, record, word

SLACK = 1e-9
RESOLUTION = 0.01e-3  # m, when none is given (from the vectors)
FAR = 10000.0  # m; no source
LARGE = 0.1  # m: no dial moves as far; no source
SIGNIFICANT = 3.0  # standard uncertainties; no source
MOST_INDICATORS = 64
KNOWN = 1e-6  # part of a row outside the span of the readings

SPOT = record({"x": LENGTH, "y": LENGTH, "z": LENGTH})
NAMED = record({"name": TEXT, "at": SPOT})
INDICATOR = record({
    "name": TEXT, "at": SPOT, "toward": listof(NUMBER),
    "carrier": opt(word("base", "other-shaft", "own-shaft"), "base"),
    "touches": opt(word("casing", "foot", "shaft"), "casing"), "sigma": opt(LENGTH),
})
SHOWN = record({"by": TEXT, "shows": LENGTH})
STEP = record({
    "name": TEXT, "action": word("tighten", "loosen", "fit", "remove"), "group": word("feet", "flange", "support"),
    "of": listof(TEXT), "readings": listof(SHOWN), "rezeroed": opt(BOOL, False), "undoes": opt(TEXT, ""),
})
WAYS = ("shift-x", "shift-y", "shift-z", "turn-x", "turn-y", "turn-z")
WAY_NAMES = ("shift along x", "shift up", "shift to the right", "turn about x", "turn about y", "turn about z")
OPPOSITE = {"tighten": "loosen", "loosen": "tighten", "fit": "remove", "remove": "fit"}
AXES = (("along", [1.0, 0.0, 0.0]), ("up", [0.0, 1.0, 0.0]), ("right", [0.0, 0.0, 1.0]))


def xyz(p):
    out = [p.x, p.y, p.z]
    if any(abs(v) > FAR for v in out):
        raise Fault("out-of-range", "place")
    return out


def names_check(names, what):
    for n in names:
        if not n:
            raise Fault("missing", what)
    if len(set(names)) < len(names):
        raise Fault("given-twice", what)


# ---------------------------------------------------------------- motions


class Motion:
    """A rigid motion from rows of readings, as far as they determine it."""

    def __init__(self, rows, values, sigmas, free, lever):
        self.free = free
        # Turns in units that move a point at the lever by one length.
        self.units = [1.0 if i < 3 else 1 / lever for i in range(6)]
        self.rank = 0
        self.solution = [0.0] * len(free)
        self.span, self.cov = [], None
        if not rows:
            return
        a = [[r[i] * self.units[i] / s for i in free] for r, s in zip(rows, sigmas)]
        b = [v / s for v, s in zip(values, sigmas)]
        u, s, v = c.svd(a)
        keep = [k for k in range(len(s)) if u[k] is not None and s[k] > 1e-9 * s[0]]
        self.rank = len(keep)
        self.span = [(v[k], s[k]) for k in keep]
        for k in keep:
            self.solution = c.add(self.solution, c.scale(v[k], c.dot(u[k], b) / s[k]))

    def part(self, row):
        """(value, sigma) of row . motion, None where the readings leave it open."""
        g = [row[i] * self.units[i] for i in self.free]
        size = c.norm(g)
        if size == 0:
            return 0.0, 0.0  # held
        seen = [c.dot(g, v) for v, _ in self.span]
        left = g
        for x, (v, _) in zip(seen, self.span):
            left = c.sub(left, c.scale(v, x))
        if c.norm(left) > KNOWN * size:
            return None
        return c.dot(g, self.solution), math.sqrt(math.fsum((x / s) ** 2 for x, (_, s) in zip(seen, self.span)))


def point_row(axis, place, about):
    return list(axis) + c.cross(c.sub(place, about), axis)


# ---------------------------------------------------------------- the log


class Test:
    def __init__(self, d):
        if not d.indicators:
            raise Fault("missing", "indicators")
        if len(d.indicators) > MOST_INDICATORS:
            raise Fault("too-many-indicators")
        if not d.steps:
            raise Fault("missing", "steps")
        if not d.coupling:
            raise Fault("missing", "coupling")
        names_check([i.name for i in d.indicators], "indicator")
        names_check([s.name for s in d.steps], "step")
        names_check([p.name for p in d.feet], "foot")
        names_check([p.name for p in d.nozzles], "nozzle")
        self.names = [i.name for i in d.indicators]
        shaft = xyz(d.shaft)
        for x in d.coupling:
            if abs(x) > FAR:
                raise Fault("out-of-range", "coupling")
        self.coupling = [[x, shaft[1], shaft[2]] for x in d.coupling]
        self.about = self.coupling[0]
        self.feet, self.nozzles = [xyz(p["at"]) for p in d.feet], [xyz(p["at"]) for p in d.nozzles]
        resolution = c.not_negative(d.resolution or 0.0, "resolution") or RESOLUTION
        self.dials = []
        for i in d.indicators:
            self.dials.append(self.dial(i, resolution))
        if d.lever is not None:
            c.not_negative(d.lever, "lever")
            if 0 < d.lever < 1e-3:
                raise Fault("out-of-range", "lever")
        reach = [c.norm(c.sub(n["at"], self.about)) for n in self.dials]
        self.lever = d.lever or max(reach + [0.1])
        self.free = [i for i, w in enumerate(WAYS) if w not in d.held]
        if not self.free:
            raise Fault("all-ways-held")
        self.steps = d.steps
        self.check_steps()
        self.read(d)

    def dial(self, i, resolution):
        if len(i.toward) != 3:
            raise Fault("mismatch", "toward")
        size = c.norm(i.toward)
        if size == 0:
            raise Fault("missing", "toward")
        if abs(size - 1) > 1e-6:
            raise Fault("not-a-unit-vector")
        if i.carrier == "own-shaft" and i.touches != "shaft":
            raise Fault("mismatch", "a dial on the shaft of the machine it touches")
        sigma = c.not_negative(i.sigma or 0.0, "sigma")
        if sigma > LARGE:
            raise Fault("out-of-range", "sigma")
        n = c.scale(i.toward, 1 / size)
        # On its own shaft the bracket moves and what it touches stands still.
        sign = -1 if i.carrier == "own-shaft" else 1
        at = xyz(i["at"])
        return {"at": at, "n": n, "row": c.scale(point_row(n, at, self.about), sign), "shaft": i.touches == "shaft",
                "sigma": sigma or resolution / math.sqrt(6), "others": i.carrier != "base"}

    def check_steps(self):
        undone = set()
        for k, s in enumerate(self.steps):
            if not s.of:
                raise Fault("missing", "of")
            names_check(s.of, "of")
            if not s.undoes:
                continue
            before = next((p for p in self.steps[:k] if p.name == s.undoes), None)
            if before is None:
                raise Fault("unknown-step")
            if before.group != s.group or OPPOSITE[before.action] != s.action or set(before.of) != set(s.of):
                raise Fault("not-opposite")
            if s.undoes in undone:
                raise Fault("undone-twice")
            undone.add(s.undoes)

    def shown(self, readings):
        out = [None] * len(self.names)
        for r in readings:
            if r.by not in self.names:
                raise Fault("mismatch", r.by)
            i = self.names.index(r.by)
            if out[i] is not None:
                raise Fault("given-twice", r.by)
            if abs(r.shows) > LARGE:
                raise Fault("out-of-range", "shows")
            out[i] = r.shows
        return out

    def read(self, d):
        """Movements by step and since the start; None where a reading is missing."""
        n = len(self.names)
        last = self.shown(d.start) if d.start is not None else [0.0] * n
        zero, base, zeroings = list(last), [0.0] * n, 1
        self.moved, self.since, self.zeroings = [], [], []
        for s in self.steps:
            if s.rezeroed:
                # What was read since the last zero is kept, and counting begins anew.
                base = [None if None in (b, x, z) else b + x - z for b, x, z in zip(base, last, zero)]
                last, zero = [0.0] * n, [0.0] * n
                zeroings += 1
            now = self.shown(s.readings)
            self.moved.append([None if None in (a, b) else b - a for a, b in zip(last, now)])
            self.since.append([None if None in (b, x, z) else b + x - z for b, x, z in zip(base, now, zero)])
            self.zeroings.append(zeroings)
            last = now
        self.missing = any(x is None for s in self.steps for x in self.shown(s.readings)) \
            or (d.start is not None and None in self.shown(d.start))

    def motion(self, values, zeroings, shaft):
        use = [i for i, x in enumerate(self.dials) if x["shaft"] == shaft and values[i] is not None]
        k = math.sqrt(zeroings)
        return Motion([self.dials[i]["row"] for i in use], [values[i] for i in use],
                      [self.dials[i]["sigma"] * k for i in use], self.free, self.lever)

    def movements(self, values, zeroings):
        """Everything that follows from the movements of the dials."""
        casing, touched = self.motion(values, zeroings, False), self.motion(values, zeroings, True)
        out = {"casing": casing, "touched": touched, "points": {}, "clash": False}
        for name, places in (("coupling", self.coupling), ("foot", self.feet), ("nozzle", self.nozzles)):
            for i, p in enumerate(places):
                for way, axis in AXES:
                    row = point_row(axis, p, self.about)
                    value = casing.part(row)
                    if name == "coupling" and touched.rank:
                        # The shaft's own dials come before those on the casing.
                        value = touched.part(row) or value
                    out["points"]["%s.%d.%s" % (name, i, way)] = value
        for i, x in enumerate(self.dials):
            if x["shaft"] and values[i] is not None and casing.rank:
                told = casing.part(x["row"])
                if told is not None and abs(values[i] - told[0]) > SIGNIFICANT * math.hypot(
                        x["sigma"] * math.sqrt(zeroings), told[1]):
                    out["clash"] = True
        read = sum(1 for i, x in enumerate(self.dials) if not x["shaft"] and values[i] is not None)
        out["spare"] = read > casing.rank
        out["residuals"] = {}
        for i, x in enumerate(self.dials):
            m = touched if x["shaft"] else casing
            if values[i] is not None:
                fitted = c.dot([x["row"][k] * m.units[k] for k in m.free], m.solution)
                out["residuals"][i] = values[i] - fitted
        return out
