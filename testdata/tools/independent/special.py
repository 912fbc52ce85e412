"""Integrals and distribution functions that the standard library lacks.

Integrals by Gauss and Legendre; the normal distribution and its quantile, the
regularised incomplete beta function and its inverse, Student's t and its quantile.
Formulas: Abramowitz and Stegun, Handbook of Mathematical Functions, chapter 26, and
the NIST Digital Library of Mathematical Functions, sections 7 and 8.17 (numbers of
formulas from memory).
"""

import math

_ROOT2 = math.sqrt(2)
_ROOT2PI = math.sqrt(2 * math.pi)


_NODES = {}


def legendre(n):
    """Nodes and weights of Gauss and Legendre on -1 to 1, by Newton steps on the polynomial."""
    if n not in _NODES:
        out = []
        for i in range(n):
            x = math.cos(math.pi * (i + 0.75) / (n + 0.5))
            for _ in range(100):
                p0, p1 = 1.0, x
                for k in range(2, n + 1):
                    p0, p1 = p1, ((2 * k - 1) * x * p1 - (k - 1) * p0) / k
                slope = n * (x * p1 - p0) / (x * x - 1)
                step = p1 / slope
                x -= step
                if abs(step) < 1e-16:
                    break
            out.append((x, 2 / ((1 - x * x) * slope * slope)))
        _NODES[n] = out
    return _NODES[n]


def integral(f, a, b, nodes=20):
    """Of f from a to b: a panel is halved until both halves agree with the whole."""
    def panel(x, y):
        half, mid = (y - x) / 2, (x + y) / 2
        return half * math.fsum(w * f(mid + half * t) for t, w in legendre(nodes))

    def split(x, y, whole, level):
        mid = (x + y) / 2
        left, right = panel(x, mid), panel(mid, y)
        if level > 40 or abs(left + right - whole) < 1e-16 + 1e-14 * abs(whole):
            return left + right
        return split(x, mid, left, level + 1) + split(mid, y, right, level + 1)

    return split(a, b, panel(a, b), 0)


def density(z):
    """Standard normal density."""
    return math.exp(-z * z / 2) / _ROOT2PI


def normal(z):
    """Standard normal distribution function, by the complementary error function (DLMF 7.2.2)."""
    return math.erfc(-z / _ROOT2) / 2


def between(a, b):
    """Probability of a standard normal value from a to b, without loss in the tails."""
    if a > 0:
        a, b = -b, -a  # the same by symmetry, where the function is small and exact
    return max(0.0, normal(b) - normal(a))


def normal_quantile(p):
    """z with normal(z) = p."""
    if p > 0.5:
        return -normal_quantile(1 - p)
    # A&S 26.2.23, to 4.5e-4, then Halley's steps on the distribution function.
    t = math.sqrt(-2 * math.log(p))
    z = -(t - (2.515517 + 0.802853 * t + 0.010328 * t * t)
          / (1 + 1.432788 * t + 0.189269 * t * t + 0.001308 * t**3))
    for _ in range(4):
        f = (normal(z) - p) / density(z)
        z -= f / (1 + f * z / 2)  # the second derivative of the function is -z times the first
    return z


def _beta_fraction(a, b, x):
    """The continued fraction DLMF 8.17.22, evaluated forward (Lentz 1976)."""
    tiny = 1e-300
    c, d = 1.0, 1 - (a + b) * x / (a + 1)
    d = 1 / (d if abs(d) > tiny else tiny)
    h = d
    for m in range(1, 10000):
        for k in (m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m)),
                  -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))):
            d = 1 + k * d
            c = 1 + k / c
            d = 1 / (d if abs(d) > tiny else tiny)
            c = c if abs(c) > tiny else tiny
            h *= d * c
        if abs(d * c - 1) < 1e-16:
            break
    return h


def _log_beta(a, b):
    return math.lgamma(a) + math.lgamma(b) - math.lgamma(a + b)


def beta(x, a, b):
    """Regularised incomplete beta function I_x(a, b)."""
    if x <= 0 or x >= 1:
        return 0.0 if x <= 0 else 1.0
    front = math.exp(a * math.log(x) + b * math.log1p(-x) - _log_beta(a, b))
    # DLMF 8.17.4 brings x to the side where the fraction is quick.
    if x < (a + 1) / (a + b + 2):
        return front * _beta_fraction(a, b, x) / a
    return 1 - front * _beta_fraction(b, a, 1 - x) / b


def beta_quantile(p, a, b):
    """x with beta(x, a, b) = p, by halving and Newton steps that stay between the ends."""
    low, high, x = 0.0, 1.0, a / (a + b)
    for _ in range(200):
        f = beta(x, a, b) - p
        if f > 0:
            high = x
        else:
            low = x
        slope = math.exp((a - 1) * math.log(x) + (b - 1) * math.log1p(-x) - _log_beta(a, b))
        step = x - f / slope if slope > 0 else -1.0
        new = step if low < step < high else (low + high) / 2
        if abs(new - x) <= 1e-16 * x or new in (0.0, 1.0):
            return new
        x = new
    return x


def student_tail(t, dof):
    """Probability that a value of Student's t lies above t > 0 (A&S 26.7.1)."""
    if math.isinf(dof):
        return normal(-t)
    return beta(dof / (dof + t * t), dof / 2, 0.5) / 2


def student_quantile(p, dof):
    """t that is not exceeded with probability p."""
    if p < 0.5:
        return -student_quantile(1 - p, dof)
    if p == 0.5:
        return 0.0
    if math.isinf(dof):
        return normal_quantile(p)
    tail = 1 - p
    log_c = math.lgamma((dof + 1) / 2) - math.lgamma(dof / 2) - math.log(dof * math.pi) / 2
    low, high = 0.0, 1.0
    while student_tail(high, dof) > tail:
        low, high = high, high * 2
    t = (low + high) / 2
    for _ in range(200):
        f = student_tail(t, dof) - tail
        if f > 0:
            low = t
        else:
            high = t
        slope = math.exp(log_c - (dof + 1) / 2 * math.log1p(t * t / dof))
        new = t + f / slope
        if not low < new < high:
            new = (low + high) / 2
        if abs(new - t) <= 1e-15 * t:
            return new
        t = new
    return t
