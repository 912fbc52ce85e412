"""Why nothing fits: limits one by one, what contradicts, and what would have to give.

A limit is one thing that somebody may widen: what a foot may go one way, the
offset or slope at a coupling in one state (in both planes, or all round), a gap,
or one part of what a flange asks. It may be several rows of a program; widening it
moves all of them. A slope counts over 0.1 m, a turn at the farthest foot or nozzle
(testdata/README.md, "Planning moves").
"""

import math

from linprog import Infeasible, Program

SLOPE_LEVER = 0.1  # m


class Limit:
    """kind, weight (how an amount counts as a length), rows (pairs, b, what b gains from an amount of one)."""

    def __init__(self, kind, rows, weight=1.0):
        self.kind, self.rows, self.weight = kind, rows, weight


def two_sided(pairs, low, high):
    return [(pairs, high, 1.0), ([(j, -c) for j, c in pairs], -low, 1.0)]


def limits_of(planner):
    """All limits of a train."""
    out = []
    for _, foot in planner.feet():
        ends = list(zip(("shims", "shims", "bolt-holes", "bolt-holes"), foot.room,
                        (foot.up, foot.up, foot.right, foot.right), (-1.0, 1.0, -1.0, 1.0)))
        for kind, room, f, sign in ends:
            if room is not None:
                out.append(Limit(kind, [([(j, sign * c) for j, c in planner.pairs(f)], room, 1.0)]))
    for machine in planner.train.machines:
        for goal in machine.goals:
            for p in goal.parts if goal.hard else ():
                turn = p.name.startswith(("tilt", "rotation"))
                out.append(Limit("flange", two_sided(planner.pairs(p.left), -p.tolerance - p.left.const,
                                                     p.tolerance - p.left.const), machine.lever if turn else 1.0))
    for i, c in enumerate(planner.train.couplings):
        # A limit that is written twice is one limit.
        for limit in {limit[:4]: limit for limit in c.limits}.values():
            out += coupling_limits(planner, i, limit)
        if c.gap is not None:
            f, size = c.gap
            out.append(Limit("axial-gap", two_sided(planner.pairs(f), -size - f.const, size - f.const)))
    return out


def coupling_limits(planner, i, limit):
    """A limit of a coupling in each state."""
    slope, _, _, resultant, fv, fh = limit
    weight = SLOPE_LEVER if slope else 1.0
    out = []
    for dv, dh, size in planner.train.running(i, limit):
        if not resultant:
            rows = [row for f, d in ((fv, dv), (fh, dh))
                    for row in two_sided(planner.pairs(f), -size - f.const - d, size - f.const - d)]
            out.append(Limit("coupling", rows, weight))
            continue
        reach = math.cos(math.pi / planner.sides)
        rows = []
        for k in range(planner.sides):
            a = 2 * math.pi * k / planner.sides
            cos, sin = math.cos(a), math.sin(a)
            pairs = [(j, cos * c) for j, c in planner.pairs(fv)] + [(j, sin * c) for j, c in planner.pairs(fh)]
            rows.append((pairs, size * reach - cos * (fv.const + dv) - sin * (fh.const + dh), reach))
        out.append(Limit("coupling", rows, weight))
    return out


def breaker(rows):
    """What finds broken rows (pairs, b) among these."""
    def broken(z):
        for pairs, b in rows:
            f = 0.0
            for j, c in pairs:
                f += c * z[j]
            if f > b:
                yield f - b, pairs, b
    return broken


def feasible(planner, limits):
    """None, or the limits that contradict one another."""
    n = len(planner.index)
    owner = {id(pairs): limit for limit in limits for pairs, _, _ in limit.rows}
    try:
        Program(n, [0.0] * n, breaker([(p, b) for limit in limits for p, b, _ in limit.rows])).solve()
    except Infeasible as e:
        found = [owner[id(pairs)] for pairs, _ in e.rows if id(pairs) in owner]
        return list(dict.fromkeys(found))
    return None


def smallest(planner, limits):
    """Limits that contradict, of which none can be left out: tried one by one."""
    kept = feasible(planner, limits)
    for limit in list(kept):
        rest = [x for x in kept if x is not limit]
        if feasible(planner, rest) is not None:
            kept = rest
    return kept


def relaxation(planner, limits, kinds):
    """The least sum (mm) that limits of these kinds must give with all others kept, or None."""
    n = len(planner.index)
    cost, rows = [0.0] * n, []
    for limit in limits:
        if limit.kind not in kinds:
            rows += [(pairs, b) for pairs, b, _ in limit.rows]
            continue
        j = len(cost)
        cost.append(limit.weight)
        rows += [(pairs + [(j, -gain)], b) for pairs, b, gain in limit.rows]
    floors = {j: 0.0 for j in range(n, len(cost))}
    try:
        z = Program(len(cost), cost, breaker(rows), floors).solve()
    except Infeasible:
        return None
    return math.fsum(c * x for c, x in zip(cost, z))
