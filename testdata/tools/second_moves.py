"""Writes a second set of vectors of move planning as JSON on standard output.

Motions are carried out in three dimensions with scipy.spatial.transform.Rotation
and what is left at the couplings is read off with numpy.interp. Programs are
written down by the functions of moves_plans.py and solved by scipy.optimize.linprog
(HiGHS): alternatives way by way, a trade-off with the flange share bounded, the
least sum that limits must give with a slack for each. What conflicts is found by
trying every set of limits (itertools). Run with Python 3, NumPy and SciPy:
python3 second_moves.py
"""

import copy
import itertools
import sys

import numpy as np
from scipy.optimize import linprog
from scipy.spatial.transform import Rotation

sys.dont_write_bytecode = True

import moves_plans as plans  # noqa: E402
from emit import number, numbers, suite, text, vector  # noqa: E402

SOURCE = "scipy-1-10-1-highs"
REASON = "HiGHS keeps its rows to 1e-7 in scaled numbers"
STEP = plans.STEP
rng = np.random.default_rng(90113)
q = plans.q


def feet(lo, hi, half, room=None):
    f = {"unit": "mm", "at": [[x, 0.0, z] for x in (lo, hi) for z in (-half, half)]}
    if room:
        f["room"] = [list(room) for _ in range(4)]
    return f


def line(v, h):
    """(offset mm, slope mm/m) up and to the right."""
    return {w: {"offset": q(a[0]), "slope": q(a[1], "mm/m")} for w, a in (("vertical", v), ("horizontal", h))}


def coupling(found, stations, limit, height=0.0):
    return {
        "name": "coupling", "near": {"machine": 0, "height": q(height)}, "far": {"machine": 1, "height": q(height)}, "found": found,
        "offsets": [{"station": q(x), "limit": q(limit)} for x in stations],
    }


# ---- motions in space


def place(p):
    return dict(zip("xyz", (q(v) for v in p)))


def evaluated(n):
    half, height = 200.0, float(rng.integers(0, 4) * 100)
    machines = [{"name": "pump", "feet": feet(-1100.0, -300.0, half)}, {"name": "motor", "feet": feet(250.0, 950.0, half), "free": ["shift-y", "shift-z", "turn-y", "turn-z"]}]
    o = [float(v) for v in np.round(rng.uniform(-0.4, 0.4, 4), 3)]
    stations, limit = [-50.0, 50.0], 0.2
    c = coupling(line(o[:2], o[2:]), stations, limit, height)
    motions, bodies = [], []
    for _ in machines:
        about = np.round(rng.uniform(-300, 300, 3), 0)
        shift, turn = np.round(rng.uniform(-0.3, 0.3, 3), 3), np.round(rng.uniform(-2e-4, 2e-4, 3), 7)
        motions.append({"about": place(about), "shift": place(shift), "turn": {k: q(v, "rad") for k, v in zip("xyz", turn)}})
        r = Rotation.from_rotvec(turn)
        bodies.append(lambda p, r=r, a=about, s=shift: a + s + r.apply(p - a))
    reason = "turned in space by up to 0.35 mrad: the next term, half the turn squared times an arm of 1.4 m, is under 1e-4 mm"
    expected, ups, sides = [], [], []
    for i, m in enumerate(machines):
        for k, p in enumerate(np.array(m["feet"]["at"])):
            d = bodies[i](p) - p
            ups.append(d[1])
            sides.append(d[2])
            expected += numbers({f"foot.{i}.{k}.up": d[1], f"foot.{i}.{k}.right": d[2], f"foot.{i}.{k}.along": d[0]}, "mm", 1e-4, reason)
    ends = np.array([-2000.0, 2000.0])
    found = [np.polyval((o[1] / 1000, o[0]), ends), np.polyval((o[3] / 1000, o[2]), ends)]
    near = bodies[0](np.column_stack([ends, [height] * 2, [0.0] * 2]))
    far = bodies[1](np.column_stack([ends, height + found[0], found[1]]))

    def apart(x):
        return [np.interp(x, far[:, 0], far[:, k]) - np.interp(x, near[:, 0], near[:, k]) for k in (1, 2)]

    cold, ahead = apart(0.0), apart(1000.0)
    expected += numbers({"coupling.0.cold.vertical": cold[0], "coupling.0.cold.horizontal": cold[1]}, "mm", 2e-4, reason)
    expected += numbers({"coupling.0.cold.slope.vertical": ahead[0] - cold[0], "coupling.0.cold.slope.horizontal": ahead[1] - cold[1]}, "mm/m", 2e-4, reason)
    worst = np.max(np.abs([apart(x) for x in stations])) / limit
    expected.append(number("worst.coupling", worst, "1", 2e-3, reason + " of a limit of 0.2 mm"))
    expected.append(text("within", "true" if worst <= 1 else "false"))
    sizes = np.abs([ups, sides])
    expected += numbers({"largest": sizes.max(), "shims": sizes[0].sum(), "total": sizes.sum()}, "mm", 1.6e-3, reason + " for each of 16 moves")
    given = {"train": {"machines": machines, "couplings": [c]}, "motions": motions}
    return vector(f"evaluate-{n}", "Two machines shifted and turned as bodies in space", "moves.evaluate", given, expected, SOURCE)


# ---- programs


def minimum(r, lower, upper, c):
    a, lo, hi = np.array(r.a), np.array(r.lo), np.array(r.hi)
    up, down = np.isfinite(hi), np.isfinite(lo)
    s = linprog(c, A_ub=np.vstack([a[up], -a[down]]), b_ub=np.concatenate([hi[up], -lo[down]]), bounds=np.column_stack([lower, upper]), method="highs")
    return s if s.status == 0 else None


def piped(n):
    """A motor and a pump with a discharge; the flange and the coupling want different things."""
    at = float(rng.integers(4, 9) * 100)
    room = [0.1, 2.5, 3.0, 3.0]
    found = [float(v) for v in np.round(rng.uniform(-0.3, 0.3, 4) * [1, 0.5, 1, 0.5], 3)]
    tilt, mean, shift = np.round(rng.uniform(-0.5, 0.5, 2), 2), round(float(rng.uniform(0.5, 1.2)), 2), np.round(rng.uniform(-0.8, 0.8, 2), 2)
    goal = {
        "flange": {"name": "discharge", "centre": place([at, 500.0, 0.0]), "axis": {"x": 0, "y": 1, "z": 0}, "up": {"x": 1, "y": 0, "z": 0}},
        "joint": {"mean": q(3 + mean), "gasket": q(3), "tilt": {"up": q(tilt[0], "mm/m"), "right": q(tilt[1], "mm/m")}, "offset": {"up": q(0), "right": q(shift[0])}},
        "tolerance": {"gap": q(0.4), "tilt": q(0.5, "mm/m"), "offset": q(0.5)}, "hard": False,
    }
    ways = ["shift-y", "shift-z", "turn-y", "turn-z"]
    motor_room = [0.05, 0.08, 0.06, 0.06]
    machines = [
        {"name": "motor", "feet": feet(-1300.0, -400.0, 250.0, motor_room), "free": ways},
        {"name": "pump", "feet": feet(300.0, 1000.0, 200.0, room), "free": ways, "goals": [goal]},
    ]
    c = coupling(line(found[:2], found[2:]), [-100.0, 100.0], [0.2, 0.3, 0.25][n - 1])
    return {"machines": machines, "couplings": [c]}


def only(train, machine):
    out = copy.deepcopy(train)
    for i, m in enumerate(out["machines"]):
        if i != machine:
            m.pop("free", None)
    return out


def alternatives(n):
    train = piped(n)
    expected = []
    where = [("move motor alone", only(train, 0)), ("move pump alone", only(train, 1)), ("move all that may", train)]
    for i, (name, t) in enumerate(where):
        got = plans.settled(t, ["best-alignment"], 16)
        expected.append(text(f"way.{i}.name", name))
        expected.append(text(f"way.{i}.feasible", "false" if got is None else "true"))
        if got is not None:
            expected.append(number(f"way.{i}.coupling", got[0], "1", 1e-5, REASON))
    got = plans.settled(train, ["best-alignment"], 16)
    expected += [text("way.3.name", "alignment first"), number("way.3.coupling", got[0], "1", 1e-5, REASON)]
    # pipe first: the pump alone, whatever the coupling says
    free = only(train, 1)
    free["couplings"] = []
    got = plans.settled(free, ["best-flange-fit"], 16)
    expected += [text("way.4.name", "pipe first"), number("way.4.flange", got[0], "1", 1e-5, REASON)]
    together = plans.settled(train, ["best-together"], 16)[0]
    # which of both shares is the larger is told by what each could be alone within that bound
    r, lower, upper, extra, _ = plans.write(plans.Train(train), ["best-together"], 16)
    for part in ("coupling", "flange"):
        c = np.zeros(r.n)
        c[extra[part]] = 1
        bounded = upper.copy()
        bounded[extra["together"]] = together + 1e-7
        least = minimum(r, lower, bounded, c).fun
        if abs(least - together) < 1e-5:
            expected.append(number(f"way.5.{part}", together, "1", 1e-5, REASON))
    expected.append(text("way.5.name", "both together"))
    return vector(f"alternatives-{n}", "Six ways for a motor and a piped pump", "moves.alternatives", {"train": train}, expected, SOURCE)


def trade_off(n, points):
    train = piped(n)
    train = only(train, 1)  # the motor cannot follow
    aims = ["best-alignment", "best-flange-fit"]
    first = plans.settled(train, ["best-flange-fit", "best-alignment"], 16)
    last = plans.settled(train, ["best-alignment", "best-flange-fit"], 16)
    r, lower, upper, extra, _ = plans.write(plans.Train(train), aims, 16)
    c = np.zeros(r.n)
    c[extra["coupling"]] = 1
    pairs = [(first[1], first[0])]
    for f in np.linspace(first[0], last[1], points)[1:-1]:
        bounded = upper.copy()
        bounded[extra["flange"]] = f
        pairs.append((minimum(r, lower, bounded, c).fun, f))
    pairs.append((last[0], last[1]))
    expected = [number("points", len(pairs), "1", 1e-9, "a count")]
    for i, (a, f) in enumerate(pairs):
        expected += numbers({f"point.{i}.alignment": a, f"point.{i}.flange": f}, "1", 1e-5, REASON)
    return vector(f"trade-off-{n}", f"What alignment costs of flange fit, {points} points", "moves.trade-off", {"train": train, "points": points}, expected, SOURCE)


# ---- what must give, in the vertical plane


def limits_of(train):
    """(kind, row, lo, hi, what gives at the lower end, at the upper) in steps; a limit at a coupling gives both ways at once."""
    t, out = plans.Train(train), []
    for i, m in enumerate(train["machines"]):
        for k, at in enumerate(m["feet"]["at"]) if m.get("free") else ():
            row = np.zeros(t.n)
            t.at(row, i, at, (0, 1, 0))
            down, up = m["feet"]["room"][k][:2]
            out.append(("shims", row, -down / STEP, up / STEP, (i, k, "down"), (i, k, "up")))
    for i, c in enumerate(train["couplings"]):
        (v, s), _ = plans.line(c["found"])
        for o in c["offsets"]:
            x, most, row = o["station"][0], o["limit"][0], np.zeros(t.n)
            t.at(row, c["far"]["machine"], (x, 0, 0), (0, 1, 0))
            t.at(row, c["near"]["machine"], (x, 0, 0), (0, 1, 0), -1.0)
            at = v + s * x
            out.append(("coupling", row, (-most - at) / STEP, (most - at) / STEP, (i, x), (i, x)))
    return t.n, out


def least_sum(n, limits, may):
    gives = sorted({g for kind, *_, a, b in limits if kind in may for g in (a, b)}, key=str)
    r = plans.Rows(n + len(gives))
    for kind, row, lo, hi, a, b in limits:
        for end, g, sign in ((lo, a, 1.0), (hi, b, -1.0)):
            full = np.concatenate([row, np.zeros(len(gives))])
            if kind in may:
                full[n + gives.index(g)] = sign
            r.add(full, *((end, np.inf) if sign > 0 else (-np.inf, end)))
    lower = np.concatenate([np.full(n, -np.inf), np.zeros(len(gives))])
    s = minimum(r, lower, np.full(r.n, np.inf), np.concatenate([np.zeros(n), np.ones(len(gives))]))
    return None if s is None else s.fun * STEP


def conflicts(n, limits):
    """Every set of ends that cannot be kept while each part of it can."""
    ends = [(kind, sign * row, sign * end) for kind, row, lo, hi, *_ in limits for sign, end in ((-1.0, lo), (1.0, hi))]

    def fits(some):
        return linprog(np.zeros(n), A_ub=[e[1] for e in some], b_ub=[e[2] for e in some], bounds=[(None, None)] * n, method="highs").status == 0

    found = []
    for size in range(1, 5):
        for some in itertools.combinations(range(len(ends)), size):
            if not any(set(f) <= set(some) for f in found) and not fits([ends[k] for k in some]):
                found.append(some)
    return [(len(f), " ".join(sorted({ends[k][0] for k in f}))) for f in found]


def explained(n, found, room, free, stations, limit):
    machines = [{"name": "pump", "feet": feet(-1000.0, -400.0, 200.0)}, {"name": "motor", "feet": feet(300.0, 900.0, 200.0, room + [None, None]), "free": free}]
    train = {"machines": machines, "couplings": [coupling(line(found, (0.0, 0.0)), stations, limit)]}
    size, limits = limits_of(train)
    assert least_sum(size, limits, ()) is None
    expected = [text("feasible", "false")]
    for kind in ("shims", "coupling"):
        got = least_sum(size, limits, (kind,))
        if got is not None:
            expected.append(number("relax." + kind, got, "mm", 1e-5, REASON))
    expected.append(number("relax.together", least_sum(size, limits, ("shims", "coupling")), "mm", 1e-5, REASON))
    sets = set(conflicts(size, limits))
    if len({s[0] for s in sets}) == 1:
        expected.append(number("conflict.size", next(iter(sets))[0], "1", 1e-9, "a count; every set of limits was tried"))
    if len({s[1] for s in sets}) == 1:
        expected.append(text("conflict.kinds", next(iter(sets))[1]))
    # the best share with the feet kept
    r = plans.Rows(size + 1)
    for kind, row, lo, hi, *_ in limits:
        if kind == "shims":
            r.add(np.append(row, 0.0), lo, hi)
            continue
        r.add(np.append(row, -limit / STEP), -np.inf, (hi + lo) / 2)
        r.add(np.append(-row, -limit / STEP), -np.inf, -(hi + lo) / 2)
    best = minimum(r, np.append(np.full(size, -np.inf), 0.0), np.full(size + 1, np.inf), np.append(np.zeros(size), 1.0)).fun
    expected.append(number("compromise.coupling", best, "1", 1e-5, REASON))
    return vector(f"explain-{n}", "A motor that its shims do not let into line: what must give, and what conflicts", "moves.explain", {"train": train}, expected, SOURCE)


both_ways = ["shift-y", "turn-z"]
out = [evaluated(n) for n in (1, 2, 3, 4)]
out += [
    explained(1, (0.9, 0.0), [0.4, 1.0], ["shift-y"], [-60.0, 60.0], 0.1),
    explained(2, (-0.2, 1.4), [0.3, 0.5], both_ways, [-80.0, 120.0], 0.05),
    explained(3, (0.35, -2.2), [0.2, 0.6], both_ways, [0.0, 150.0], 0.08),
    explained(4, (0.0, 1.1), [2.0, 2.0], ["shift-y"], [-200.0, 200.0], 0.1),
]
out += [trade_off(n, p) for n, p in ((1, 4), (2, 5), (3, 3))]
out += [alternatives(n) for n in (1, 2, 3)]
suite("moves/second-library", out)
