"""Writes the global-risk vectors of another library as JSON on standard output.

Cases are invented with a fixed seed. The two-dimensional normal distribution of
true value and measured value is integrated along the MEASURED value, with mpmath
at 30 digits: given the measured value m, the true value is normal with mean
(um^2 y0 + u0^2 m)/(u0^2 + um^2) and variance u0^2 um^2/(u0^2 + um^2). (A program
under test is likely to integrate along the true value; this is the other way.)
Every fourth case is checked against scipy.stats.multivariate_normal.cdf. Run with
Python 3, NumPy, SciPy and mpmath: python3 uncertainty_risk.py
"""

import json

import numpy as np
from mpmath import erfc, exp, inf, mp, mpf, pi, quad, sqrt
from scipy.stats import multivariate_normal

mp.dps = 30
rng = np.random.default_rng(1060)
REASON = "the integral is asked for to 1e-12"


def tail(z):
    return erfc(z / sqrt(mpf(2))) / 2


def between(mean, sigma, lower, upper):
    a, b = (lower - mean) / sigma, (upper - mean) / sigma
    return tail(a) - tail(b) if a > 0 else tail(-b) - tail(-a)


def over_measured(c, lower, upper, value):
    """Integral of density(m) value(m) over lower < m < upper."""
    y0, u0, um = c["mean"], c["sigma"], c["measuring"]
    total = sqrt(u0**2 + um**2)
    mean = lambda m: (um**2 * y0 + u0**2 * m) / total**2
    sigma = u0 * um / total
    lo, hi = max(lower, y0 - 40 * total), min(upper, y0 + 40 * total)
    if lo >= hi:
        return mpf(0)
    # Ends of panels: where the density and the conformance probability bend.
    ends = {lo, hi}
    for t in (c["tl"], c["tu"]):
        if abs(t) == inf:
            continue
        at = (t * total**2 - um**2 * y0) / u0**2
        width = sigma * total**2 / u0**2
        ends |= {at + k * width for k in range(-12, 13)}
    ends |= {y0 + k * total for k in range(-12, 13)}
    ends = sorted(e for e in ends if lo <= e <= hi)
    density = lambda m: exp(-(((m - y0) / total) ** 2) / 2) / (total * sqrt(2 * pi))
    return quad(lambda m: density(m) * value(mean(m), sigma), ends)


def risks(c):
    inside = lambda mean, sigma: between(mean, sigma, c["tl"], c["tu"])
    outside = lambda mean, sigma: between(mean, sigma, -inf, c["tl"]) + between(mean, sigma, c["tu"], inf)
    consumer = over_measured(c, c["al"], c["au"], outside)
    producer = over_measured(c, -inf, c["al"], inside) + over_measured(c, c["au"], inf, inside)
    conforming = between(c["mean"], c["sigma"], c["tl"], c["tu"])
    accepted = between(c["mean"], sqrt(c["sigma"] ** 2 + c["measuring"] ** 2), c["al"], c["au"])
    return {"consumer": consumer, "producer": producer, "conforming": conforming, "accepted": accepted}


def by_scipy(c):
    """Consumer's risk from rectangles of the two-dimensional distribution function."""
    y0, u0, um = (float(c[k]) for k in ("mean", "sigma", "measuring"))
    d = multivariate_normal([y0, y0], [[u0 * u0, u0 * u0], [u0 * u0, u0 * u0 + um * um]], allow_singular=True)
    big = lambda v: float(max(min(v, y0 + 30 * (u0 + um)), y0 - 30 * (u0 + um)))
    f = lambda t, m: d.cdf([big(t), big(m)])
    tl, tu, al, au = (c[k] for k in ("tl", "tu", "al", "au"))
    both = f(tu, au) - f(tl, au) - f(tu, al) + f(tl, al)
    return float(between(c["mean"], sqrt(c["sigma"] ** 2 + c["measuring"] ** 2), al, au)) - both


def number(v):
    return "+Inf" if v == inf else "-Inf" if v == -inf else float(v)


def vector(identity, title, flags, c):
    given = {"mean": [number(c["mean"]), "1"], "sigma": [number(c["sigma"]), "1"], "measuring": [number(c["measuring"]), "1"]}
    for name, low, high in (("tolerance", "tl", "tu"), ("acceptance", "al", "au")):
        given[name] = {"lower": [number(c[low]), "1"], "upper": [number(c[high]), "1"]}
    expect = [{"name": k, "exact": float(v), "unit": "1", "tolerance": 1e-12, "reason": REASON} for k, v in risks(c).items()]
    return {"id": identity, "title": title, "computation": "uncertainty.global-risk", "flags": flags, "input": given, "expect": expect, "source": "mpmath-quad", "known": "derived"}


def case(mean, sigma, measuring, tl, tu, al, au):
    values = (v if abs(v) == inf else mpf(float(v)) for v in (mean, sigma, measuring, tl, tu, al, au))
    return dict(zip(("mean", "sigma", "measuring", "tl", "tu", "al", "au"), values))


def drawn(k):
    mean, sigma = round(rng.uniform(-1, 1), 2), round(float(np.exp(rng.uniform(-4, 2))), 4)
    measuring = round(float(sigma * np.exp(rng.uniform(-5, 3))), 6)
    tl, tu = round(rng.uniform(-3, -0.2), 2), round(rng.uniform(0.2, 3), 2)
    guard = round(rng.uniform(-0.5, 1.5) * min(measuring, 0.1), 4)
    c = case(mean, sigma, measuring, tl, tu, round(tl + guard, 6), round(tu - guard, 6))
    if k % 5 == 3:
        c["tl"], c["al"] = -inf, -inf
    if k % 5 == 4:
        c["tu"], c["au"] = inf, inf
    return c


vectors = []
for k in range(30):
    c = drawn(k)
    if k % 4 == 0:
        assert abs(by_scipy(c) - float(risks(c)["consumer"])) < 2e-6, (k, c, by_scipy(c), risks(c))
    vectors.append(vector("uncertainty.global-risk.mpmath-%02d" % k, "Global risks, drawn case", ["drawn"], c))

# The resistors of JCGM 106:2012 (inputs from memory), no guard band.
vectors.append(vector("uncertainty.global-risk.resistors", "1500 ohm resistors, shared risk", ["inputs-from-memory"], case(1500, 0.12, 0.04, 1499.8, 1500.2, 1499.8, 1500.2)))
vectors.append(vector("uncertainty.global-risk.narrow-measuring", "Measurement a millionth of the spread", ["narrow"], case(0, 1, 1e-6, -1, 1, -1, 1)))
vectors.append(vector("uncertainty.global-risk.narrow-prior", "Prior a millionth of the measurement", ["narrow"], case(0.3, 1e-6, 1, -1, 0.3000005, -1, 0.5)))
vectors.append(vector("uncertainty.global-risk.apart", "Acceptance apart from the tolerance", ["apart"], case(0, 1, 0.3, -1, 1, 1.5, 2)))
print(json.dumps({"suite": "uncertainty/global-risk", "vectors": vectors}, indent=1))
