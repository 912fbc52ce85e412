"""The law of propagation of uncertainty (JCGM 100:2008, 5.1, 5.2 and G.4)."""

import math

from common import Fault
from distributions import factor

MANY = 1e6  # degrees of freedom beyond which an uncertainty is as good as certain


class Coefficients:
    """Correlation coefficients of n sources; only the pairs that are not zero are kept."""

    def __init__(self, n, pairs, certain):
        self.n, self.pairs = n, pairs
        # With correlated sources that have degrees of freedom the formula of Welch and
        # Satterthwaite does not hold (G.4.1).
        self.dof_hold = all(certain[i] and certain[j] for i, j in pairs)

    def variance(self, effects, first, second):
        """Sum over i in first and j in second of effect_i r_ij effect_j."""
        second = set(second)
        terms = [effects[i]**2 for i in first if i in second]
        for (i, j), r in self.pairs.items():
            for a, b in ((i, j), (j, i)):
                if a in first and b in second:
                    terms.append(effects[a] * r * effects[b])
        return math.fsum(terms)

    def row(self, effects, i):
        """Sum over j of effect_i r_ij effect_j."""
        terms = [effects[i]**2]
        for (a, b), r in self.pairs.items():
            if i in (a, b):
                terms.append(effects[a] * r * effects[b])
        return math.fsum(terms)

    def full(self):
        m = [[1.0 if i == j else 0.0 for j in range(self.n)] for i in range(self.n)]
        for (i, j), r in self.pairs.items():
            m[i][j] = m[j][i] = r
        return m


def matrix_of(names, correlations, dofs):
    """The coefficients of named sources, checked to be possible."""
    pairs = {}
    for c in correlations:
        for name in (c.first, c.second):
            if names.count(name) == 0:
                raise Fault("mismatch", name)
            if names.count(name) > 1:
                raise Fault("same-name", name)
        if c.first == c.second or not -1 <= c.coefficient <= 1:
            raise Fault("impossible-correlation", c.first)
        i, j = sorted((names.index(c.first), names.index(c.second)))
        if (i, j) in pairs:
            raise Fault("mismatch", c.first)
        pairs[i, j] = c.coefficient
    pairs = {k: r for k, r in pairs.items() if r != 0}
    out = Coefficients(len(names), pairs, [d is None for d in dofs])
    if pairs:
        cholesky(out.full())
    return out


def cholesky(m):
    """Lower triangle l with l l' = m; a matrix that no quantities can have is refused.

    A pivot that is zero within rounding belongs to a source that the ones before it
    determine; its column must then be zero as well.
    """
    n = len(m)
    low = [[0.0] * n for _ in range(n)]
    for j in range(n):
        pivot = m[j][j] - math.fsum(low[j][k]**2 for k in range(j))
        if pivot < -1e-9:
            raise Fault("impossible-correlation")
        root = math.sqrt(max(0.0, pivot))
        low[j][j] = root if pivot > 1e-12 else 0.0
        for i in range(j + 1, n):
            left = m[i][j] - math.fsum(low[i][k] * low[j][k] for k in range(j))
            if low[j][j] == 0:
                if abs(left) > 1e-6:
                    raise Fault("impossible-correlation")
                continue
            low[i][j] = left / root
    return low


class Propagated:
    """sigma, shares of the variance, effective degrees of freedom or None."""

    def __init__(self, sigma, shares, dof):
        self.sigma, self.shares, self.dof = sigma, shares, dof


def propagate(effects, r, dofs):
    """u^2 = sum_i sum_j e_i r_ij e_j; share_i = e_i sum_j r_ij e_j/u^2;
    dof = u^4/sum(e_i^4/dof_i) (Welch and Satterthwaite, G.2b)."""
    everything = range(len(effects))
    variance = max(0.0, r.variance(effects, everything, everything))
    if variance == 0:
        return Propagated(0.0, [0.0] * len(effects), None)
    shares = [r.row(effects, i) / variance for i in everything]
    uncertain = math.fsum((e * e / variance)**2 / d for e, d in zip(effects, dofs) if d is not None)
    dof = None
    if r.dof_hold and uncertain > 1 / MANY:
        dof = 1 / uncertain
    return Propagated(math.sqrt(variance), shares, dof)


def expand(prefix, value, result, p):
    """value, sigma, degrees of freedom; with a probability factor, half, low and high."""
    results = {prefix + "value": value, prefix + "sigma": result.sigma}
    if result.dof is not None:
        results[prefix + "degrees-of-freedom"] = result.dof
    if p is None:
        return results
    k = factor(p, result.dof)
    half = k * result.sigma
    results.update({prefix + "factor": k, prefix + "half": half, prefix + "low": value - half,
                    prefix + "high": value + half})
    return results
