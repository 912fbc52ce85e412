"""Runout at one station: rim, face, opposite marks, unbalance.

Definitions: testdata/README.md, "Runout at one station" and "Unbalance".

Formulas. A round section off centre by e shows c + e . n with n = (cos t, sin t),
t the mark under the stem; a second harmonic C cos 2t + S sin 2t is an oval
(Fourier sums as in the NIST/SEMATECH e-Handbook, mpc344, here by least squares,
so that uneven marks are taken as they are). A face tilted by k shows (D/2) k . n.
Unbalance is mass times eccentricity and a grade specific unbalance times angular
speed (ISO 21940-11). Thresholds of warnings are not in README.md; those of LIMITS
are round figures, common practice, no source.
"""

import math

import align_sweeps as sweeps
import common as c
from common import Fault, FREQUENCY, LENGTH, MASS, SWEEP, VELOCITY, clock, opt, record
from runout_limits import verdict

LIMITS = {
    "closure": 0.02e-3,  # m
    "oval": 0.02e-3,  # m of second harmonic
    "residual": 0.05e-3,  # m off the first harmonic
    "size": 5e-3,  # m of eccentricity
    "tilt": 20e-3,  # slope of a face
    "narrow": 2.0,
}


def second_seen(marks):
    """How much of a second harmonic the marks show: full, one direction, hidden.

    Five marks or more that hold all five unknowns show it in full. Quarter marks
    show the part with its lobes on the marks. Anything else cannot part it from
    the first harmonic.
    """
    n = len(marks)
    if n >= 5:
        rows = [[1.0, *clock(t), *clock(2 * t)] for t in marks]
        _, s, _ = c.svd(rows)
        if s[-1] > 1e-3 * s[0]:
            return "full"
    if n == 4 and all(any(sweeps.same_position(marks[0] + q, t) for t in marks) for q in (0, 90, 180, 270)):
        return "one direction"
    return "hidden"


def widest_gap(marks):
    """The widest angle between neighbouring marks, degrees."""
    turns = sorted(t % 360.0 for t in marks)
    return max((b - a) for a, b in zip(turns, turns[1:] + [turns[0] + 360]))


def turn(sweep, even=True):
    """One full turn: first and second harmonic and what they leave.

    even=False says that even harmonics have dropped out of the readings, as they
    do from half differences of opposite dials.
    """
    sweep, closing = sweeps.without_closing(sweep)
    shown = sweeps.planes_shown(sweep)
    if not all(shown):
        raise Fault("too-few-positions")
    marks = [t for t, _ in sweep]
    values = [r for _, r in sweep]
    f = sweeps.fit_sweep(sweep)
    seen = second_seen(marks) if even else "hidden"
    if seen == "full":
        x, rest, _ = c.lstsq([[1.0, *clock(t), *clock(2 * t)] for t in marks], values)
    elif seen == "one direction":
        up = clock(2 * marks[0])  # lobes on the marks
        y, rest, _ = c.lstsq([[1.0, *clock(t), c.dot(up, clock(2 * t))] for t in marks], values)
        x = [y[0], y[1], y[2], y[3] * up[0], y[3] * up[1]]
    else:
        rest = f["residuals"]
        x = [f["constant"], f["harmonic"]["vertical"], f["harmonic"]["horizontal"], 0.0, 0.0]
    first = [x[1], x[2]]
    # What the first leaves is the second and the rest, about the same constant.
    off = [r - x[0] - c.dot(first, clock(t)) for t, r in sweep]
    n = len(sweep)
    at_marks = [c.dot(first, clock(t)) for t in marks]
    second = math.hypot(x[3], x[4])
    return {"first": first, "seen": seen, "second": (x[3], x[4]), "off": off, "off dof": n - 3, "rest": rest,
            "rest dof": n - {"full": 5, "one direction": 4, "hidden": 3}[seen], "closing": closing,
            "total": max(values) - min(values), "at marks": max(at_marks) - min(at_marks),
            # Over half a turn without a mark can miss the whole reading, not more.
            "missed": min(1.0, 1 - math.cos(math.radians(widest_gap(marks) / 2))), "oval": second,
            "arc": max(f["arc"].values())}


def turn_results(s):
    first = s["first"]
    size = c.norm(first)
    out = {"first.vertical": first[0], "first.horizontal": first[1], "first.size": size,
           "high-spot": c.bearing(*first), "total": s["total"], "first.total": 2 * size,
           "first.total-at-marks": s["at marks"], "second.seen": s["seen"], "missed": s["missed"],
           "missed.total": s["missed"] * 2 * size}
    if s["seen"] != "hidden":
        out["second.cosine"], out["second.sine"] = s["second"]
        out["second.size"] = s["oval"]
        # cos 2(t - h) is highest at t = h, half the angle of (C, S).
        out["second.high-spot"] = c.bearing(*s["second"]) / 2
    for name in ("off", "rest"):
        out[name + ".rms"] = sweeps.rms(s[name], s[name + " dof"])
        out[name + ".worst"] = max(abs(v) for v in s[name])
        out[name + ".degrees-of-freedom"] = float(s[name + " dof"])
    if s["closing"] is not None:
        out["closure"] = s["closing"]
    return out


def turn_warnings(s, oval="not-round"):
    out = set()
    if s["closing"] is not None and abs(s["closing"]) > LIMITS["closure"]:
        out.add("closure")
    if s["seen"] == "hidden":
        out.add("second-harmonic-hidden")
    elif s["oval"] > LIMITS["oval"]:
        out.add(oval)
    if max(abs(v) for v in s["off"]) > LIMITS["residual"]:
        out.add("residual")
    if s["arc"] > LIMITS["narrow"]:
        out.add("narrow-arc")
    if c.norm(s["first"]) > LIMITS["size"]:
        out.add("implausible-size")
    return out


def section(v):
    d = record({"sweep": SWEEP})(v)
    s = turn(d.sweep)
    out = turn_results(s)
    out["eccentricity"] = out["first.size"]
    return out, turn_warnings(s)


def face_results(s, diameter):
    # A face tilted by k stands (D/2) k nearer at its high spot.
    out = turn_results(s)
    k = [f / (diameter / 2) for f in s["first"]]
    out["tilt.vertical"], out["tilt.horizontal"] = k
    out["tilt.size"] = c.norm(k)
    warnings = turn_warnings(s, "warped-face")
    if out["tilt.size"] > LIMITS["tilt"]:
        warnings.add("implausible-size")
    return out, warnings


def face(v):
    d = record({"sweep": SWEEP, "diameter": LENGTH})(v)
    if d.diameter <= 0:
        raise Fault("zero-diameter")
    return face_results(turn(d.sweep), d.diameter)


def face_pair(v):
    """Half the difference of two dials half a turn apart is the face, half the
    sum the float of the shaft (Bloch and Geitner, ch. 5)."""
    d = record({"a": SWEEP, "b": SWEEP, "diameter": LENGTH})(v)
    if len(d.a) != len(d.b):
        raise Fault("mismatch")
    if d.diameter <= 0:
        raise Fault("zero-diameter")
    # Readings belong together by their order. The position beside those of b may
    # be that of a, or the one under b, half a turn on, the same for all.
    for shift in (0, 180):
        if all(sweeps.same_position(p[0] + shift, q[0]) for p, q in zip(d.a, d.b)):
            break
    else:
        raise Fault("mismatch", "not half a turn apart")
    s = turn([(t, (a - b) / 2) for (t, a), (_, b) in zip(d.a, d.b)], even=False)
    out, warnings = face_results(s, d.diameter)
    axial = [(a + b) / 2 for (_, a), (_, b) in zip(d.a, d.b)]
    out["float"] = max(axial) - min(axial)
    return out, warnings


def opposite_marks(v):
    d = record({"sweep": SWEEP})(v)
    sweep, _ = sweeps.without_closing(d.sweep)
    n = len(sweep)
    if n < 2:
        raise Fault("too-few-positions")
    if n % 2:
        raise Fault("mismatch", "an odd number of marks")
    for i, (t, _) in enumerate(sweep):
        if any(sweeps.same_position(t, u) for u, _ in sweep[:i]):
            raise Fault("mismatch", "a mark read twice")
    pairs = []
    used = set()
    for i, (t, r) in enumerate(sweep):
        if i in used:
            continue
        j = next((k for k, (u, _) in enumerate(sweep) if sweeps.same_position(t + 180, u)), None)
        if j is None:
            raise Fault("mismatch", "no opposite mark")
        used |= {i, j}
        pairs.append((t, r - sweep[j][1]))
    out = {}
    for i, (_, r) in enumerate(pairs):
        out["runout.%d" % i], out["bend.%d" % i] = r, r / 2
    t, r = max(pairs, key=lambda p: abs(p[1]))
    if r < 0:
        t, r = t + 180, -r  # counted from the high mark
    out["largest.at"] = math.radians(t % 360)
    out["largest.runout"], out["largest.bend"] = r, r / 2
    # The high spot may stand half a gap off the nearest mark.
    out["understates"] = 1 - math.cos(math.radians(widest_gap([u for u, _ in sweep]) / 2))
    return out, []


def unbalance(v):
    d = record({"mass": MASS, "eccentricity": LENGTH, "rotor": opt(MASS), "speed": FREQUENCY,
                "grade": opt(VELOCITY)})(v)
    for f in ("mass", "eccentricity", "speed"):
        c.not_negative(d[f], f)
    rotor = d.mass if d.rotor is None else d.rotor
    c.positive(c.not_negative(rotor, "rotor"), "rotor")
    c.positive(d.speed, "speed")
    u = d.mass * d.eccentricity
    grade = u / rotor * 2 * math.pi * d.speed
    out = {"unbalance": u, "grade": grade}
    if d.grade is not None:
        c.positive(c.not_negative(d.grade, "grade"), "grade")
        out["share"] = grade / d.grade
        out["verdict"] = verdict(out["share"])
    return out, []


def permissible_unbalance(v):
    d = record({"rotor": MASS, "speed": FREQUENCY, "grade": VELOCITY})(v)
    for f in ("rotor", "speed", "grade"):
        c.positive(c.not_negative(d[f], f), f)
    e = d.grade / (2 * math.pi * d.speed)
    return {"specific": e, "unbalance": e * d.rotor}, []


COMPUTATIONS = {
    "runout.section": section,
    "runout.face": face,
    "runout.face-pair": face_pair,
    "runout.opposite-marks": opposite_marks,
    "runout.unbalance": unbalance,
    "runout.permissible-unbalance": permissible_unbalance,
}
