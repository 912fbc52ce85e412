"""Writes the random plans of package moves into the directory given.

Machines, couplings, limits and flanges are invented with a fixed seed. Each plan
is written down here from the definitions alone and solved by SciPy's linprog and
milp (HiGHS), one criterion after the other:

    motion        a point p of a machine moves by shift + turn x (p - about)
    misalignment  as found + what the state adds + far machine - near machine,
                  up and to the right, at a station of the shaft line
    limits        each way by itself, or both together by the polygon of so many
                  sides drawn inside the circle, one side of it facing 12 o'clock
    feet          the move of a foot stays within its room down, up, left, right
    flanges       what is asked of the machine less what its motion does there
                  stays within the tolerance where it must be kept

Lengths are in mm, and unknowns in tenths of a millimetre: shifts, and turns over
a metre. A plan is kept when HiGHS gives the same answer with its limits a little
wider and a little narrower, to the tolerance stated, so that what is stored does
not hang on rounding.

Run with Python 3, NumPy and SciPy: python3 moves_plans.py DIRECTORY
"""

import json
import sys

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, linprog, milp

COUNT, PER_FILE = 2000, 250
STEP = 0.1  # mm
WAYS = ["shift-x", "shift-y", "shift-z", "turn-x", "turn-y", "turn-z"]
REASON = "HiGHS keeps its rows to 1e-7 in scaled numbers, and an earlier criterion is held to 1e-9"
SHARES = {"best-alignment", "best-flange-fit", "best-together"}


def q(v, unit="mm"):
    return [float(v), unit]


class Rows:
    """lo <= a.x <= hi, in steps."""

    def __init__(self, n):
        self.n, self.a, self.lo, self.hi = n, [], [], []

    def add(self, a, lo, hi):
        self.a.append(a)
        self.lo.append(lo)
        self.hi.append(hi)


class Train:
    """The input read back from its JSON, so that what is solved is what is stored."""

    def __init__(self, t):
        self.t, self.first, self.ways, n = t, [], [], 0
        self.about = []
        for m in t["machines"]:
            at = np.array(m["feet"]["at"], float)
            a = m.get("about")
            self.about.append(np.array([a["x"][0], a["y"][0], a["z"][0]]) if a else at.mean(axis=0))
            w = [WAYS.index(name) for name in m.get("free", [])]
            self.ways.append(w)
            self.first.append(n)
            n += len(w)
        self.n = n

    def put(self, row, machine, shift, turn, k=1.0):
        """Adds k times (shift.s + turn.w) of the machine's motion."""
        six = np.concatenate([shift, np.asarray(turn) / 1000.0])  # a turn of one step over a metre, per mm
        for c, j in enumerate(self.ways[machine]):
            row[self.first[machine] + c] += k * six[j]

    def at(self, row, machine, p, n, k=1.0):
        """Adds k times how far point p moves in direction n."""
        n = np.asarray(n, float)
        # n.(w x r) = w.(r x n)
        self.put(row, machine, n, np.cross(np.asarray(p, float) - self.about[machine], n), k)


def line(a):
    """(offset mm, slope) up and right."""
    get = lambda l: (l["offset"][0], l["slope"][0] / 1000) if l else (0.0, 0.0)
    return get(a.get("vertical")), get(a.get("horizontal"))


def towards(resultant, sides):
    if not resultant:
        return [(1.0, 0.0), (0.0, 1.0)], 1.0
    angles = 2 * np.pi * np.arange(sides // 2) / sides
    return [(np.cos(a), np.sin(a)) for a in angles], np.cos(np.pi / sides)


def parts(goal):
    """What is asked of a machine at a flange: (turn?, direction, value, tolerance)."""
    f, j, tol = goal["flange"], goal["joint"], goal["tolerance"]
    unit = lambda d: np.array([d["x"], d["y"], d["z"]], float) / np.linalg.norm([d["x"], d["y"], d["z"]])
    axis, up = unit(f["axis"]), unit(f["up"])
    up = up - (up @ axis) * axis
    up /= np.linalg.norm(up)
    right = np.cross(axis, up)
    centre = np.array([f["centre"][k][0] for k in "xyz"])
    at = centre + j["mean"][0] * axis  # the pipe's face
    out = []
    if "gasket" in j:
        out.append((False, axis, j["mean"][0] - j["gasket"][0], tol["gap"][0]))
    if "offset" in j:
        out.append((False, up, j["offset"]["up"][0], tol["offset"][0]))
        out.append((False, right, j["offset"]["right"][0], tol["offset"][0]))
    if "rotation" in j:
        out.append((True, axis, j["rotation"][0], tol["rotation"][0]))
    # A face that opens at the right is closed by a turn about up; one that opens
    # at the top by a turn the other way about right.
    out.append((True, up, j["tilt"]["right"][0] / 1000, tol["tilt"][0] / 1000))
    out.append((True, right, -j["tilt"]["up"][0] / 1000, tol["tilt"][0] / 1000))
    return at, out


def write(t, criteria, sides, wider=0.0):
    """The linear program, with columns for what the criteria need."""
    n, extra = t.n, {}
    for name, needs in (("coupling", {"best-alignment", "best-together"}), ("flange", {"best-flange-fit", "best-together"}),
                        ("together", {"best-together"}), ("largest", {"smallest-largest-move"})):
        if needs & set(criteria):
            extra[name] = n
            n += 1
    sizes = []
    if {"least-total-move", "least-shim-change", "fewest-feet"} & set(criteria):
        for i, m in enumerate(t.t["machines"]):
            for _ in m["feet"]["at"] if t.ways[i] else []:
                sizes.append((n, n + 1, m.get("weight", 1.0)))
                n += 2
    r = Rows(n)

    def share(row, at, limit, column):
        for s in (1, -1):
            b = s * row
            b[column] = -limit
            r.add(b, -np.inf, -s * at)

    size = iter(sizes)
    for i, m in enumerate(t.t["machines"]):
        if not t.ways[i]:
            continue
        f = m["feet"]
        for k, at in enumerate(f["at"]):
            room = f["room"][k] if "room" in f else [None] * 4
            for way, (down, up), n3 in ((0, room[:2], (0, 1, 0)), (1, room[2:], (0, 0, 1))):
                row = np.zeros(n)
                t.at(row, i, at, n3)
                if down is not None or up is not None:
                    r.add(row.copy(), -np.inf if down is None else -down / STEP - wider, np.inf if up is None else up / STEP + wider)
                if "largest" in extra:
                    share(row, 0.0, 1 / m.get("weight", 1.0), extra["largest"])
                if sizes:
                    if way == 0:
                        mine = next(size)
                    share(row, 0.0, 1.0, mine[way])
    states = t.t.get("states") or [{"relative": [{}] * len(t.t["couplings"])}]
    for i, c in enumerate(t.t["couplings"]):
        near, far = c["near"], c["far"]

        def difference(x, toward):
            row = np.zeros(n)
            for s, k in ((far, 1.0), (near, -1.0)):
                p = (x, s.get("height", [0])[0], s.get("lateral", [0])[0])
                t.at(row, s["machine"], p, (0.0, toward[0], toward[1]), k)
            return row

        def position(state, x, toward):
            at = 0.0
            for a in (c["found"], state["relative"][i]):
                (ov, sv), (oh, sh) = line(a)
                at += (ov + sv * x) * toward[0] + (oh + sh * x) * toward[1]
            return at

        limits = []
        for o in c.get("offsets", []):
            where, k = towards(o.get("resultant", False), sides)
            x = o["station"][0]
            limits += [(difference(x, w), [position(s, x, w) for s in states], k * o["limit"][0]) for w in where]
        if "slope" in c:
            where, k = towards(c["slope"].get("resultant", False), sides)
            span = 100.0  # mm over which the slope is taken
            limits += [(difference(span, w) - difference(0, w),
                        [position(s, span, w) - position(s, 0, w) for s in states], k * span * c["slope"]["limit"][0] / 1000) for w in where]
        for row, ats, limit in limits:
            for s, at in zip(states, ats):
                most = limit * s.get("widen", 1.0)
                if "coupling" in extra:
                    share(row, at / STEP, most / STEP, extra["coupling"])
                else:
                    r.add(row, (-most - at) / STEP - wider, (most - at) / STEP + wider)
        if "gap" in c:
            stations = [o["station"][0] for o in c.get("offsets", [])]
            x = sum(stations) / len(stations) if stations else 0.0
            row = np.zeros(n)
            for s, k in ((far, 1.0), (near, -1.0)):
                t.at(row, s["machine"], (x, s.get("height", [0])[0], s.get("lateral", [0])[0]), (1, 0, 0), k)
            e, tol = c["gap"]["error"][0], c["gap"]["tolerance"][0]
            r.add(row, (-tol - e) / STEP - wider, (tol - e) / STEP + wider)
    for i, m in enumerate(t.t["machines"]):
        for g in m.get("goals", []):
            at, asked = parts(g)
            for turn, direction, value, tol in asked:
                row = np.zeros(n)
                if turn:
                    t.put(row, i, np.zeros(3), direction * 1000.0)  # in steps over a metre
                    value, tol = value * 1000, tol * 1000
                else:
                    t.at(row, i, at, direction)
                if g["hard"]:
                    r.add(row.copy(), (value - tol) / STEP - wider, (value + tol) / STEP + wider)
                if "flange" in extra:
                    share(row, -value / STEP, tol / STEP, extra["flange"])
    for name in ("coupling", "flange") if "together" in extra else ():
        row = np.zeros(n)
        row[extra[name]], row[extra["together"]] = 1, -1
        r.add(row, -np.inf, 0)
    lower, upper = np.full(n, -np.inf), np.full(n, np.inf)
    lower[t.n:] = 0
    if "coupling" in extra:
        upper[extra["coupling"]] = 1 + wider
    return r, lower, upper, extra, sizes


def cost(name, n, extra, sizes):
    c = np.zeros(n)
    column = {"best-alignment": "coupling", "best-flange-fit": "flange", "best-together": "together", "smallest-largest-move": "largest"}.get(name)
    if column:
        c[extra[column]] = 1
    for up, side, weight in sizes if not column else ():
        c[up] = weight
        if name == "least-total-move":
            c[side] = weight
    return c


def fewest(r, lower, upper, sizes, least):
    """The number of feet that move, those that move by less than least not counted."""
    n, f, big = r.n, len(sizes), 1e3
    a = np.zeros((len(r.a) + 2 * f, n + f))
    a[:len(r.a), :n] = r.a
    for k, (up, side, _) in enumerate(sizes):
        for w, j in enumerate((up, side)):
            a[len(r.a) + 2 * k + w, [j, n + k]] = 1, -big
    lo = np.concatenate([r.lo, np.full(2 * f, -np.inf)])
    hi = np.concatenate([r.hi, np.full(2 * f, least)])
    c = np.concatenate([np.zeros(n), np.ones(f)])
    s = milp(c, constraints=LinearConstraint(a, lo, hi), integrality=np.concatenate([np.zeros(n), np.ones(f)]),
             bounds=Bounds(np.concatenate([lower, np.zeros(f)]), np.concatenate([upper, np.ones(f)])))
    return None if s.status == 2 else round(s.fun)


def solve(train, criteria, sides, wider=0.0, keep=1e-9):
    """None when nothing fits, else the value of each criterion."""
    t = Train(train)
    r, lower, upper, extra, sizes = write(t, criteria, sides, wider)
    out = []
    for name in criteria:
        if name == "fewest-feet":
            counts = [fewest(r, lower, upper, sizes, v) for v in (0.0, 0.01, 0.02)]
            if counts[0] != counts[1] or counts[1] != counts[2]:
                raise ValueError("hangs on what counts as moved")
            return None if counts[0] is None else out + [counts[0]]
        c = cost(name, r.n, extra, sizes)
        a, lo, hi = np.array(r.a), np.array(r.lo), np.array(r.hi)
        same = lo == hi
        up, down = np.isfinite(hi) & ~same, np.isfinite(lo) & ~same
        s = linprog(c, A_ub=np.vstack([a[up], -a[down]]), b_ub=np.concatenate([hi[up], -lo[down]]),
                    A_eq=a[same] if same.any() else None, b_eq=hi[same] if same.any() else None,
                    bounds=np.column_stack([lower, upper]), method="highs")
        if s.status == 2:
            return None
        if s.status != 0:
            raise ValueError(s.message)
        out.append(s.fun)
        r.add(c, -np.inf, s.fun + keep * (1 + abs(s.fun)))
    return out


def settled(train, criteria, sides, wider=1e-6, allowed=1e-4):
    """The answer, if it does not hang on rounding; wider 0 for a plan that fits exactly."""
    base = solve(train, criteria, sides)
    for w, keep in ((wider, 1e-9), (-wider, 1e-9), (0.0, 1e-7)):
        other = solve(train, criteria, sides, w, keep)
        if (base is None) != (other is None):
            raise ValueError("hangs on rounding")
        if base is not None and max(abs(a - b) / max(1, abs(a)) for a, b in zip(base, other)) > allowed:
            raise ValueError("ill-conditioned")
    return base


# ---- invented plants

rng = np.random.default_rng(20240607)


def axis(offset, slope, x):
    """About so far apart at station x, and out of parallel."""
    o, s = rng.normal(0, offset, 2), np.round(rng.normal(0, slope, 2), 6)
    one = lambda i: {"offset": q(round(o[i] - s[i] * x, 3)), "slope": q(round(1e3 * s[i], 3), "mm/m")}
    return {"vertical": one(0), "horizontal": one(1)}


def random_train(kind):
    n = int(rng.integers(1, 5)) if kind != "two" else 2
    goals = n == 1 or rng.random() < 0.45
    x, machines, joints, sizes = 0.0, [], [], []
    tight = rng.choice([0.6, 1.5, 3.0])
    for i in range(n):
        length, half = float(rng.integers(4, 16) * 100), float(rng.integers(2, 7) * 50)
        rows = [x, x + length] if rng.random() < 0.8 else [x, x + length / 2, x + length]
        at = [[s, 0.0, z] for s in rows for z in (-half, half)]
        room = []
        for _ in at:
            r = [round(float(v), 2) for v in tight * rng.uniform([0.1, 0.3, 0.3, 0.3], [0.8, 2.0, 1.5, 1.5])]
            for k in range(4):
                if rng.random() < 0.08:
                    r[k] = None
                elif kind == "degenerate" and rng.random() < 0.15:
                    r[k] = 0.0
            room.append(r)
        if rng.random() < 0.1:  # one foot that must not move
            room[int(rng.integers(len(room)))] = [0.0] * 4
        free = ["shift-y", "shift-z", "turn-y", "turn-z"]
        if rng.random() < 0.25:
            free = ["shift-x"] + free
        if rng.random() < 0.15:
            free.append("turn-x")
        free.sort(key=WAYS.index)
        m = {"name": f"machine {i}", "feet": {"unit": "mm", "at": at, "room": room}, "free": free}
        if n > 1 and rng.random() < 0.25 and any(k.get("free") for k in machines + [m]) and not (i == n - 1 and not any(k.get("free") for k in machines)):
            del m["free"]
        if rng.random() < 0.3:
            m["weight"] = float(rng.choice([0.5, 2.0, 5.0]))
        machines.append(m)
        sizes.append((x, x + length, half))
        joints.append(x + length)
        x += length + float(rng.integers(3, 12) * 100)
    couplings = []
    limit = float(rng.choice([0.06, 0.1, 0.2, 0.3]))
    for i in range(n - 1):
        a, b = joints[i] + 100, sizes[i + 1][0] - 100
        c = {"near": {"machine": i, "height": q(300)}, "far": {"machine": i + 1, "height": q(300)}, "found": axis(0.3, 0.2e-3, a)}
        if rng.random() < 0.15:
            c["near"]["lateral"] = q(150)
        res = bool(rng.random() < 0.4)
        stations = [a, b] if kind != "degenerate" or rng.random() < 0.7 else [a, a]
        c["offsets"] = [{"station": q(s), "limit": q(limit), **({"resultant": True} if res else {})} for s in stations]
        if kind == "degenerate" and rng.random() < 0.3:
            c["offsets"].append(dict(c["offsets"][0]))  # said twice
        if rng.random() < 0.4:
            c["slope"] = {"limit": q(float(rng.choice([0.3, 0.5, 1.0])), "mm/m"), **({"resultant": True} if res else {})}
        if rng.random() < 0.15:
            c["gap"] = {"error": q(round(rng.normal(0, 0.3), 2)), "tolerance": q(float(rng.choice([0.25, 0.5, 1.0])))}
        couplings.append(c)
    states = []
    for s in range(int(rng.integers(0, 4))) if couplings else ():
        st = {"name": f"state {s}", "relative": [axis(0.06, 0.06e-3, c["offsets"][0]["station"][0]) for c in couplings]}
        if rng.random() < 0.2:
            st["widen"] = 2.0
        states.append(st)
    if kind == "perfect":  # nothing to do
        states = []
        zero = {"offset": q(0), "slope": q(0, "mm/m")}
        for c in couplings:
            c["found"] = {"vertical": zero, "horizontal": zero}
            c.pop("gap", None)
    hard_goals = False
    if goals:
        for i in range(n):
            if not machines[i].get("free") or rng.random() < 0.4 and n > 1:
                continue
            lo, hi, half = sizes[i]
            side = rng.random() < 0.5
            f = {"centre": {"x": q(round(lo + rng.uniform(0.2, 0.8) * (hi - lo))), "y": q(500), "z": q(0 if not side else half)},
                 "axis": {"x": 0, "y": 0 if side else 1, "z": 1 if side else 0}, "up": {"x": 0 if side else 1, "y": 1 if side else 0, "z": 0}}
            wrong = 0.0 if kind == "perfect" else 0.4
            j = {"mean": q(3 + round(rng.normal(0, wrong), 2)), "gasket": q(3), "tilt": {"up": q(round(rng.normal(0, wrong / 2), 2), "mm/m"), "right": q(round(rng.normal(0, wrong / 2), 2), "mm/m")}}
            if rng.random() < 0.8:
                j["offset"] = {"up": q(round(rng.normal(0, wrong), 2)), "right": q(round(rng.normal(0, wrong), 2))}
            if rng.random() < 0.3:
                j["rotation"] = q(round(rng.normal(0, wrong * 1e-3), 5), "rad")
            tol = {"gap": q(0.8), "offset": q(1.0), "tilt": q(1.0, "mm/m"), "rotation": q(0.002, "rad")}
            hard = bool(rng.random() < 0.4)
            hard_goals = hard_goals or hard
            machines[i]["goals"] = [{"flange": f, "joint": j, "tolerance": tol, "hard": hard}]
    if n == 1 and not any(m.get("goals") for m in machines):
        return None
    t = {"machines": machines, "couplings": couplings}
    if states:
        t["states"] = states
    asked = any(m.get("goals") for m in machines)
    choices = [["best-alignment", "least-total-move"], ["smallest-largest-move", "least-total-move"], ["least-total-move"],
               ["least-shim-change", "least-total-move"], ["best-alignment"], ["smallest-largest-move"], ["least-total-move", "best-alignment"]]
    if not couplings:
        choices = [["least-total-move"], ["smallest-largest-move"]]
    if asked:
        choices += [["best-flange-fit", "least-total-move"], ["best-flange-fit"]] * 2
        if couplings:
            choices += [["best-together", "least-total-move"], ["best-alignment", "best-flange-fit"], ["best-flange-fit", "best-alignment"], ["best-together"]]
    elif rng.random() < 0.15:
        choices = [["fewest-feet"]]
    criteria = choices[int(rng.integers(len(choices)))]
    return t, criteria, (8 if rng.random() < 0.1 else 16)


def vector(number, kind, train, criteria, sides, values):
    where = {"machines": len(train["machines"]), "states": len(train.get("states", []))}
    expect = []
    for i, v in enumerate(values or []):
        e = {"name": f"value.{i}", "exact": float(v), "unit": "1", "tolerance": 2e-6 if i == 0 else 2e-5 * max(1, abs(v)), "reason": REASON}
        if criteria[i] == "fewest-feet":
            e["tolerance"], e["reason"] = 1e-9, "a count"
        elif criteria[i] not in SHARES:
            e["exact"], e["unit"], e["tolerance"] = float(v) * STEP, "mm", e["tolerance"] * STEP
        expect.append(e)
    expect.append({"name": "feasible", "text": "true" if values is not None else "false"})
    n, s = where["machines"], where["states"]
    words = f"{n} machine{'s' if n > 1 else ''}, {s} states, {', '.join(criteria)}"
    given = {"train": train, "criteria": criteria}
    if sides != 16:
        given["sides"] = sides
    return {"id": f"moves.random.plan-{number:04d}", "title": f"Invented at random: {words}", "computation": "moves.plan",
            "flags": ["random", kind], "input": given, "expect": expect, "source": "scipy-1-10-1-highs", "known": "derived"}


def main():
    out, infeasible, left_out = [], 0, 0
    while len(out) < COUNT:
        kind = str(rng.choice(["plain", "two", "degenerate", "perfect"], p=[0.45, 0.2, 0.28, 0.07]))
        made = random_train(kind)
        if made is None:
            continue
        made = json.loads(json.dumps(made))
        try:
            # A plan with a width of zero has no room to be narrowed.
            values = settled(*made, wider=0.0 if kind in ("degenerate", "perfect") else 1e-6)
            if kind in ("degenerate", "perfect") and values is None and solve(*made, wider=1e-5) is not None:
                raise ValueError("hangs on rounding")
        except ValueError:
            left_out += 1
            continue
        infeasible += values is None
        out.append(vector(len(out) + 1, kind, *made, values))
    for k in range(0, COUNT, PER_FILE):
        name = f"random-{k // PER_FILE + 1}"
        with open(f"{sys.argv[1]}/{name}.json", "w") as f:
            f.write('{"suite":"moves/%s","vectors":[\n' % name)
            f.write(",\n".join(json.dumps(v, separators=(",", ":")) for v in out[k:k + PER_FILE]))
            f.write("\n]}\n")
    print(f"{COUNT} plans, {infeasible} of them infeasible; {left_out} left out because they hang on rounding", file=sys.stderr)


if __name__ == "__main__":
    main()
