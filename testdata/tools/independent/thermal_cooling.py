"""A value read several times while a machine cools, and what it was at the stop.

Definitions: testdata/README.md, "Hot checks". The curve is
v(t) = final + (at stop - final) exp(-t/tau), a lumped body in a steady surrounding.
"""

import math

from common import LENGTH, TIME, Fault, listof, lstsq, not_negative, opt, quantity, record

_COOL = record({"after": TIME, "value": LENGTH})
_HOT = record({"readings": listof(_COOL), "sigma": opt(LENGTH), "at": opt(quantity("time"))})


def left_over(times, values, rate):
    """Sum of squares that the best a + b exp(-rate t) leaves.

    At a given rate the curve is linear in a and b; that part is solved outright
    (separation of variables, Golub and Pereyra 1973, from memory).
    """
    f = [math.exp(-rate * (t - times[0])) for t in times]
    fm, vm = math.fsum(f) / len(f), math.fsum(values) / len(values)
    ff = math.fsum((x - fm)**2 for x in f)
    fv = math.fsum((x - fm) * (y - vm) for x, y in zip(f, values))
    if ff == 0:
        return math.inf
    b = fv / ff
    return math.fsum((y - vm - b * (x - fm))**2 for x, y in zip(f, values))


def straight_left(times, values):
    """Sum of squares that the best straight line leaves."""
    _, residuals, _ = lstsq([[1.0, (t - times[0]) / (times[-1] - times[0])] for t in times], values)
    return math.fsum(r * r for r in residuals)


def starting_rate(times, values):
    """The rate on a fine scale that leaves least, or the fault undetermined.

    The best rate must lie inside: at its slow end the curve is a straight line, at
    its fast end all has settled before the second reading.
    """
    spread = max(values) - min(values)
    if spread == 0:
        raise Fault("undetermined", "no change")
    slow = 1e-4 / (times[-1] - times[0])
    fast = 40 / (times[1] - times[0])
    steps = 600
    rates = [slow * (fast / slow)**(i / steps) for i in range(steps + 1)]
    sizes = [left_over(times, values, r) for r in rates]
    best = min(range(steps + 1), key=sizes.__getitem__)
    noise = len(times) * (1e-9 * spread)**2
    flat = straight_left(times, values)
    if best in (0, steps) or flat <= sizes[best] + noise or sizes[steps] <= sizes[best] + noise:
        raise Fault("undetermined", "no time constant")
    return rates[best]


def curve_terms(times, tau):
    return [math.exp(-t / tau) for t in times]


def jacobian(times, start, final, tau):
    """Derivatives of final + (start - final) exp(-t/tau) by start, final and tau."""
    e = curve_terms(times, tau)
    return [[x, 1 - x, (start - final) * x * t / tau**2] for x, t in zip(e, times)]


def fit_cooling(times, values):
    """(at stop, final, time constant, sum of squares) by damped least-squares steps (Marquardt 1963)."""
    tau = 1 / starting_rate(times, values)
    (start, final), _, _ = lstsq([[x, 1 - x] for x in curve_terms(times, tau)], values)

    def squares(p):
        e = curve_terms(times, p[2])
        return math.fsum((v - p[1] - (p[0] - p[1]) * x)**2 for v, x in zip(values, e))

    p = [start, final, tau]
    best, damp = squares(p), 1e-3
    for _ in range(300):
        rows = jacobian(times, *p)
        e = curve_terms(times, p[2])
        gap = [v - p[1] - (p[0] - p[1]) * x for v, x in zip(values, e)]
        sizes = [math.sqrt(math.fsum(r[j]**2 for r in rows)) for j in range(3)]
        extra = [[math.sqrt(damp) * sizes[j] if i == j else 0.0 for j in range(3)] for i in range(3)]
        try:
            step, _, _ = lstsq(rows + extra, gap + [0.0] * 3, tiny=1e-15)
        except Fault:
            break
        trial = [a + b for a, b in zip(p, step)]
        size = squares(trial) if trial[2] > 0 else math.inf
        if size <= best:
            done = all(abs(b) <= 1e-15 * (abs(a) + 1e-12) for a, b in zip(p, step))
            p, best, damp = trial, size, damp / 10
            if done:
                break
        else:
            damp *= 10
            if damp > 1e12:
                break
    return p[0], p[1], p[2], best


def hot_check(v):
    d = _HOT(v)
    times, values = [r.after for r in d.readings], [r.value for r in d.readings]
    if len(times) < 3:
        raise Fault("too-few-readings")
    for t in times:
        not_negative(t, "after")
    if any(not b > a for a, b in zip(times, times[1:])):
        raise Fault("not-ascending", "after")
    if d.sigma is not None:
        not_negative(d.sigma, "sigma")
    start, final, tau, squares = fit_cooling(times, values)
    free = len(times) - 3
    results = {"at-stop": start, "final": final, "constant": tau, "degrees-of-freedom": float(free),
               "rms": math.sqrt(squares / free) if free else 0.0}
    warnings = []
    if times[0] > tau / 2 or times[-1] - times[0] < tau:
        warnings.append("long-extrapolation")
    if d.at is not None:
        after = max(0.0, d.at)
        results["value"] = final + (start - final) * math.exp(-after / tau)
    if d.sigma or free:
        variance = d.sigma**2 if d.sigma else squares / free
        _, _, cofactors = lstsq(jacobian(times, start, final, tau), values)
        sigma = [math.sqrt(variance * cofactors[j][j]) for j in range(3)]
        results.update(zip(("sigma.at-stop", "sigma.final", "sigma.constant"), sigma))
        # The rate is 1/tau: its relative uncertainty is that of tau.
        if sigma[2] > tau / 2:
            warnings.append("time-constant-uncertain")
    return results, warnings


COMPUTATIONS = {"thermal.hot-check": hot_check}
