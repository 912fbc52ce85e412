"""Risks of decisions, and how well the methods of alignment do.

Risks: JCGM 106:2012, 7 to 9 (clauses from memory). The joint probability of a
true value and a measured one is that of a bivariate normal distribution, taken
from Plackett's identity (Biometrika 41, 1954, from memory).
"""

import math

import special
from common import (LENGTH, NUMBER, RATIO, Fault, clock, listof, lstsq, not_negative, opt, positive, quantity, record,
                    unit_kind)
from distributions import probability

# ---------------------------------------------------------------- ranges


def measured(v, path="input"):
    """[number, "unit"] as (kind, SI value); an end without a limit is infinite."""
    value = quantity(None, finite=False)(v, path)
    return unit_kind(v[1]), value


_RANGE = record({"lower": measured, "upper": measured})


def finite(pair, kind):
    if pair[0] != kind:
        raise Fault("wrong-unit")
    if not math.isfinite(pair[1]):
        raise Fault("not-finite")
    return pair[1]


def ends(r, kind):
    """(lower, upper) of a range in which something can lie."""
    for side in (r.lower, r.upper):
        if side[0] != kind:
            raise Fault("wrong-unit")
        if math.isnan(side[1]):
            raise Fault("not-finite")
    low, high = r.lower[1], r.upper[1]
    if low == 0 and high == 0:
        raise Fault("missing", "range")
    if low > high:
        raise Fault("mismatch", "range")
    if low == high and math.isinf(low):
        raise Fault("not-finite", "range")
    return low, high


def kind_of(pair):
    if pair[0] == "temperature":
        raise Fault("wrong-unit")
    return pair[0]


# ---------------------------------------------------------------- two normal values together

def below(h, k, apart):
    """Probability that two standard normal values are under h and k, cos(apart) their correlation.

    The derivative by the correlation of that probability is the joint density at
    (h, k) (Plackett). With the correlation cos t the density is
    exp(-(h^2 + k^2 - 2 h k cos t)/(2 sin^2 t))/(2 pi sin t), and sin t cancels
    against the differential. At t = pi/2 both are independent, at t = 0 they are one
    value: the integral is taken from the nearer of the two.
    """
    if math.isinf(h) or math.isinf(k):
        if h == -math.inf or k == -math.inf:
            return 0.0
        return special.normal(k if math.isinf(h) else h)

    def f(t):
        if t == 0:
            return 0.0
        # h^2 + k^2 - 2 h k cos t without the difference of large terms
        top = (h - k)**2 + 4 * h * k * math.sin(t / 2)**2
        return math.exp(-top / (2 * math.sin(t)**2))

    if apart < math.pi / 4:
        return special.normal(min(h, k)) - special.integral(f, 0.0, apart) / (2 * math.pi)
    return special.normal(h) * special.normal(k) + special.integral(f, apart, math.pi / 2) / (2 * math.pi)


def rectangle(a, b, apart):
    """Probability that both lie in their ranges."""
    return max(0.0, math.fsum((below(a[1], b[1], apart), -below(a[0], b[1], apart), -below(a[1], b[0], apart),
                               below(a[0], b[0], apart))))


_GLOBAL = record({"mean": measured, "sigma": measured, "measuring": measured, "tolerance": _RANGE,
                  "acceptance": _RANGE})


def global_risk(v):
    """Consumer: accepted and out of tolerance; producer: rejected and within."""
    d = _GLOBAL(v)
    kind = kind_of(d.measuring)
    tolerance, acceptance = ends(d.tolerance, kind), ends(d.acceptance, kind)
    mean, u0, um = (finite(d[n], kind) for n in ("mean", "sigma", "measuring"))
    not_negative(u0, "sigma")
    not_negative(um, "measuring")
    spread = math.hypot(u0, um)

    def standard(r, u):
        if u == 0:
            return tuple(-math.inf if x < mean or i == 0 and x == mean else math.inf for i, x in enumerate(r))
        return tuple((x - mean) / u for x in r)

    true, seen = standard(tolerance, u0), standard(acceptance, spread)
    conforming, accepted = special.between(*true), special.between(*seen)
    # The true value and the measured one share the scatter of the true values: their
    # correlation is u0/sqrt(u0^2 + um^2).
    joint = rectangle(true, seen, math.atan2(um, u0))
    return {"consumer": max(0.0, accepted - joint), "producer": max(0.0, conforming - joint),
            "conforming": conforming, "accepted": accepted}, []


_PRIOR = record({"mean": measured, "sigma": measured})
_SPECIFIC = record({"measured": measured, "sigma": measured, "tolerance": _RANGE, "acceptance": _RANGE,
                    "prior": opt(_PRIOR)})


def specific_risk(v):
    d = _SPECIFIC(v)
    kind = kind_of(d.sigma)
    tolerance, acceptance = ends(d.tolerance, kind), ends(d.acceptance, kind)
    y, u = finite(d.measured, kind), not_negative(finite(d.sigma, kind), "sigma")
    known, sigma = y, u
    if d.prior is not None:
        mean, u0 = finite(d.prior.mean, kind), not_negative(finite(d.prior.sigma, kind), "prior.sigma")
        if u0 == 0 and u == 0:
            raise Fault("mismatch", "nothing scatters")
        # Bayes for two normal densities: each mean counts by the other's variance.
        known = (u * u * mean + u0 * u0 * y) / (u * u + u0 * u0)
        sigma = u * u0 / math.hypot(u, u0)
    if sigma == 0:
        p, q = (1.0, 0.0) if tolerance[0] <= known <= tolerance[1] else (0.0, 1.0)
    else:
        low, high = ((x - known) / sigma for x in tolerance)
        p, q = special.between(low, high), special.normal(low) + special.normal(-high)
    accepted = acceptance[0] <= y <= acceptance[1]
    return {"accepted": "true" if accepted else "false", "conforms": p,
            "consumer": q if accepted else 0.0, "producer": 0.0 if accepted else p}, []


_GUARD = record({"tolerance": _RANGE, "sigma": measured, "risk": RATIO})


def specific_guard(v):
    """The least w with Q(w/sigma) + Q((T - w)/sigma) at or below the risk."""
    d = _GUARD(v)
    kind = kind_of(d.sigma)
    low, high = ends(d.tolerance, kind)
    sigma = not_negative(finite(d.sigma, kind), "sigma")
    probability(d.risk)
    width = high - low

    def risk(w):
        return special.normal(-w / sigma) + special.normal(-(width - w) / sigma)

    if sigma == 0 or risk(0.0) <= d.risk:
        return {"width": 0.0}, []
    if math.isinf(width):
        return {"width": -sigma * special.normal_quantile(d.risk)}, []
    if risk(width / 2) > d.risk:
        raise Fault("nothing-satisfies")
    a, b = 0.0, width / 2
    for _ in range(200):
        mid = (a + b) / 2
        a, b = (mid, b) if risk(mid) > d.risk else (a, mid)
    return {"width": b}, []


# ---------------------------------------------------------------- methods

_RIMS = record({"first": LENGTH, "second": LENGTH})
_FACED = record({"rim": LENGTH, "swept": LENGTH})
_SPOOLED = record({"nearFlex": LENGTH, "farFlex": LENGTH, "near": LENGTH, "far": LENGTH})
_COMPARE = record({"reverse": opt(_RIMS), "rimFace": opt(_FACED), "double": opt(_RIMS), "faceFace": opt(_SPOOLED),
                   "at": listof(NUMBER), "sigma": LENGTH, "faceSigma": opt(LENGTH, 0.0), "stations": listof(LENGTH)})


def harmonic_sigmas(at):
    """Standard uncertainties of the cos and sin parts of a sweep for readings of unit uncertainty."""
    if len({t % 360 for t in at}) < 3:
        raise Fault("too-few-positions")
    rows = [[1.0, *clock(t)] for t in at]
    try:
        _, _, cofactors = lstsq(rows, [0.0] * len(rows))
    except Fault:
        raise Fault("too-few-positions") from None
    return math.sqrt(cofactors[1][1]), math.sqrt(cofactors[2][2])


def parts(d):
    """For each method that has a place: slope and offset at x as sums of independent terms.

    Each term is (uncertainty for a harmonic of unit uncertainty). Two rims: the offset at
    x is a straight line through both. Rim and face: offset of the rim plus slope times
    the way. Face to face: e(x) = m1 (x - near flex) + m2 (x - far flex), the bends at
    the two flex planes; a slope is 2/D times a harmonic of a face sweep.
    """
    s, sf = d.sigma, d.faceSigma or d.sigma
    for name, rims in (("reverse-indicator", d.reverse), ("double-radial", d.double)):
        if rims is None:
            continue
        a, b = rims.first, rims.second
        if abs(b - a) < 1e-6:
            raise Fault("coincident-stations")
        yield name, math.sqrt(2) * s / abs(b - a), (
            lambda x, a=a, b=b: s * math.hypot((x - a) / (b - a), (b - x) / (b - a)))
    if d.rimFace is not None:
        swept = positive(not_negative(d.rimFace.swept, "swept"), "swept", "zero-diameter")
        m = 2 * sf / swept
        yield "rim-and-face", m, (lambda x, m=m: math.hypot(s, m * (x - d.rimFace.rim)))
    if d.faceFace is not None:
        f = d.faceFace
        m = [2 * sf / positive(not_negative(f[n], n), n, "zero-diameter") for n in ("near", "far")]
        if abs(f.farFlex - f.nearFlex) < 1e-6:
            raise Fault("coincident-stations")
        yield "face-face", math.hypot(*m), (lambda x: math.hypot(m[0] * (x - f.nearFlex), m[1] * (x - f.farFlex)))


def compare_methods(v):
    d = _COMPARE(v)
    if not d.stations or not any((d.reverse, d.rimFace, d.double, d.faceFace)):
        raise Fault("missing")
    if not_negative(d.sigma, "sigma") == 0:
        raise Fault("missing", "sigma")
    not_negative(d.faceSigma, "faceSigma")
    unit = harmonic_sigmas(d.at)
    results, ranked = {}, []
    for name, slope, offset in parts(d):
        worst = max(offset(x) for x in d.stations) * max(unit)
        ranked.append((worst, name))
        results[name + ".worst"] = worst
        for plane, u in zip(("vertical", "horizontal"), unit):
            results["%s.slope.%s" % (name, plane)] = slope * u
            for i, x in enumerate(d.stations):
                results["%s.offset.%d.%s" % (name, i, plane)] = offset(x) * u
    order = ["reverse-indicator", "rim-and-face", "double-radial", "face-face"]
    ranked.sort(key=lambda r: (r[0], order.index(r[1])))
    results.update({"rank.%d" % i: name for i, (_, name) in enumerate(ranked)})
    return results, []


COMPUTATIONS = {
    "uncertainty.global-risk": global_risk,
    "uncertainty.specific-risk": specific_risk,
    "uncertainty.specific-guard": specific_guard,
    "uncertainty.compare-methods": compare_methods,
}
