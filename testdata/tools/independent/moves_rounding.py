"""Rounding a plan to what the shims make.

Definitions: testdata/README.md, "After a plan": each foot goes up or down to what
the shims make, so that the worst share at the couplings is least. The machine then
stands in the least-squares plane of its rounded feet.
"""

import itertools
import math

from common import INT, LENGTH, Fault, listof, lstsq, not_negative, opt, positive, record
from train import MOTION, Train, motions_of

FINEST = 1e-7  # m; no shim is that thin (own choice)
MANY = 8  # feet of one machine of which all choices are looked at
NANO = 1e-6  # mm; rounding of heights that are to be alike

_ROUND = record({"train": Train, "motions": listof(MOTION), "step": opt(LENGTH),
                 "reachable": opt(listof(listof(listof(LENGTH)))), "skip": opt(listof(INT), []), "twist": opt(LENGTH)})


def heights_of(foot, wanted, step, reachable):
    """The next heights below and above what is wanted that the foot can reach, mm."""
    if reachable:
        made = sorted(1e3 * x for x in reachable)
    elif step is None:
        raise Fault("missing", "step")
    else:
        n = math.floor(wanted / step)
        made = [step * k for k in (n - 1, n, n + 1, n + 2)]
    exact = [h for h in made if abs(h - wanted) <= NANO]
    below, above = [h for h in made if h < wanted - NANO], [h for h in made if h > wanted + NANO]
    near = exact or below[-1:] + above[:1]
    down, up = foot.room[:2]
    out = [h for h in near if (down is None or h >= -down - NANO) and (up is None or h <= up + NANO)]
    if not out:
        raise Fault("base-bound" if near and near[0] < 0 else "out-of-range", "shims")
    return out


class Stand:
    """The plane of a machine's rounded feet: shift up, turn across, turn along."""

    def __init__(self, machine, motion):
        self.machine, self.motion = machine, motion
        self.rows = [[1.0, f.at[0] - machine.about[0], -(f.at[2] - machine.about[2])] for f in machine.feet]
        self.columns = self._columns()

    def _columns(self):
        """As many of height, pitch and roll as the feet tell."""
        for columns in ([0, 1, 2], [0, 1], [0, 2], [0]):
            try:
                lstsq([[r[c] for c in columns] for r in self.rows], [0.0] * len(self.rows), tiny=1e-9)
                return columns
            except Fault:
                continue
        return []

    def on(self, shims):
        """(motion, what each foot is out of the plane, squares off the plan)."""
        # Height, pitch (turn z) and roll (turn x) in the order of the columns.
        planned = [self.motion[1], self.motion[5], self.motion[3]]
        rest = [c for c in range(3) if c not in self.columns]
        target = [s - math.fsum(r[c] * planned[c] for c in rest) for s, r in zip(shims, self.rows)]
        x, left, _ = lstsq([[r[c] for c in self.columns] for r in self.rows], target, tiny=1e-9)
        for c, value in zip(self.columns, x):
            planned[c] = value
        motion = list(self.motion)
        motion[1], motion[5], motion[3] = planned
        return motion, left


def choices(d, m, machine, motion):
    """For a machine: its choices as (motion, left, shims, squares), that of nearest rounding, whether twisted."""
    step = None if d.step is None else 1e3 * d.step
    wanted = [f.up.of({m: motion}) for f in machine.feet]
    lists = d.reachable[m] if d.reachable else []
    each = [heights_of(f, w, step, lists[k] if k < len(lists) else [])
            for k, (f, w) in enumerate(zip(machine.feet, wanted))]
    near = [min(h, key=lambda x, w=w: (abs(x - w), x)) for h, w in zip(each, wanted)]
    free = [k for k, h in enumerate(each) if len(h) > 1]
    sets = itertools.product(*each) if len(free) <= MANY else few_changes(near, each, free)
    limit = twist_limit(d, step, each)
    stand = Stand(machine, motion)
    out = []
    for shims in sets:
        moved, left = stand.on(shims)
        squares = math.fsum((s - w)**2 for s, w in zip(shims, wanted))
        out.append((moved, left, list(shims), squares, max(map(abs, left))))
    good = [c for c in out if c[4] <= limit + NANO]
    twisted = not good
    if twisted:
        least = min(c[4] for c in out)
        good = [c for c in out if c[4] <= least + NANO]
    return good, next(c for c in out if c[2] == near), twisted


def twist_limit(d, step, each):
    if d.twist is not None:
        return 1e3 * not_negative(d.twist, "twist")
    if step is not None:
        return step / 2
    return max((h[-1] - h[0] for h in each if len(h) > 1), default=0.0) / 2


def few_changes(near, each, free):
    """Roundings that differ from the nearest in two feet or fewer."""
    for n in (0, 1, 2):
        for feet in itertools.combinations(free, n):
            out = list(near)
            for k in feet:
                out[k] = each[k][0] if each[k][1] == near[k] else each[k][1]
            yield tuple(out)


def worst_coupling(train, motions):
    results = {}
    train.couplings_after(motions, results)
    return results["worst.coupling"]


def checked(d):
    if d.step is not None:
        positive(not_negative(d.step, "step"), "step")
        if d.step < FINEST:
            raise Fault("out-of-range", "step")
    if any(not 0 <= k < len(d.train.machines) for k in d.skip):
        raise Fault("mismatch", "skip")
    if d.reachable and (len(d.reachable) != len(d.train.machines) or any(
            r and len(r) != len(m.feet) for r, m in zip(d.reachable, d.train.machines))):
        raise Fault("mismatch", "reachable")
    return motions_of(d.train, d.motions)


def round_shims(v):
    """All choices of all machines are tried; of equal ones that with the least squares off the plan."""
    d = _ROUND(v)
    motions = checked(d)
    train = d.train
    options, nearest, warnings = [], list(motions), []
    for m, machine in enumerate(train.machines):
        stays = not any(motions[m]) or m in d.skip or not machine.feet
        if stays:
            options.append([(motions[m], [], [], 0.0, 0.0)])
            continue
        good, near, twisted = choices(d, m, machine, motions[m])
        options.append(good)
        nearest[m] = near[0]
        if twisted:
            warnings.append("feet-twisted")
    best = None
    for pick in itertools.product(*options):
        worst = worst_coupling(train, [p[0] for p in pick])
        squares = math.fsum(p[3] for p in pick)
        if best is None or (worst < best[0] - 1e-12 or worst < best[0] + 1e-12 and squares < best[1]):
            best = (worst, squares, pick)
    worst, _, pick = best
    results = {"wanted": worst_coupling(train, motions), "nearest": worst_coupling(train, nearest), "worst": worst,
               "proved": "true"}
    for m, p in enumerate(pick):
        results["machine.%d.twist" % m] = p[4] * 1e-3
        for k, (shim, left) in enumerate(zip(p[2], p[1])):
            results["machine.%d.shim.%d" % (m, k)] = shim * 1e-3
            results["machine.%d.left.%d" % (m, k)] = left * 1e-3
    before, after = train.evaluate(motions), train.evaluate([p[0] for p in pick])
    if before["worst.hard"] <= 1 + 1e-9 < after["worst.hard"]:
        warnings.append("flange-lost-by-rounding")
    return results, warnings


COMPUTATIONS = {"moves.round-shims": round_shims}
