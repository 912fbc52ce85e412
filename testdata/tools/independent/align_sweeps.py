"""Dial sweeps by themselves: fits, closing, sums, means.

Definitions: testdata/README.md, "Sweeps". A sweep is a list of (degrees, metres);
n = (cos t, sin t) is up and to the right. The thresholds of LIMITS are those of
README.md, "Warning codes"; common practice, no source.
"""

import math

import common as c
from common import Fault, LENGTH, NUMBER, SWEEP, clock, listof, opt, record

LIMITS = {
    "closure": 0.01e-3,  # m between the first and the last reading at one position
    "sum-rule": 0.05e-3,  # m of top + bottom less left + right beyond what is expected
    "residual": 0.05e-3,  # m that one reading stands off the fit
    "size": 5e-3,  # m of harmonic beyond which a unit is probably wrong
    "narrow": 2.0,  # times the uncertainty of evenly spread positions
    "refused": 10.0,
    "spans": 4.0,  # measured spans that a line is drawn out
    "sag": 1.5,  # ratio of measured to predicted sag
}
TWO_PLANES = ("vertical", "horizontal")
OFFSET = record({"vertical": LENGTH, "horizontal": LENGTH})


def same_position(a, b):
    """Clock positions a whole number of turns apart."""
    d = math.fmod(a - b, 360.0)
    return min(abs(d), 360 - abs(d)) < 1e-9


def without_closing(sweep):
    """The sweep without a last reading back at the first position, and that
    reading less the first; None when there is none."""
    if len(sweep) > 1 and same_position(sweep[0][0], sweep[-1][0]):
        return sweep[:-1], sweep[-1][1] - sweep[0][1]
    return sweep, None


def at_quarter(sweep, degrees):
    for t, r in sweep:
        if same_position(t, degrees):
            return r
    return None


def sum_rule(sweep):
    """Top + bottom less right + left, None unless all four were read."""
    q = [at_quarter(sweep, d) for d in (0, 90, 180, 270)]
    if None in q:
        return None
    return (q[0] + q[2]) - (q[1] + q[3])


def planes_shown(sweep):
    """Which planes the positions show: (vertical, horizontal).

    The readings less their mean depend on n less its mean; the two singular
    values of those directions say whether a component is shown. A single one
    that points neither up nor sideways ties the planes together and is refused.
    """
    if len(sweep) < 2:
        raise Fault("too-few-positions")
    ns = [clock(t) for t, _ in sweep]
    mean = [math.fsum(n[i] for n in ns) / len(ns) for i in (0, 1)]
    rows = [[n[0] - mean[0], n[1] - mean[1]] for n in ns]
    _, s, v = c.svd(rows)
    if s[0] < 1e-9:
        raise Fault("too-few-positions")
    if s[1] > 1e-9:
        return True, True
    # One direction alone: readings on a diameter show only the part along it.
    if abs(v[0][1]) < 1e-9:
        return True, False
    if abs(v[0][0]) < 1e-9:
        return False, True
    raise Fault("too-few-positions")


def fit_sweep(sweep):
    """Least squares r = c + V cos t + H sin t. Closing readings are left out."""
    sweep, _ = without_closing(sweep)
    shown = planes_shown(sweep)
    use = [i for i in (0, 1) if shown[i]]
    rows = [[clock(t)[i] for i in use] + [1.0] for t, _ in sweep]
    x, residuals, cof = c.lstsq(rows, [r for _, r in sweep])
    n = len(sweep)
    out = {"shown": shown, "constant": x[-1], "harmonic": {}, "variance": {}, "arc": {}, "residuals": residuals,
           "dof": n - len(use) - 1, "n": n, "covariance": cof[0][1] if len(use) == 2 else 0.0}
    for j, i in enumerate(use):
        plane = TWO_PLANES[i]
        out["harmonic"][plane] = x[j]
        out["variance"][plane] = cof[j][j]
        # n readings spread evenly over the turn give a variance of 2/n. Two on a
        # diameter give 1/2, better than that, and have a factor below one.
        out["arc"][plane] = math.sqrt(cof[j][j] * n / 2)
    if max(out["arc"].values()) > LIMITS["refused"]:
        raise Fault("arc-too-narrow")
    return out


def rms(residuals, dof):
    return math.sqrt(math.fsum(r * r for r in residuals) / dof) if dof > 0 else 0.0


def sweep_fit(v):
    d = record({"sweep": SWEEP})(v)
    f = fit_sweep(d.sweep)
    out = {"constant": f["constant"], "rms": rms(f["residuals"], f["dof"]), "covariance": f["covariance"],
           "worst": max(abs(r) for r in f["residuals"]), "degrees-of-freedom": float(f["dof"])}
    for p in f["harmonic"]:
        out["harmonic." + p] = f["harmonic"][p]
        out["arc-factor." + p] = f["arc"][p]
        out["variance." + p] = f["variance"][p]
    return out, []


def second_harmonic(v):
    """r = c + V cos t + H sin t + C cos 2t + S sin 2t; five positions or more."""
    d = record({"sweep": SWEEP})(v)
    sweep, _ = without_closing(d.sweep)
    rows = [[1.0, *clock(t), *clock(2 * t)] for t, _ in sweep]
    try:
        x, residuals, _ = c.lstsq(rows, [r for _, r in sweep])
    except Fault:
        raise Fault("too-few-positions")
    dof = len(rows) - 5
    return {"constant": x[0], "harmonic.vertical": x[1], "harmonic.horizontal": x[2], "second.cosine": x[3],
            "second.sine": x[4], "rms": rms(residuals, dof), "degrees-of-freedom": float(dof)}, []


def re_zero(v):
    d = record({"sweep": SWEEP, "at": NUMBER})(v)
    zero = at_quarter(d.sweep, d["at"])
    if zero is None:
        raise Fault("missing", "not read there")
    return {"reading.%d" % i: r - zero for i, (_, r) in enumerate(d.sweep)}, []


def closure(v):
    d = record({"sweep": SWEEP})(v)
    out = {}
    _, closing = without_closing(d.sweep)
    if closing is not None:
        out["closure"] = closing
    s = sum_rule(d.sweep)
    if s is not None:
        out["sum-rule"] = s
    if not out:
        raise Fault("too-few-positions")
    return out, []


def total_reading(v):
    d = record({"sweep": SWEEP})(v)
    if not d.sweep:
        raise Fault("too-few-positions")
    values = [r for _, r in d.sweep]
    total = max(values) - min(values)
    return {"total": total, "offset": total / 2}, []


def mean_of_sweeps(v):
    """Sets read at the same positions, each less its own mean, so that nothing
    depends on where a dial was zeroed."""
    d = record({"sweeps": listof(SWEEP), "limit": opt(LENGTH)})(v)
    if not d.sweeps or not d.sweeps[0]:
        raise Fault("missing", "sweeps")
    first = d.sweeps[0]
    for s in d.sweeps:
        if len(s) != len(first) or not all(same_position(p[0], q[0]) for p, q in zip(s, first)):
            raise Fault("mismatch", "positions differ")
    sets = [[r - math.fsum(q for _, q in s) / len(s) for _, r in s] for s in d.sweeps]
    out = {"reading.%d" % i: math.fsum(col) / len(sets) for i, col in enumerate(zip(*sets))}
    spread = max(max(col) - min(col) for col in zip(*sets))
    out["repeatability"] = spread
    warnings = ["repeatability"] if d.limit is not None and spread > d.limit * (1 + 1e-9) else []
    return out, warnings


def cancel_float(v):
    """Two face dials half a turn apart: a reads face + float, b, at the other end
    of the diameter, reads less the face + float. Half the difference is the face,
    half the sum the float. Readings count from each dial's own first one, and
    belong together by their order; beside b stands its own position or that of a."""
    d = record({"a": SWEEP, "b": SWEEP})(v)
    if len(d.a) != len(d.b):
        raise Fault("mismatch")
    if not any(all(same_position(p[0] + t, q[0]) for p, q in zip(d.a, d.b)) for t in (0, 180)):
        raise Fault("mismatch", "not half a turn apart")
    out = {}
    for i, ((_, a), (_, b)) in enumerate(zip(d.a, d.b)):
        a, b = a - d.a[0][1], b - d.b[0][1]
        out["face.%d" % i] = (a - b) / 2
        out["axial.%d" % i] = (a + b) / 2
    return out, []


def half_turn(v):
    """One shaft turned by half a turn takes the error of its hub along and leaves
    the misalignment: before = m + h, after = m - h."""
    d = record({"before": OFFSET, "after": OFFSET})(v)
    out = {}
    for p in TWO_PLANES:
        out["misalignment." + p] = (d.before[p] + d.after[p]) / 2
        out["hub-error." + p] = (d.before[p] - d.after[p]) / 2
    return out, []


COMPUTATIONS = {
    "align.sweep-fit": sweep_fit,
    "align.second-harmonic": second_harmonic,
    "align.re-zero": re_zero,
    "align.closure": closure,
    "align.total-reading": total_reading,
    "align.mean-of-sweeps": mean_of_sweeps,
    "align.cancel-float": cancel_float,
    "align.half-turn": half_turn,
}
