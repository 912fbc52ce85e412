"""How sure an answer is: distributions, budgets on paper, samples.

Definitions: testdata/README.md, "How sure an answer is" and "Samples and
decisions". Law of propagation: JCGM 100:2008, 5.1 and 5.2; degrees of freedom:
G.4; sequences of trials: JCGM 101:2008, 7 (clauses from memory). Models of jobs
are in uncertainty_model.py, risks and methods in uncertainty_risk.py.
"""

import math

import special
import uncertainty_model
import uncertainty_risk
from budget import expand, matrix_of, propagate
from common import (BOOL, INT, NUMBER, RATIO, TEXT, Fault, listof, not_negative, number, opt, quantity, record, require,
                    to_si, unit_kind, unit_name)
from distributions import DISTRIBUTION, factor, probability
from samples import intervals, quantile

_DISTRIBUTION = record({"distribution": DISTRIBUTION, "probabilities": opt(listof(RATIO), [])})


def distribution(v):
    d = _DISTRIBUTION(v)
    dist = d.distribution[0]
    results = {"sigma": dist.sigma()}
    if dist.dof is not None:
        results["degrees-of-freedom"] = dist.dof
    if dist.repeats:
        results["mean"] = dist.mean
    results.update({"quantile.%d" % i: dist.quantile(p) for i, p in enumerate(d.probabilities)})
    return results, []


_FACTOR = record({"probabilities": listof(RATIO), "degreesOfFreedom": opt(NUMBER)})


def coverage_factor(v):
    d = _FACTOR(v)
    if not d.probabilities:
        raise Fault("missing", "probabilities")
    return {"factor.%d" % i: factor(p, d.degreesOfFreedom) for i, p in enumerate(d.probabilities)}, []


# ---------------------------------------------------------------- budgets on paper

_CORRELATION = record({"first": TEXT, "second": TEXT, "coefficient": quantity("ratio", finite=False)})
_ENTRY = record({"name": TEXT, "group": opt(TEXT, ""), "random": opt(BOOL, False), "value": opt(quantity(None, False)),
                 "distribution": DISTRIBUTION, "sensitivity": opt(number(), 1.0)})
_TABLE_FIELDS = {"unit": unit_name(), "contributions": listof(_ENTRY), "correlations": opt(listof(_CORRELATION), [])}
_TABLE = record(_TABLE_FIELDS)


class Paper:
    """A budget worked out: effects c u, coefficients, groups."""

    def __init__(self, t):
        if not t.contributions:
            raise Fault("no-sources")
        self.names = [c.name for c in t.contributions]
        self.groups = [c.group or c.name for c in t.contributions]
        self.random = [c.random for c in t.contributions]
        self.dists = [c.distribution[0] for c in t.contributions]
        # u(y)^2 = sum of c_i u_i r_ij c_j u_j.
        self.effects = [c.sensitivity * d.sigma() for c, d in zip(t.contributions, self.dists)]
        self.r = matrix_of(self.names, t.correlations, [d.dof for d in self.dists])
        self.value = math.fsum(c.sensitivity * (d.mean if c.value is None else c.value)
                               for c, d in zip(t.contributions, self.dists))
        if not all(map(math.isfinite, self.effects + [self.value])):
            raise Fault("trial-failed")
        self.result = propagate(self.effects, self.r, [d.dof for d in self.dists])


_COMBINE = record(dict(_TABLE_FIELDS, probability=opt(RATIO)))


def combine(v):
    d = _COMBINE(v)
    p = Paper(d)
    results = expand("", p.value, p.result, d.probability)
    for i, (effect, share) in enumerate(zip(p.effects, p.result.shares)):
        results["effect.%d" % i] = effect
        results["share.%d" % i] = share
    lines = {}
    for i, g in enumerate(p.groups):
        lines.setdefault(g, []).append(i)
    ranked = sorted(lines.items(), key=lambda line: -math.fsum(p.result.shares[i] for i in line[1]))
    for k, (g, members) in enumerate(ranked):
        name = "budget.%d." % k
        results[name + "group"] = g
        results[name + "sources"] = float(len(members))
        results[name + "share"] = math.fsum(p.result.shares[i] for i in members)
        results[name + "sigma"] = math.sqrt(max(0.0, p.r.variance(p.effects, members, members)))
    return results, []


_NEEDED = record({"table": _TABLE, "group": TEXT, "wanted": quantity(None)})


def needed(v):
    """k of k^2 a + 2 k b + c = wanted^2: a of the group, c of the others, b what they share."""
    d = _NEEDED(v)
    p = Paper(d.table)
    if unit_kind(v["wanted"][1]) != unit_kind(d.table.unit):
        raise Fault("wrong-unit", "wanted")
    if not_negative(d.wanted, "wanted") == 0:
        raise Fault("out-of-range", "wanted")
    mine = [i for i, g in enumerate(p.groups) if g == d.group]
    others = [i for i, g in enumerate(p.groups) if g != d.group]
    if not mine:
        raise Fault("mismatch", "group")
    a = p.r.variance(p.effects, mine, mine)
    b = p.r.variance(p.effects, mine, others)
    c = max(0.0, p.r.variance(p.effects, others, others))
    if a <= 0:
        raise Fault("no-uncertainty", "group")
    room = d.wanted**2 - c
    if room < 0:
        raise Fault("not-attainable", "wanted")
    k = (-b + math.sqrt(b * b + a * room)) / a
    results = {"factor": k, "rest": math.sqrt(c)}
    if len(mine) == 1:
        results["sigma"] = k * p.dists[mine[0]].sigma()
    return results, []


_REPEAT = record({"table": _TABLE, "times": INT})


def repeat_first(v):
    """What is left when each random source of a group is a mean of n: its effect over sqrt(n)."""
    d = _REPEAT(v)
    p = Paper(d.table)
    if d.times < 2:
        raise Fault("out-of-range", "times")
    everything = range(len(p.effects))
    found = []
    for g in dict.fromkeys(p.groups):
        calm = [e / math.sqrt(d.times) if p.groups[i] == g and p.random[i] else e for i, e in enumerate(p.effects)]
        if calm == p.effects:
            continue
        sigma = math.sqrt(max(0.0, p.r.variance(calm, everything, everything)))
        found.append((g, sigma))
    if not found or p.result.sigma == 0:
        raise Fault("no-uncertainty")
    found.sort(key=lambda f: f[1])
    results = {"count": float(len(found))}
    for k, (g, sigma) in enumerate(found):
        results["%d.group" % k] = g
        results["%d.sigma" % k] = sigma
        results["%d.saved" % k] = 1 - sigma / p.result.sigma
    return results, []


# ---------------------------------------------------------------- samples

_INTERVAL = record({"unit": unit_name(), "values": listof(NUMBER), "probability": RATIO,
                    "probabilities": opt(listof(RATIO), [])})


def coverage_interval(v):
    d = _INTERVAL(v)
    if not d["values"]:
        raise Fault("missing", "values")
    ranked = sorted(to_si(x, d.unit) for x in d["values"])
    results = intervals("", ranked, d.probability)
    results.update({"quantile.%d" % i: quantile(ranked, p) for i, p in enumerate(d.probabilities)})
    return results, []


_PROPORTION = record({"count": INT, "trials": INT, "confidence": RATIO})


def proportion(v):
    """Clopper and Pearson (1934, from memory): the ends are points of beta distributions."""
    d = _PROPORTION(v)
    if d.trials < 1 or not 0 <= d.count <= d.trials:
        raise Fault("too-few-trials")
    half = (1 - probability(d.confidence)) / 2
    k, n = d.count, d.trials
    low = special.beta_quantile(half, k, n - k + 1) if k > 0 else 0.0
    high = 1 - special.beta_quantile(half, n - k, k + 1) if k < n else 1.0
    return {"share": k / n, "low": low, "high": high}, []


_TOLERANCE = record({"sigma": NUMBER, "digits": INT})


def numerical_tolerance(v):
    d = _TOLERANCE(v)
    return {"tolerance": uncertainty_model.half_digit(require(d.sigma, "sigma"), d.digits)}, []


COMPUTATIONS = {
    "uncertainty.distribution": distribution,
    "uncertainty.coverage-factor": coverage_factor,
    "uncertainty.combine": combine,
    "uncertainty.needed": needed,
    "uncertainty.repeat-first": repeat_first,
    "uncertainty.coverage-interval": coverage_interval,
    "uncertainty.proportion": proportion,
    "uncertainty.numerical-tolerance": numerical_tolerance,
    **uncertainty_model.COMPUTATIONS,
    **uncertainty_risk.COMPUTATIONS,
}
