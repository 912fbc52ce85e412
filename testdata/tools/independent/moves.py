"""Planning moves: plans, why there is none, and ways side by side.

Definitions: testdata/README.md, "Planning moves". The train is in train.py, the
programs in planning.py, conflict.py and linprog.py, what comes after a plan in
moves_after.py and moves_rounding.py.
"""

import conflict
import moves_after
import moves_rounding
from common import INT, TEXT, Fault, listof, opt, record
from linprog import Infeasible
from planning import Planner
from train import MOTION, Train, motions_of

CRITERIA = ("best-alignment", "best-flange-fit", "best-together", "smallest-largest-move", "least-total-move",
            "least-shim-change", "fewest-feet")
LENGTHS = ("smallest-largest-move", "least-total-move", "least-shim-change")
DEFAULT = ["best-alignment", "least-total-move"]
SIDES = 16
FEET = ("shims", "bolt-holes")


def criterion(v, path):
    if TEXT(v, path) not in CRITERIA:
        raise Fault("unknown-kind", path)
    return v


_PLAN = record({"train": Train, "criteria": opt(listof(criterion), []), "sides": opt(INT, SIDES)})


def options(d):
    """The criteria, with the sides of the polygon checked."""
    chosen = d.get("criteria") or DEFAULT
    if len(set(chosen)) < len(chosen):
        raise Fault("mismatch", "criteria")
    if d.sides % 4 or not 8 <= d.sides <= 64:
        raise Fault("out-of-range", "sides")
    d.train.must_move()
    return chosen


def plan(v):
    d = _PLAN(v)
    criteria = options(d)
    try:
        values, motions = Planner(d.train, d.sides).best(criteria)
    except Infeasible:
        motions, _ = compromise(d.train, d.sides)
        return dict(d.train.evaluate(motions), feasible="false"), []
    results = dict(d.train.evaluate(motions), feasible="true", proved="true")
    for i, (c, value) in enumerate(zip(criteria, values)):
        results["value.%d" % i] = value * 1e-3 if c in LENGTHS else value
    return results, []


_EVALUATE = record({"train": Train, "motions": listof(MOTION)})


def evaluate(v):
    d = _EVALUATE(v)
    return d.train.evaluate(motions_of(d.train, d.motions)), []


def compromise(train, sides, only=None, wishes=False):
    """(motions, kinds kept): the best that can be had while what is hardest to change is kept.

    Feet and flanges first, then feet alone, then nothing; the measure is the largest
    share at a coupling, and at a flange where flanges are not kept.
    """
    for keep in (FEET + ("flange",), FEET, ()):
        measure = "best-alignment" if "flange" in keep else "best-together"
        try:
            return Planner(train, sides, keep, wishes, only).best([measure])[1], keep
        except Infeasible:
            continue
    raise Fault("out-of-range")


def explain(v):
    d = _PLAN(v)
    options(d)
    planner = Planner(d.train, d.sides)
    limits = conflict.limits_of(planner)
    if conflict.feasible(planner, limits) is None:
        return {"feasible": "true"}, []
    found = conflict.smallest(planner, limits)
    results = {"feasible": "false", "conflict.size": float(len(found)),
               "conflict.kinds": " ".join(sorted({limit.kind for limit in found}))}
    kinds = {limit.kind for limit in limits}
    for kind in Planner.KINDS:
        give = conflict.relaxation(planner, limits, {kind}) if kind in kinds else None
        if give is not None:
            results["relax." + kind] = give * 1e-3
    results["relax.together"] = conflict.relaxation(planner, limits, kinds) * 1e-3
    motions, keep = compromise(d.train, d.sides)
    after = d.train.evaluate(motions)
    results["compromise.keeps"] = " ".join(k for k in keep if k in kinds)
    results["compromise.coupling"] = after["worst.coupling"]
    results["compromise.flange"] = after["worst.flange"]
    return results, []


_TRADE = record({"train": Train, "points": INT, "sides": opt(INT, SIDES)})


def trade_off(v):
    """From the best flange fit to the best alignment in equal steps of the flange share."""
    d = _TRADE(v)
    if not 2 <= d.points <= 100:
        raise Fault("out-of-range", "points")
    if not d.train.couplings or not any(m.goals for m in d.train.machines):
        raise Fault("missing", "flange or coupling")
    options(d)

    def planner():
        return Planner(d.train, d.sides, wishes=True)

    try:
        first = planner().best(["best-flange-fit"])[0][0]
    except Infeasible:
        return {"points": 0.0}, []
    last = planner().best(["best-alignment", "best-flange-fit"])[0][1]
    results = {"points": float(d.points)}
    for k in range(d.points):
        allowed = first + (last - first) * k / (d.points - 1)
        share, motions = planner().run(["best-flange-fit", "best-alignment"], [allowed], True)
        results["point.%d.alignment" % k] = share
        results["point.%d.flange" % k] = d.train.evaluate(motions)["worst.flange"]
    return results, []


def alternatives(v):
    """The usual ways: machines alone, all together, and where flanges ask, three orders of what comes first.

    In the last three what the flanges ask is wished for and not kept. Pipe first gives
    up the limits at the couplings; it is feasible when they are kept all the same.
    """
    d = _PLAN(v)
    criteria = options(d)
    ways = []
    movable = [i for i, m in enumerate(d.train.machines) if m.moves]
    if len(movable) > 1:
        ways += [("move %s alone" % d.train.machines[i].name, [i], criteria, {}) for i in movable]
    ways.append(("move all that may", movable, criteria, {}))
    if any(m.goals for m in d.train.machines):
        wish = {"wishes": True}
        ways.append(("alignment first", movable, DEFAULT, wish))
        ways.append(("pipe first", movable, ["best-flange-fit", "best-alignment", "least-total-move"],
                     {"wishes": True, "keep": FEET}))
        ways.append(("both together", movable, ["best-together", "least-total-move"], wish))
    results = {}
    for k, (name, moving, order, how) in enumerate(ways):
        planner = Planner(d.train, d.sides, only=moving, **how)
        try:
            motions = planner.best(order)[1]
            kept = True
        except Infeasible:
            motions, kept = compromise(d.train, d.sides, moving, how.get("wishes", False))[0], False
        after = d.train.evaluate(motions)
        kept = kept and ("keep" not in how or after["worst.coupling"] <= 1 + 1e-9)
        results.update({"way.%d.name" % k: name, "way.%d.feasible" % k: "true" if kept else "false",
                        "way.%d.coupling" % k: after["worst.coupling"], "way.%d.flange" % k: after["worst.flange"],
                        "way.%d.largest" % k: after["largest"]})
    return results, []


COMPUTATIONS = {
    "moves.plan": plan,
    "moves.evaluate": evaluate,
    "moves.explain": explain,
    "moves.trade-off": trade_off,
    "moves.alternatives": alternatives,
    **moves_after.COMPUTATIONS,
    **moves_rounding.COMPUTATIONS,
}
