"""Linear programs with few variables and very many limits, of which few count.

The program is: make c.z least, z free, under rows a.z <= b. The rows are not
written down; a function finds those that a point breaks, and only rows that were
broken at some point are ever looked at.

The method is the dual simplex method of Lemke (Naval Research Logistics Quarterly
1, 1954, from memory) in the space of z: a vertex is held by as many rows as there
are variables, with multipliers that are not negative, so that it is best among the
rows that hold it. A row that the vertex breaks takes the place of one that holds
it, chosen so that all multipliers stay at or above zero. The vertex that breaks
nothing is the answer; when no row can make place, the broken row and those that
hold the vertex contradict one another, and nothing keeps all limits.

To begin, the vertex is a corner of a box so large that no sensible answer
reaches it.
"""

import math

from common import Fault, solve

TINY = 1e-9  # of a multiplier or of a pivot
BROKEN = 1e-9  # how far a row may be broken
BOX = 1e4
PATIENCE = 2000  # exchanges
UNLIKE, GOLDEN = 1e-9, 0.6180339887498949


class Infeasible(Exception):
    """No point keeps all rows. rows are those that contradict one another, as (pairs, b).

    The broken row is minus a sum of rows that hold the vertex, with weights above
    zero; those rows are independent, so that without any one of them the others can
    be kept.
    """

    def __init__(self, rows):
        super().__init__("nothing keeps all rows")
        self.rows = rows


class Program:
    """n variables; broken(z) gives (amount, pairs, b) of broken rows, pairs being (index, coefficient)."""

    def __init__(self, n, cost, broken, floors=()):
        self.n, self.cost, self.floors = n, cost, dict(floors)  # variables with a lower bound of their own
        self.given = broken

    def broken(self, z):
        yield from self.given(z)
        for j, low in self.floors.items():
            if z[j] < low:
                yield low - z[j], [(j, -1.0)], -low

    def start(self):
        """The corner of the box that is best for the cost."""
        self.rows, self.b, self.multiplier = [], [], []
        self.inverse = []
        self.z = []
        for j in range(self.n):
            c = self.cost[j]
            low = self.floors.get(j)
            sign = -1.0 if c > 0 or low is not None else 1.0
            self.rows.append([(j, sign)])
            self.b.append(-low if low is not None else BOX)
            self.multiplier.append(abs(c))
            self.inverse.append([sign if k == j else 0.0 for k in range(self.n)])
            self.z.append(sign * self.b[-1])

    def pivot(self, pairs, b):
        """Takes a broken row in."""
        n = self.n
        w = [0.0] * n
        for j, a in pairs:
            w = [x + a * y for x, y in zip(w, self.inverse[j])]
        best, leaving = math.inf, -1
        for k, x in enumerate(w):
            if x > TINY:
                ratio = self.multiplier[k] / x
                if ratio < best - 1e-15 or ratio < best + 1e-15 and x > w[leaving]:
                    best, leaving = min(ratio, best), k
        if leaving < 0:
            held = [(r, x) for r, x, k in zip(self.rows, self.b, w) if k < -TINY]
            raise Infeasible([(pairs, b)] + held)
        size = w[leaving]
        lack = b - math.fsum([a * self.z[j] for j, a in pairs])
        for j in range(n):
            row = self.inverse[j]
            p = row[leaving] / size
            if p:
                row = [x - p * y for x, y in zip(row, w)]
                row[leaving] = p
                self.inverse[j] = row
                self.z[j] += lack * p
        m = self.multiplier
        step = m[leaving] / size
        if step:
            m = [max(0.0, x - step * y) for x, y in zip(m, w)]
        m[leaving] = step
        self.multiplier = m
        self.rows[leaving], self.b[leaving] = pairs, b

    def solve(self):
        """The best point; raises Infeasible.

        Where many multipliers are zero the exchanges may go round in a circle. Costs
        that differ a little from one variable to the next part them.
        """
        z = self._run(PATIENCE)
        if z is None:
            self.cost = [c + UNLIKE * (0.5 + j * GOLDEN % 1.0) for j, c in enumerate(self.cost)]
            z = self._run(10 * PATIENCE)
        if z is None:
            raise Fault("out-of-range", "no end")
        return z

    def _run(self, most):
        self.start()
        for count in range(most):
            worst = None
            for row in self.broken(self.z):
                if worst is None or row[0] > worst[0]:
                    worst = row
            if worst is None or worst[0] <= BROKEN:
                return self.proved()
            self.pivot(worst[1], worst[2])
            if count % 200 == 199:
                self.refresh()
        return None

    def proved(self):
        """The vertex worked out anew and looked at once more.

        It is best because its rows have multipliers that are not negative and that make
        up the cost (duality); one of a side of the box would say that nothing but the
        box holds it.
        """
        self.refresh()
        if any(row[0] > 1e-6 for row in self.broken(self.z)):
            raise Fault("out-of-range", "not proved")
        for j in range(self.n):
            made = math.fsum([m * a for m, row in zip(self.multiplier, self.rows) for i, a in row if i == j])
            if abs(made + self.cost[j]) > 1e-6 * (1 + abs(self.cost[j])):
                raise Fault("out-of-range", "not proved")
        for m, b, row in zip(self.multiplier, self.b, self.rows):
            if b == BOX and len(row) == 1 and m > 1e-6:
                raise Fault("out-of-range", "no end")
        return self.z

    def refresh(self):
        """Works the vertex out anew from the rows that hold it."""
        matrix = []
        for pairs in self.rows:
            line = [0.0] * self.n
            for j, a in pairs:
                line[j] += a
            matrix.append(line)
        self.z = solve(matrix, self.b)
