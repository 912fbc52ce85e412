"""Writes the conformity vectors of another library as JSON on standard output.

Points and uncertainties are invented with a fixed seed. One plane: SciPy
(stats.norm). Two planes with equal uncertainties: the noncentral chi-squared
distribution (stats.ncx2). Two planes in general: the density integrated over
the circle in polar coordinates (integrate.dblquad). Run with Python 3, NumPy
and SciPy: python3 tolerance_conformity.py
"""

import json
import math

import numpy as np
from scipy.integrate import dblquad
from scipy.stats import multivariate_normal, ncx2, norm

rng = np.random.default_rng(106)
CLOSED = "a distribution function of one variable; only rounding is allowed"
INTEGRAL = "the integral is asked for to 1e-11"


def vector(identity, title, computation, flags, given, expect, source):
    return {"id": identity, "title": title, "computation": computation, "flags": flags, "input": given, "expect": expect, "source": source, "known": "derived"}


def probability(value, tolerance, reason):
    return {"name": "probability", "exact": float(value), "unit": "1", "tolerance": tolerance, "reason": reason}


def one_plane(k):
    value, sigma, limit = (float(round(v, 3)) for v in (rng.uniform(-3, 3), rng.uniform(0.05, 1.5), rng.uniform(0.5, 3)))
    exact = norm.cdf((limit - value) / sigma) - norm.cdf((-limit - value) / sigma)
    given = {"value": [value, "1"], "sigma": [sigma, "1"], "lower": [-limit, "1"], "upper": [limit, "1"]}
    return vector("tolerance.conformity.scipy-%02d" % k, "Probability between two bounds", "tolerance.conformity", ["one-plane"], given, [probability(exact, 1e-12, CLOSED)], "scipy-1-10-1-stats")


def point(v, h, sv, sh, rho=None):
    out = {"vertical": [v, "um"], "horizontal": [h, "um"], "sigmaVertical": [sv, "um"], "sigmaHorizontal": [sh, "um"]}
    if rho is not None:
        out["correlation"] = [rho, "1"]
    return out


def circle_equal(k):
    v, h, s, r = (float(round(x, 1)) for x in (rng.uniform(-60, 60), rng.uniform(-60, 60), rng.uniform(2, 30), rng.uniform(20, 80)))
    exact = ncx2.cdf((r / s) ** 2, 2, (v * v + h * h) / s**2)
    return vector("tolerance.conformity-resultant.equal-%02d" % k, "Resultant within a circle, both planes equally uncertain", "tolerance.conformity-resultant", ["two-planes", "equal"], {"point": point(v, h, s, s), "radius": [r, "um"]}, [probability(exact, 1e-9, "the chord integral is good to nine decimals")], "scipy-1-10-1-stats")


def circle(k):
    v, h, sv, sh, r = (float(round(x, 1)) for x in (rng.uniform(-60, 60), rng.uniform(-60, 60), rng.uniform(4, 30), rng.uniform(4, 30), rng.uniform(20, 80)))
    rho = float(round(rng.uniform(-0.9, 0.9), 2))
    density = multivariate_normal([v, h], [[sv * sv, rho * sv * sh], [rho * sv * sh, sh * sh]])
    exact, _ = dblquad(lambda q, t: q * density.pdf([q * math.cos(t), q * math.sin(t)]), 0, 2 * math.pi, 0, r, epsabs=1e-11, epsrel=1e-11)
    return vector("tolerance.conformity-resultant.general-%02d" % k, "Resultant within a circle, planes unequal and correlated", "tolerance.conformity-resultant", ["two-planes", "correlated"], {"point": point(v, h, sv, sh, rho), "radius": [r, "um"]}, [probability(exact, 1e-9, INTEGRAL)], "scipy-1-10-1-stats")


vectors = [one_plane(k) for k in range(10)] + [circle_equal(k) for k in range(12)] + [circle(k) for k in range(12)]
print(json.dumps({"suite": "tolerance/conformity", "vectors": vectors}, indent=1))
