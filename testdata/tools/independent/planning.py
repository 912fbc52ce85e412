"""Linear programs for a train: limits, criteria one after the other, fewest feet.

Each criterion is made least in turn, with the values reached before as further
limits; of all that is equally good the least total move is taken. Limits are given
to linprog.Program as they are broken, not written down:

    a range         low <= f <= high
    a share         |f + c| <= size t, t the largest share, in every state
    a polygon       n.(v, h) <= size cos(pi/sides), for the side that faces (v, h)
    a sum of moves  sum of |f| <= T, by the signs that the moves have just then
"""

import math

from linprog import Infeasible, Program

SLACK = 1e-9  # how far a value reached before may be given up again
# Weights where nothing else decides: the total move, then every way of a machine by
# itself (a move along the train, say, is no move of a foot up or sideways).
AFTERTHOUGHT, LAST_THOUGHT = 1e-7, 1e-9


class Limits:
    """The limits of a program, as lists of the four kinds."""

    def __init__(self, sides):
        self.ranges, self.shares, self.polygons, self.sums, self.rows = [], [], [], [], []
        self.step = 2 * math.pi / sides
        self.inside = math.cos(math.pi / sides)

    def broken(self, z):
        """Rows that z breaks: (amount, pairs, b) for the row pairs.z <= b."""
        for pairs, low, high in self.ranges:
            f = 0.0
            for j, c in pairs:
                f += c * z[j]
            # Both ends may be broken at once, where two states contradict one another.
            if f - high > max(0.0, low - f):
                yield f - high, pairs, high
            elif f < low:
                yield low - f, [(j, -c) for j, c in pairs], -low
        for pairs, states, t in self.shares:
            f = 0.0
            for j, c in pairs:
                f += c * z[j]
            for const, size in states:
                over = abs(f + const) - size * z[t]
                if over > 0:
                    if f + const > 0:
                        yield over, pairs + [(t, -size)], -const
                    else:
                        yield over, [(j, -c) for j, c in pairs] + [(t, -size)], const
        for first, second, states, t in self.polygons:
            yield from self._sides(first, second, states, t, z)
        for terms, t in self.sums:
            yield from _sum(terms, t, z)
        for pairs, b in self.rows:
            f = 0.0
            for j, c in pairs:
                f += c * z[j]
            if f > b:
                yield f - b, pairs, b

    def _sides(self, first, second, states, t, z):
        v = h = 0.0
        for j, c in first:
            v += c * z[j]
        for j, c in second:
            h += c * z[j]
        for cv, ch, size in states:
            angle = round(math.atan2(h + ch, v + cv) / self.step) * self.step
            cos, sin = math.cos(angle), math.sin(angle)
            reach = size * self.inside
            out = cos * (v + cv) + sin * (h + ch) - reach * (1.0 if t is None else z[t])
            if out <= 0:
                continue
            pairs = [(j, cos * c) for j, c in first] + [(j, sin * c) for j, c in second]
            b = -cos * cv - sin * ch
            if t is None:
                yield out, pairs, b + reach
            else:
                yield out, pairs + [(t, -reach)], b


def _sum(terms, t, z):
    """The sum of weight |f| is the largest of all sums with signs; the signs of now give the row."""
    total, row = 0.0, {}
    for pairs, weight in terms:
        f = 0.0
        for j, c in pairs:
            f += c * z[j]
        sign = weight if f >= 0 else -weight
        total += sign * f
        for j, c in pairs:
            row[j] = row.get(j, 0.0) + sign * c
    if total > z[t]:
        yield total - z[t], [(j, c) for j, c in row.items() if c] + [(t, -1.0)], 0.0


class Planner:
    """Programs for one train. keep says which kinds of limits are kept."""

    KINDS = ("shims", "bolt-holes", "coupling", "axial-gap", "flange")

    def __init__(self, train, sides, keep=KINDS, wishes=False, only=None):
        self.train, self.sides, self.keep, self.wishes = train, sides, set(keep), wishes
        self.moving = [m for m, machine in enumerate(train.machines) if machine.moves and (only is None or m in only)]
        self.index = {}
        for m in self.moving:
            machine = train.machines[m]
            for k in sorted(set(machine.free)):
                self.index[m, k] = len(self.index)
        self.held = {}  # (machine, foot) that must stay

    def pairs(self, f):
        """A functional as (index, coefficient) of what may move."""
        return [(self.index[key], c) for key, c in f.coefficients.items() if key in self.index and c]

    # ------------------------------------------------------------ limits

    def fixed(self, limits, skip=()):
        """Adds every limit that is kept, but for the kinds in skip."""
        keep = self.keep - set(skip)
        for m in self.moving:
            for k, foot in enumerate(self.train.machines[m].feet):
                held = (m, k) in self.held
                down, up, left, right = foot.room
                if "shims" in keep or held:
                    self._range(limits, foot.up, down, up, held)
                if "bolt-holes" in keep or held:
                    self._range(limits, foot.right, left, right, held)
        for machine in self.train.machines:
            for goal in machine.goals:
                if "flange" in keep and goal.hard and not self.wishes:
                    for p in goal.parts:
                        limits.ranges.append((self.pairs(p.left), -p.tolerance - p.left.const,
                                              p.tolerance - p.left.const))
        for i, c in enumerate(self.train.couplings):
            if "coupling" in keep:
                self._coupling(limits, i, c, None)
            if "axial-gap" in keep and c.gap is not None:
                f, size = c.gap
                limits.ranges.append((self.pairs(f), -size - f.const, size - f.const))

    def _range(self, limits, f, low, high, held):
        if held:
            low = high = 0.0
        if low is None and high is None:
            return
        limits.ranges.append((self.pairs(f), -math.inf if low is None else -low,
                              math.inf if high is None else high))

    def _coupling(self, limits, i, c, t):
        """The limits of a coupling, kept outright or as shares t."""
        for limit in c.limits:
            states = self.train.running(i, limit)
            fv, fh, resultant = limit[4], limit[5], limit[3]
            if resultant:
                consts = [(fv.const + dv, fh.const + dh, size) for dv, dh, size in states]
                limits.polygons.append((self.pairs(fv), self.pairs(fh), consts, t))
                continue
            for k, f in enumerate((fv, fh)):
                consts = [(f.const + s[k], s[2]) for s in states]
                if t is not None:
                    limits.shares.append((self.pairs(f), consts, t))
                else:
                    limits.ranges.append((self.pairs(f), max(-size - c0 for c0, size in consts),
                                          min(size - c0 for c0, size in consts)))

    # ------------------------------------------------------------ criteria

    def measure(self, limits, criterion, n):
        """Adds what a criterion measures; returns (number of new variables, their costs)."""
        if criterion in ("best-alignment", "best-together"):
            for i, c in enumerate(self.train.couplings):
                self._coupling(limits, i, c, n)
        if criterion in ("best-flange-fit", "best-together"):
            for machine in self.train.machines:
                for goal in machine.goals:
                    for p in goal.parts:
                        limits.shares.append((self.pairs(p.left), [(p.left.const, p.tolerance)], n))
        if criterion == "smallest-largest-move":
            for machine, foot in self.feet():
                for f in (foot.up, foot.right):
                    limits.shares.append((self.pairs(f), [(f.const, 1 / machine.weight)], n))
        if criterion in ("least-total-move", "least-shim-change"):
            return self._sums(limits, n, criterion == "least-total-move")
        return 1, [1.0]

    def feet(self):
        for m in self.moving:
            for foot in self.train.machines[m].feet:
                yield self.train.machines[m], foot

    def _sums(self, limits, n, sideways):
        """A sum for each machine and direction, which takes fewer rows than one for all."""
        added = 0
        for m in self.moving:
            machine = self.train.machines[m]
            if not machine.feet:
                continue
            for pick in (lambda f: f.up, lambda f: f.right)[:2 if sideways else 1]:
                terms = [(self.pairs(pick(foot)), machine.weight) for foot in machine.feet]
                limits.sums.append((terms, n + added))
                added += 1
        return added, [1.0] * added

    # ------------------------------------------------------------ programs

    def run(self, criteria, values, last):
        """Makes the last of the criteria least; the ones before are held at their values.

        Returns (value, motions). Raises Infeasible. With last the total move decides
        where nothing else does.
        """
        limits = Limits(self.sides)
        n = len(self.index)
        floors, cost = {}, [0.0] * n
        skip = []
        if criteria and criteria[0] == "best-alignment":
            skip.append("coupling")  # a largest share of at most one says the same
        self.fixed(limits, skip)
        for k, criterion in enumerate(criteria):
            added, costs = self.measure(limits, criterion, n)
            names = list(range(n, n + added))
            floors.update({j: 0.0 for j in names})
            final = k == len(criteria) - 1
            cost += costs if final else [0.0] * added
            if not final:
                limits.rows.append(([(j, 1.0) for j in names], values[k] + SLACK))
            elif k == 0 and skip and "coupling" in self.keep:
                limits.rows.append(([(names[0], 1.0)], 1.0))
            n += added
        if last:
            if not criteria or criteria[-1] != "least-total-move":
                added, costs = self._sums(limits, n, True)
                cost += [AFTERTHOUGHT * c for c in costs]
                n += added
            limits.sums.append(([([(j, 1.0)], 1.0) for j in self.index.values()], n))
            cost.append(LAST_THOUGHT)
            n += 1
            floors.update({j: 0.0 for j in range(len(self.index), n)})
        program = Program(n, cost, limits.broken, floors)
        z = program.solve()
        value = math.fsum(c * x for c, x in zip(cost, z) if c >= 1.0)
        return value, self.motions(z)

    def motions(self, z):
        out = [[0.0] * 6 for _ in self.train.machines]
        for (m, k), j in self.index.items():
            out[m][k] = z[j]
        return out

    def best(self, criteria):
        """(values, motions) by the criteria one after the other; raises Infeasible."""
        values, motions = [], None
        for k, criterion in enumerate(criteria):
            final = k == len(criteria) - 1
            if criterion == "fewest-feet":
                before = [c for c in criteria[:k] if c != "fewest-feet"]
                kept = [v for c, v in zip(criteria, values) if c != "fewest-feet"]
                count, motions = self.fewest(before, kept)
                values.append(float(count))
                continue
            # A number of feet is kept by the feet that are held, not by a row.
            chosen = [c for c in criteria[:k + 1] if c != "fewest-feet"]
            kept = [v for c, v in zip(criteria, values) if c != "fewest-feet"]
            value, motions = self.run(chosen, kept, final)
            values.append(value)
        return values, motions

    # ------------------------------------------------------------ fewest feet

    def fewest(self, before, kept):
        """The fewest feet that move at all, by choosing for each machine which feet stay.

        A rigid machine that is held at some feet is held at all those that follow from
        them, so there are few choices. Machines are taken one after the other; a choice
        after which the rest cannot keep the limits, whatever they do, is dropped.
        """
        moving = self.moving
        choices = {m: self._choices(m) for m in moving}
        best = [math.inf, None, None]

        def attempt():
            try:
                return self._hold(before, kept)
            except Infeasible:
                return None

        def search(k, touched):
            if touched >= best[0]:
                return
            if k == len(moving):
                motions = attempt()
                if motions is not None:
                    best[0], best[1], best[2] = touched, motions, dict(self.held)
                return
            m = moving[k]
            for feet in choices[m]:
                count = touched + len(self.train.machines[m].feet) - len(feet)
                if count >= best[0]:
                    continue
                for foot in feet:
                    self.held[m, foot] = True
                if k == len(moving) - 1 or not feet or attempt() is not None:
                    search(k + 1, count)
                for foot in feet:
                    del self.held[m, foot]

        self._hold(before, kept)  # raises where nothing keeps the limits at all
        search(0, 0)
        self.held = best[2]
        return best[0], best[1]

    def _hold(self, before, kept):
        """Whether the limits can be kept with the feet held now; the motions."""
        if not before:
            return self.run([], [], True)[1]
        # The value reached by the last criterion is a limit as well.
        limits_values = kept + [0.0]
        return self.run(before + ["least-total-move"], limits_values, True)[1]

    def _choices(self, m):
        """Sets of feet of a machine that can stay while the others move, largest first."""
        machine = self.train.machines[m]
        ways = sorted(set(machine.free))
        rows = [[[f.coefficients.get((m, k), 0.0) for k in ways] for f in (foot.up, foot.right)]
                for foot in machine.feet]
        found = {frozenset(range(len(rows)))}
        work = [frozenset()]
        while work:
            held = work.pop()
            if held in found:
                continue
            found.add(held)
            for k in range(len(rows)):
                if k not in held:
                    work.append(_closure(held | {k}, rows))
        return sorted(found, key=lambda s: (-len(s), sorted(s)))


def _closure(held, rows):
    """All feet that cannot move when those cannot."""
    basis = []

    def reduced(v):
        v = list(v)
        for b, p in basis:
            if v[p]:
                f = v[p] / b[p]
                v = [x - f * y for x, y in zip(v, b)]
        return v

    def add(v):
        v = reduced(v)
        p = max(range(len(v)), key=lambda i: abs(v[i]))
        if abs(v[p]) > 1e-9:
            basis.append((v, p))

    for k in held:
        for v in rows[k]:
            add(v)
    out = set(held)
    for k, pair in enumerate(rows):
        if k not in out and all(max(map(abs, reduced(v))) <= 1e-9 for v in pair):
            out.add(k)
    return frozenset(out)
