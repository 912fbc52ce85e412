"""Vectors and dense linear algebra for lists of floats, and the fault that all
modules raise. Nothing here knows of shafts.
"""

import math


class Fault(Exception):
    """An error with a code word of README.md."""

    def __init__(self, code, detail=""):
        super().__init__(code + (": " + detail if detail else ""))
        self.code = code


# ---------------------------------------------------------------- vectors


def dot(a, b):
    """The sum of products; OverflowError where it is beyond what can be written."""
    try:
        return math.fsum(x * y for x, y in zip(a, b))
    except ValueError:  # infinities of both signs
        raise OverflowError("sum of products") from None


def norm(a):
    return math.hypot(*a) if a else 0.0


def add(a, b):
    return [x + y for x, y in zip(a, b)]


def sub(a, b):
    return [x - y for x, y in zip(a, b)]


def scale(a, k):
    return [x * k for x in a]


def cross(a, b):
    return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]


# ---------------------------------------------------------------- matrices


def transpose(a):
    return [list(c) for c in zip(*a)]


def matvec(a, x):
    return [dot(r, x) for r in a]


def identity(n):
    return [[1.0 if i == j else 0.0 for j in range(n)] for i in range(n)]


def solve(a, b):
    """x of a x = b by elimination with row pivoting; fault undetermined."""
    n = len(a)
    m = [list(r) + [y] for r, y in zip(a, b)]
    size = max((abs(v) for r in a for v in r), default=0.0)
    for k in range(n):
        p = max(range(k, n), key=lambda i: abs(m[i][k]))
        if abs(m[p][k]) <= 1e-14 * size:
            raise Fault("undetermined")
        m[k], m[p] = m[p], m[k]
        for i in range(k + 1, n):
            f = m[i][k] / m[k][k]
            for j in range(k, n + 1):
                m[i][j] -= f * m[k][j]
    x = [0.0] * n
    for k in reversed(range(n)):
        x[k] = (m[k][n] - dot(m[k][k + 1:n], x[k + 1:])) / m[k][k]
    return x


def householder(a, b):
    """Triangle R and the turned right-hand side of min |a x - b|.

    Golub and Van Loan, Matrix Computations, section 5.2.1: a column is mirrored
    onto a multiple of the first unit vector, one column after the other.
    """
    m = [list(r) for r in a]
    y = list(b)
    rows, cols = len(m), len(m[0])
    for k in range(min(cols, rows)):
        v = [m[i][k] for i in range(k, rows)]
        length = norm(v)
        if length == 0:
            continue
        v[0] += math.copysign(length, v[0])
        vv = dot(v, v)
        for j in range(k, cols):
            f = 2 * dot(v, [m[i][j] for i in range(k, rows)]) / vv
            for i in range(k, rows):
                m[i][j] -= f * v[i - k]
        f = 2 * dot(v, y[k:]) / vv
        for i in range(k, rows):
            y[i] -= f * v[i - k]
    return [r[:] for r in m[:cols]], y


def lstsq(a, b, tiny=1e-12):
    """(x, residuals, cofactors) of min |a x - b|, all columns independent.

    residuals are b - a x; cofactors is the inverse of a'a, which times the
    variance of one b is the covariance of x. Columns are scaled to unit length
    first; a column that is (nearly) a sum of others raises undetermined.
    """
    cols = len(a[0])
    if len(a) < cols:
        raise Fault("undetermined")
    sizes = [norm([r[j] for r in a]) for j in range(cols)]
    if min(sizes) == 0:
        raise Fault("undetermined")
    scaled = [[r[j] / sizes[j] for j in range(cols)] for r in a]
    r, y = householder(scaled, b)
    if min(abs(r[k][k]) for k in range(cols)) < tiny:
        raise Fault("undetermined")

    def back(rhs):
        x = [0.0] * cols
        for k in reversed(range(cols)):
            x[k] = (rhs[k] - dot(r[k][k + 1:], x[k + 1:])) / r[k][k]
        return x

    x = [v / s for v, s in zip(back(y[:cols]), sizes)]
    columns = [back([1.0 if i == j else 0.0 for i in range(cols)]) for j in range(cols)]
    rinv = transpose(columns)
    cof = [[dot(rinv[i], rinv[j]) / sizes[i] / sizes[j] for j in range(cols)] for i in range(cols)]
    residuals = [v - dot(row, x) for row, v in zip(a, b)]
    return x, residuals, cof


def svd(a):
    """(u, s, v) with a = sum of s[k] u[k] v[k]', s falling.

    One-sided Jacobi rotations (Golub and Van Loan, section 8.6.3): pairs of
    columns are turned until all are at right angles. u and v are lists of
    vectors; u[k] is None where s[k] is zero.
    """
    rows, cols = len(a), len(a[0])
    w = transpose(a)  # columns of a
    v = identity(cols)  # row k is the k-th right vector as it stands
    for _ in range(60):
        turned = False
        for p in range(cols - 1):
            for q in range(p + 1, cols):
                app, aqq, apq = dot(w[p], w[p]), dot(w[q], w[q]), dot(w[p], w[q])
                if abs(apq) <= 1e-16 * math.sqrt(app * aqq) or apq == 0:
                    continue
                turned = True
                zeta = (aqq - app) / (2 * apq)
                t = math.copysign(1, zeta) / (abs(zeta) + math.hypot(1, zeta))
                c = 1 / math.hypot(1, t)
                s = c * t
                for m in (w, v):
                    m[p], m[q] = ([c * x - s * y for x, y in zip(m[p], m[q])],
                                  [s * x + c * y for x, y in zip(m[p], m[q])])
        if not turned:
            break
    sizes = [norm(c) for c in w]
    order = sorted(range(cols), key=lambda k: -sizes[k])
    u = [scale(w[k], 1 / sizes[k]) if sizes[k] > 0 else None for k in order]
    return u, [sizes[k] for k in order], [v[k] for k in order]


def pinv(a, tiny=1e-10):
    """The pseudo-inverse, singular values below tiny times the largest left out."""
    u, s, v = svd(a)
    rows, cols = len(a), len(a[0])
    out = [[0.0] * rows for _ in range(cols)]
    for uk, sk, vk in zip(u, s, v):
        if sk <= tiny * s[0] or sk == 0:
            continue
        for i in range(cols):
            for j in range(rows):
                out[i][j] += vk[i] * uk[j] / sk
    return out
