"""Jobs whose inputs are not known exactly: first order, and by random trials.

Definitions: testdata/README.md, "Uncertain jobs". An effect is half the
difference of the answers one standard uncertainty to either side
(JCGM 100:2008, 5.1.3, note 2).
"""

import math
import random

from budget import Coefficients, cholesky, expand, matrix_of, propagate
from common import INT, RATIO, TEXT, Fault, listof, not_negative, opt, quantity, record, word
from distributions import DISTRIBUTION, factor, normals, probability
from jobs import ALIGNMENT, FORMULAS, Job, formula_job
from samples import half_up, intervals, symmetric

BEND = 0.1  # of the standard uncertainty, what a straight line may leave out (own choice)
BLOCK = 10_000  # trials; a simulation is made in whole blocks
MOST_TRIALS = 1_000_000

_CORRELATION = record({"first": TEXT, "second": TEXT, "coefficient": quantity("ratio", finite=False)})
_INPUT = record({"name": TEXT, "value": quantity(None)})
_SOURCE = record({
    "name": TEXT, "of": opt(TEXT), "distribution": DISTRIBUTION, "dials": opt(listof(TEXT), []),
    "vary": opt(word("readings", "clock-angles", "sag", "station", "diameter", "foot", "tape")),
    "foot": opt(word("near-inboard", "near-outboard", "far-inboard", "far-outboard")),
})
_MODEL = record({
    "formula": opt(word(*FORMULAS)), "inputs": opt(listof(lambda v, path: (_INPUT(v, path), v["value"][1]))),
    "reverseIndicator": opt(ALIGNMENT["reverseIndicator"]), "rimAndFace": opt(ALIGNMENT["rimAndFace"]),
    "sources": listof(_SOURCE), "correlations": opt(listof(_CORRELATION), []),
})


def job_of(m):
    """The job of a model, and the group (index of the input's source) of each of its sources."""
    given = [n for n in ("formula", "reverseIndicator", "rimAndFace") if m[n] is not None]
    if not given:
        raise Fault("missing", "formula")
    if len(given) > 1:
        raise Fault("mismatch", "more than one job")
    if given[0] == "formula":
        return formula_job(m)
    return Job.of_alignment(given[0], m)


class Linear:
    """Every output with its effects, source by source."""

    def __init__(self, job, correlations):
        if not job.sources:
            raise Fault("no-sources")
        self.job = job
        self.dofs = [s.dist.dof for s in job.sources]
        self.r = matrix_of([s.name for s in job.sources], correlations, self.dofs) if correlations else (
            Coefficients(len(job.sources), {}, []))
        self.values = job.answer({})
        self.effects, self.bends = [], []
        for k, s in enumerate(job.sources):
            u = s.dist.sigma()
            up, down = job.answer({k: u}), job.answer({k: -u})
            self.effects.append([(a - b) / 2 for a, b in zip(up, down)])
            self.bends.append([(a + b) / 2 - c for a, b, c in zip(up, down, self.values)])

    def output(self, i):
        return propagate([e[i] for e in self.effects], self.r, self.dofs)

    def covariance(self, i, j):
        """Of two outputs: sum over the sources of e_ai r_ab e_bj."""
        terms = [e[i] * e[j] for e in self.effects]
        for (a, b), r in self.r.pairs.items():
            terms.append(r * (self.effects[a][i] * self.effects[b][j] + self.effects[b][i] * self.effects[a][j]))
        return math.fsum(terms)

    def bent(self, i, sigma):
        left_out = math.sqrt(math.fsum(b[i]**2 for b in self.bends))
        return left_out > BEND * sigma * (1 + 1e-9) and left_out > 1e-12 * abs(self.values[i])


_LINEAR = record({"model": _MODEL, "probability": opt(RATIO)})


def linear(v):
    d = _LINEAR(v)
    law = Linear(job_of(d.model), d.model.correlations)
    results, warnings, done = {}, [], []
    for i, name in enumerate(law.job.outputs):
        p = law.output(i)
        results.update(expand(name + ".", law.values[i], p, d.probability))
        for g in range(len(d.model.sources)):
            members = [k for k, s in enumerate(law.job.sources) if s.group == g]
            effects = [e[i] for e in law.effects]
            results["%s.share.%d" % (name, g)] = math.fsum(p.shares[k] for k in members)
            results["%s.part.%d" % (name, g)] = math.sqrt(max(0.0, law.r.variance(effects, members, members)))
        for j, other in enumerate(done):
            if p.sigma > 0 and other > 0:
                results["%s.correlation.%d" % (name, j)] = law.covariance(i, j) / p.sigma / other
        done.append(p.sigma)
        if law.bent(i, p.sigma):
            warnings.append("not-linear")
    return results, warnings


# ---------------------------------------------------------------- trials


def half_digit(sigma, digits):
    """Half a unit of the last of so many digits of sigma (JCGM 101:2008, 7.9.2)."""
    if not 1 <= digits <= 4:
        raise Fault("out-of-range", "digits")
    if not_negative(sigma, "sigma") == 0:
        raise Fault("no-uncertainty", "sigma")
    exponent = int(("%.*e" % (digits - 1, sigma)).split("e")[1])
    return 0.5 * 10.0**(exponent - digits + 1)


def mixing(job, correlations):
    """The triangle that makes independent normal values go together, or None."""
    if not correlations:
        return None
    r = matrix_of([s.name for s in job.sources], correlations, [None] * len(job.sources))
    for pair in r.pairs:
        for k in pair:
            if job.sources[k].dist.shape != "normal":
                raise Fault("not-normal", job.sources[k].name)
    return cholesky(r.full()) if r.pairs else None


def draw(job, low, count, rng):
    """count trials: for each source a list of deviations."""
    n = len(job.sources)
    if low is None:
        return [s.dist.column(rng, count) for s in job.sources]
    mixed = {k for k in range(n) if any(low[k][j] for j in range(k)) or any(low[i][k] for i in range(k + 1, n))}
    plain = [normals(rng, count) if k in mixed else s.dist.column(rng, count) for k, s in enumerate(job.sources)]
    out = list(plain)
    for k in mixed:
        size = job.sources[k].dist.size
        total = [0.0] * count
        for j in sorted(mixed):
            if j <= k and low[k][j]:
                w = low[k][j] * size
                total = [t + w * z for t, z in zip(total, plain[j])]
        out[k] = total
    return out


def trials(job, low, count, rng):
    """Columns of answers, one for each output."""
    quick = job.linear_trials(count, rng) if low is None else None
    if quick is not None:
        return quick
    return job.columns(draw(job, low, count, rng))


def moments(column):
    m = math.fsum(column) / len(column)
    return m, math.sqrt(math.fsum([(x - m)**2 for x in column]) / (len(column) - 1))


_STEADY = record({"digits": INT, "most": INT})
_WITHIN = record({"output": TEXT, "lower": quantity(None), "upper": quantity(None)})
_SIMULATE = record({
    "model": _MODEL, "seed": INT, "trials": opt(INT, 0), "steady": opt(_STEADY), "probability": RATIO,
    "within": opt(listof(_WITHIN), []), "validate": opt(INT),
})


def sample(d, job, low):
    """Columns of answers by the rule of the input."""
    not_negative(d.seed, "seed")
    rng = random.Random(d.seed)
    if d.steady is not None:
        return until_steady(d, job, low, rng)
    not_negative(d.trials, "trials")
    if d.trials == 0:
        raise Fault("missing", "trials")
    if d.trials > MOST_TRIALS:
        raise Fault("too-many-trials")
    return trials(job, low, -(-d.trials // BLOCK) * BLOCK, rng)


def until_steady(d, job, low, rng):
    """Sequences until twice the scatter of what they give is within half a digit (7.9.4)."""
    tolerance_digits, p = d.steady.digits, probability(d.probability)
    half_digit(1.0, tolerance_digits)
    length = max(BLOCK, -(-half_up(100 / (1 - p)) // BLOCK) * BLOCK)
    if not 2 * length <= d.steady.most <= MOST_TRIALS:
        raise Fault("out-of-range", "most")
    columns, seen = [[] for _ in job.outputs], []
    while (len(seen) + 1) * length <= d.steady.most:
        new = trials(job, low, length, rng)
        seen.append([moments(c) + symmetric(sorted(c), p) for c in new])
        for old, more in zip(columns, new):
            old.extend(more)
        if len(seen) > 1 and all(steady([s[i] for s in seen], tolerance_digits) for i in range(len(columns))):
            return columns
    raise Fault("tolerance-not-reached")


def steady(rows, digits):
    """Whether twice the standard deviation of each average is within half a digit of u."""
    h = len(rows)
    u = math.fsum(r[1] for r in rows) / h
    if u == 0:
        return True
    tolerance = half_digit(u, digits)
    return all(2 * moments([r[k] for r in rows])[1] / math.sqrt(h) <= tolerance for k in range(4))


def simulate(v):
    d = _SIMULATE(v)
    probability(d.probability)
    job = job_of(d.model)
    if not job.sources:
        raise Fault("no-sources")
    low = mixing(job, d.model.correlations)
    if d.validate is not None:
        half_digit(1.0, d.validate)
    for w in d.within:
        if w.output not in job.outputs:
            raise Fault("mismatch", w.output)
    columns = sample(d, job, low)
    results = {"trials": float(len(columns[0]))}
    law = Linear(job, d.model.correlations) if d.validate is not None else None
    for i, (name, column) in enumerate(zip(job.outputs, columns)):
        mean, sigma = moments(column)
        results[name + ".mean"], results[name + ".sigma"] = mean, sigma
        ends = intervals(name + ".", sorted(column), d.probability)
        results.update(ends)
        if law is not None:
            results.update(validated(name, law, i, ends, sigma, d))
    if d.within:
        results["within"] = share_within(job, columns, d.within)
    return results, []


def validated(name, law, i, ends, sigma, d):
    """The law of propagation is good when both ends agree within the tolerance (8.1)."""
    p = law.output(i)
    half = factor(d.probability, p.dof) * p.sigma
    tolerance = half_digit(p.sigma, d.validate)
    gap = max(abs(law.values[i] - half - ends[name + ".symmetric.low"]),
              abs(law.values[i] + half - ends[name + ".symmetric.high"]))
    return {name + ".validated": "true" if gap <= tolerance else "false", name + ".tolerance": tolerance}


def share_within(job, columns, bounds):
    picked = [(columns[job.outputs.index(w.output)], w.lower, w.upper) for w in bounds]
    rows = zip(*(c for c, _, _ in picked))
    limits = [(a, b) for _, a, b in picked]
    good = sum(1 for row in rows if all(a <= x <= b for x, (a, b) in zip(row, limits)))
    return good / len(columns[0])


COMPUTATIONS = {"uncertainty.linear": linear, "uncertainty.simulate": simulate}
