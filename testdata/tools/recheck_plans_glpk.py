"""Checks plans of package moves with GLPK, a third solver beside SciPy's HiGHS.

    python3 recheck_plans_glpk.py          100 of the plans made at random, drawn by a fixed seed
    python3 recheck_plans_glpk.py N        as many
    python3 recheck_plans_glpk.py --all    all of them
    python3 recheck_plans_glpk.py --own    the plans of the other suites that use the same fields

Each plan is written down again from testdata/README.md, in CPLEX LP format, and
solved by glpsol with the simplex method in exact rational arithmetic (--exact),
criterion after criterion. For fewest-feet the sets of feet that can stand together
are held in turn, the most feet first, until a plan fits: no whole numbers and no
large constant. The program is not that of moves_plans.py: shifts are in mm and
turns in mrad, and every limit is a row of its own beside the shares. Values must lie within the tolerance of the vector and
feasible must be the text stored. Nothing is written but a temporary directory.

Needs glpsol (Debian: glpk-utils) and the standard library of Python 3.
"""

import glob
import itertools
import json
import math
import os
import random
import shutil
import subprocess
import sys
import tempfile
from fractions import Fraction

VECTORS = os.path.join(os.path.dirname(os.path.dirname(os.path.abspath(__file__))), "vectors", "moves")
WAYS = ["shift-x", "shift-y", "shift-z", "turn-x", "turn-y", "turn-z"]
MM = {"m": 1e3, "mm": 1.0, "um": 1e-3, "in": 25.4, "mil": 0.0254, "ft": 304.8, "1": 1e3, "mm/m": 1.0, "um/m": 1e-3, "mil/in": 1.0, "in/ft": 1e3 / 12,
      "mil/ft": 1 / 12, "rad": 1e3}  # mm, and mm/m or mrad for slopes and turns
KEEP = 1e-9  # how far an earlier criterion may give way


class Unknown(Exception):
    """A field that this program does not read."""


def mm(quantity):
    return quantity[0] * MM[quantity[1]]


def only(record, *names):
    if set(record) - set(names):
        raise Unknown(", ".join(sorted(set(record) - set(names))))


def cross(a, b):
    return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]


def dot(a, b):
    return sum(x * y for x, y in zip(a, b))


def unit(d):
    v = [d["x"], d["y"], d["z"]]
    return [x / math.sqrt(dot(v, v)) for x in v]


def plus(a, b, k=1.0):
    """A sum of columns: {name: factor}, the constant under no name."""
    out = dict(a)
    for name, factor in b.items():
        out[name] = out.get(name, 0.0) + k * factor
    return out


class Program:
    """Rows of a linear program in CPLEX LP format."""

    def __init__(self):
        self.rows, self.free = [], set()

    def at_most(self, columns, limit):
        factors = {n: f for n, f in columns.items() if n and f}
        rest = limit - columns.get("", 0.0)
        if factors:
            self.rows.append((factors, rest))
        elif rest < 0:  # a row without columns that does not hold
            self.rows.append(({"never": 1.0}, rest))

    def within(self, columns, limit, extra=None):
        """-limit <= columns <= limit, or less some columns."""
        for sign in (1.0, -1.0):
            row = plus({}, columns, sign)
            self.at_most(plus(row, extra, -1.0) if extra else row, limit)

    def text(self, cost, still=()):
        """The program, with some columns summing to nothing."""
        def side(factors):
            return " ".join("%+.17g %s" % (f, n) for n, f in sorted(factors.items()) if f) or "0 never"
        lines = ["Minimize", " cost: " + side(cost), "Subject To", " none: 0 never <= 1"]
        lines += [" r%d: %s <= %.17g" % (k, side(f), limit) for k, (f, limit) in enumerate(self.rows)]
        lines += [" s%d: %s = 0" % (k, side(f)) for k, f in enumerate(still)]
        lines += ["Bounds"] + [" %s free" % n for n in sorted(self.free)] + [" 0 <= never <= 0"]
        return "\n".join(lines + ["End", ""])


class Plan:
    def __init__(self, given):
        only(given, "train", "criteria", "sides")
        if "criteria" not in given:
            raise Unknown("criteria not given")
        self.train, self.criteria, self.sides = given["train"], given["criteria"], given.get("sides", 16)
        only(self.train, "machines", "couplings", "states")
        self.program, self.feet, self.about, self.moves = Program(), [], [], {}
        for m in self.train["machines"]:
            only(m, "name", "feet", "free", "weight", "goals", "about")
            only(m["feet"], "unit", "at", "room")
            scale = MM[m["feet"]["unit"]]
            at = [[scale * c for c in p] for p in m["feet"]["at"]]
            middle = [sum(p[k] for p in at) / len(at) for k in range(3)]
            self.about.append([mm(m["about"][k]) for k in "xyz"] if "about" in m else middle)
        self.use = {"coupling": {"best-alignment", "best-together"}, "flange": {"best-flange-fit", "best-together"}}
        self.use = {name for name, criteria in self.use.items() if criteria & set(self.criteria)}
        for i, m in enumerate(self.train["machines"]):
            self.add_feet(i, m)
        for i, c in enumerate(self.train.get("couplings", [])):
            self.add_coupling(i, c)
        for i, m in enumerate(self.train["machines"]):
            for g in m.get("goals", []):
                self.add_goal(i, g)
        for name in sorted(self.use):
            self.program.at_most({name: 1.0, "together": -1.0}, 0.0)

    def motion(self, i, shift, turn):
        """shift.s + turn.w of machine i, turn in mm for a turn of one radian."""
        out = {}
        for way, factor in zip(WAYS, list(shift) + [t / 1000 for t in turn]):
            if way in self.train["machines"][i].get("free", []):
                name = "m%d.%s" % (i, way.replace("-", "."))
                self.program.free.add(name)
                out[name] = factor
        return out

    def moved(self, i, p, n):
        """How far a point of machine i goes toward n."""
        return self.motion(i, n, cross([a - b for a, b in zip(p, self.about[i])], n))

    def add_feet(self, i, m):
        if not m.get("free"):
            return
        scale, weight, p = MM[m["feet"]["unit"]], m.get("weight", 1.0), self.program
        for k, at in enumerate(m["feet"]["at"]):
            room = m["feet"]["room"][k] if "room" in m["feet"] else [None] * 4
            foot = "f%d.%d" % (i, k)
            for way, n, (low, high) in (("up", (0, 1, 0), room[:2]), ("side", (0, 0, 1), room[2:])):
                move = self.moved(i, [scale * c for c in at], n)
                if low is not None:
                    p.at_most(plus({}, move, -1.0), scale * low)
                if high is not None:
                    p.at_most(move, scale * high)
                p.within(move, 0.0, {foot + way: 1.0})
                p.within(move, 0.0, {"largest": 1 / weight})
                self.moves.setdefault(i, {}).setdefault(k, []).append(move)
            self.feet.append((foot, weight))

    def add_coupling(self, i, c):
        only(c, "near", "far", "found", "offsets", "slope", "gap", "name")
        sides = [(c["far"], 1.0), (c["near"], -1.0)]

        def apart(x, n):
            out = {}
            for s, sign in sides:
                only(s, "machine", "height", "lateral")
                p = [x] + [mm(s[k]) if k in s else 0.0 for k in ("height", "lateral")]
                out = plus(out, self.moved(s["machine"], p, n), sign)
            return out

        states = self.train.get("states") or [{"relative": [{}] * len(self.train["couplings"])}]
        for s in states:
            only(s, "name", "relative", "widen")
            for o in c.get("offsets", []):
                only(o, "station", "limit", "resultant")
                x = mm(o["station"])
                for (v, h), limit in self.directions(o, s):
                    stands = sum(self.line(a, x, v, h) for a in (c["found"], s["relative"][i]))
                    self.limit(plus(apart(x, (0, v, h)), {"": stands}), limit)
            if "slope" in c:
                for (v, h), limit in self.directions(c["slope"], s):
                    n = (0, v, h)
                    row = plus(apart(1000.0, n), apart(0.0, n), -1.0)
                    rises = sum(self.line(a, 1000.0, v, h) - self.line(a, 0.0, v, h) for a in (c["found"], s["relative"][i]))
                    self.limit(plus(row, {"": rises}), limit)
        if "gap" in c:
            stations = [mm(o["station"]) for o in c.get("offsets", [])] or [0.0]
            row = plus(apart(sum(stations) / len(stations), (1, 0, 0)), {"": mm(c["gap"]["error"])})
            self.program.within(row, mm(c["gap"]["tolerance"]))

    def line(self, axis, x, v, h):
        only(axis, "vertical", "horizontal")
        values = [mm(axis[k]["offset"]) + mm(axis[k]["slope"]) * x / 1000 if k in axis else 0.0 for k in ("vertical", "horizontal")]
        return values[0] * v + values[1] * h

    def directions(self, o, state):
        """Where a limit looks, (up, right), and how large it is there."""
        limit = mm(o["limit"]) * state.get("widen", 1.0)
        if not o.get("resultant"):
            return [((1.0, 0.0), limit), ((0.0, 1.0), limit)]
        angles = [2 * math.pi * k / self.sides for k in range(self.sides // 2)]
        return [((math.cos(a), math.sin(a)), limit * math.cos(math.pi / self.sides)) for a in angles]

    def limit(self, row, limit):
        self.program.within(row, limit)
        if "coupling" in self.use:
            self.program.within(row, 0.0, {"coupling": limit})

    def add_goal(self, i, g):
        only(g, "flange", "joint", "tolerance", "hard", "weight")
        if not self.train["machines"][i].get("free"):
            raise Unknown("a flange on a machine that stands")
        f, j, tolerance = g["flange"], g["joint"], g["tolerance"]
        axis, up = unit(f["axis"]), unit(f["up"])
        up = [u - dot(up, axis) * a for u, a in zip(up, axis)]
        up = [u / math.sqrt(dot(up, up)) for u in up]
        right = cross(axis, up)
        face = [mm(f["centre"][k]) + mm(j["mean"]) * a for k, a in zip("xyz", axis)]
        shifts = [(axis, mm(j["mean"]) - mm(j["gasket"]), "gap")] if "gasket" in j else []
        if "offset" in j:
            shifts += [(up, mm(j["offset"]["up"]), "offset"), (right, mm(j["offset"]["right"]), "offset")]
        # A face that gapes at the right closes by a right-handed turn about up, one
        # that gapes at the top by the turn the other way about right.
        turns = [(up, mm(j["tilt"]["right"]), "tilt"), (right, -mm(j["tilt"]["up"]), "tilt")]
        if "rotation" in j:
            turns.append((axis, mm(j["rotation"]), "rotation"))
        rows = [(self.moved(i, face, n), value, kind) for n, value, kind in shifts]
        rows += [(self.motion(i, [0, 0, 0], [1000 * c for c in n]), value, kind) for n, value, kind in turns]
        for row, value, kind in rows:
            left = plus(row, {"": -value})
            if g["hard"]:
                self.program.within(left, mm(tolerance[kind]))
            if "flange" in self.use:
                self.program.within(left, 0.0, {"flange": mm(tolerance[kind])})

    def cost(self, criterion):
        one = {"best-alignment": "coupling", "best-flange-fit": "flange", "best-together": "together", "smallest-largest-move": "largest"}
        if criterion in one:
            return {one[criterion]: 1.0}
        out = {foot + "up": weight for foot, weight in self.feet}
        if criterion == "least-total-move":
            out.update({foot + "side": weight for foot, weight in self.feet})
        return out

    def solve(self):
        """The value of every criterion, None when nothing fits."""
        out = []
        for criterion in self.criteria:
            if criterion == "fewest-feet":
                if criterion != self.criteria[-1]:
                    raise Unknown("fewest-feet before another criterion")
                least = self.fewest()
                return None if least is None else out + [least]
            cost = self.cost(criterion)
            value = glpsol(self.program.text(cost))
            if value is None:
                return None
            out.append(value)
            self.program.at_most(cost, value + KEEP * (1 + abs(value)))
        return out

    def fewest(self):
        """The least number of feet that move."""
        if glpsol(self.program.text({})) is None:
            return None
        sets = [standing(moves) for moves in self.moves.values()]
        total = sum(len(moves) for moves in self.moves.values())
        choices = sorted(itertools.product(*sets), key=lambda c: -sum(len(held) for held in c))
        for held in choices:
            still = [row for feet, moves in zip(held, self.moves.values()) for k in sorted(feet) for row in moves[k]]
            if glpsol(self.program.text({}, [row for row in still if any(row.values())])) is not None:
                return total - sum(len(feet) for feet in held)
        raise RuntimeError("no set of feet fits where the plan does")


def standing(moves):
    """The sets of feet of a machine that can stand while the others move, and all of them."""
    ways = sorted({n for rows in moves.values() for row in rows for n in row})
    out = {frozenset(moves)}
    for size in range(4):
        for chosen_feet in itertools.combinations(moves, size):
            held = [row for k in chosen_feet for row in moves[k]]
            full = rank(held, ways)
            out.add(frozenset(k for k in moves if rank(held + moves[k], ways) == full))
    return sorted(out, key=sorted)


def rank(rows, ways):
    """By exact elimination."""
    left = [[Fraction(row.get(n, 0.0)) for n in ways] for row in rows]
    count = 0
    for c in range(len(ways)):
        pivot = next((r for r in left if r[c]), None)
        if pivot is None:
            continue
        count += 1
        left = [[a - r[c] / pivot[c] * b for a, b in zip(r, pivot)] for r in left if r is not pivot]
    return count


def glpsol(text):
    """The least cost, None when no point fits."""
    with tempfile.TemporaryDirectory() as scratch:
        model, result = os.path.join(scratch, "plan.lp"), os.path.join(scratch, "plan.txt")
        with open(model, "w", encoding="utf-8") as f:
            f.write(text)
        argv = ["glpsol", "--lp", model, "-w", result, "--exact"]
        got = subprocess.run(argv, capture_output=True, text=True)
        if not os.path.exists(result):
            raise RuntimeError("glpsol: " + got.stdout.strip()[-300:])
        with open(result, encoding="utf-8") as f:
            words = next(line.split() for line in f if line.startswith("s bas"))
    primal, dual = words[4:6]
    if primal == dual == "f":
        return float(words[-1])
    if "NO FEASIBLE SOLUTION" in got.stdout or primal == "n":
        return None
    raise RuntimeError("glpsol ends with status %s %s" % (primal, dual))


def check(v):
    """What is off, in words."""
    values = Plan(v["input"]).solve()
    off = []
    for e in v["expect"]:
        if e["name"] == "feasible" and e["text"] != ("true" if values is not None else "false"):
            off.append("feasible is not %s" % e["text"])
        if not e["name"].startswith("value."):
            continue
        k = int(e["name"].partition(".")[2])
        if values is None or k >= len(values):
            off.append("no %s" % e["name"])
            continue
        got = values[k] / (MM[e["unit"]] if e["unit"] != "1" else 1.0)
        if not abs(got - e["exact"]) <= e["tolerance"] * (1 + 1e-9):
            off.append("%s is %.12g, stored %.12g within %g" % (e["name"], got, e["exact"], e["tolerance"]))
    return off


def chosen(words):
    """The vectors to check."""
    found = []
    for path in sorted(glob.glob(os.path.join(VECTORS, "*.json"))):
        drawn = os.path.basename(path).startswith("random-")
        if drawn == ("--own" in words):
            continue
        with open(path, encoding="utf-8") as f:
            found += [v for v in json.load(f)["vectors"] if v["computation"] == "moves.plan" and "expect" in v]
    if words:
        return found if words[0].startswith("--") else random.Random(2026).sample(found, int(words[0]))
    return random.Random(2026).sample(found, 100)


def main():
    if shutil.which("glpsol") is None:
        print("recheck_plans_glpk: not checked: needs glpsol of GLPK, found none")
        return 0
    version = subprocess.run(["glpsol", "--version"], capture_output=True, text=True).stdout.splitlines()[0]
    done, infeasible, unread, differ = 0, 0, [], 0
    for v in chosen(sys.argv[1:]):
        try:
            off = check(v)
        except Unknown as e:
            unread.append("%s (%s)" % (v["id"], e))
            continue
        except RuntimeError as e:
            off = [str(e)]
        done += 1
        infeasible += {"name": "feasible", "text": "false"} in v["expect"]
        differ += bool(off)
        for words in off:
            print("    %s: %s" % (v["id"], words))
    for words in unread:
        print("    not read: " + words)
    print("recheck_plans_glpk: %s; %d plans, %d of them infeasible, %d differ" % (version, done, infeasible, differ))
    return 1 if differ else 0


if __name__ == "__main__":
    sys.exit(main())
