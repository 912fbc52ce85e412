"""Coverage intervals and quantiles of a sample (JCGM 101:2008, 7.5 and 7.7)."""

import math

from common import Fault
from distributions import probability


def half_up(x):
    return math.floor(x + 0.5)


def span(ranked, p):
    """q = p M rounded, and the number of places an interval can start at."""
    m = len(ranked)
    q = half_up(probability(p) * m)
    if q < 1 or m - q < 1:
        raise Fault("too-few-trials")
    return m, q


def symmetric(ranked, p):
    """Values r to r + q with r = (M - q)/2 rounded, counted from 1."""
    m, q = span(ranked, p)
    r = half_up((m - q) / 2)
    return ranked[r - 1], ranked[r + q - 1]


def shortest(ranked, p):
    """The r for which value r + q less value r is least; of equal ones the lowest."""
    m, q = span(ranked, p)
    r = min(range(m - q), key=lambda i: ranked[i + q] - ranked[i])
    return ranked[r], ranked[r + q]


def quantile(ranked, p):
    """On straight lines between the values at (r - 1/2)/M, the end values held."""
    x = probability(p) * len(ranked) - 0.5
    if x <= 0 or x >= len(ranked) - 1:
        return ranked[0 if x <= 0 else -1]
    i = math.floor(x)
    return ranked[i] + (x - i) * (ranked[i + 1] - ranked[i])


def intervals(prefix, ranked, p):
    a, b = symmetric(ranked, p)
    c, d = shortest(ranked, p)
    return {prefix + "symmetric.low": a, prefix + "symmetric.high": b,
            prefix + "shortest.low": c, prefix + "shortest.high": d}
