"""The computations align.*, from the definitions and by formulas of their own: the
named methods, sag, gaps, lines, moves, predictions and units. Sweeps are in
align_sweeps.py, dials and the least-squares position in align_model.py.

Definitions: testdata/README.md, "Frame and signs" and "Computations".
"""

import math

import align_sweeps
import common as c
from align_model import (ASK, AXIS, DIAL, Dial, FEET, GAPS, KNOWN_OFFSET, KNOWN_SLOPE, LINE, NO_QUESTION, SAG, SPOOL,
                         STATION, answer, at, axis_of, line_through, moves_at, position, roll_over, uncertainty_of)
from align_sweeps import LIMITS, OFFSET, TWO_PLANES, fit_sweep
from common import BOOL, Fault, LENGTH, NUMBER, SWEEP, clock, listof, opt, record, word

GRAVITY = 9.80665  # m/s2, standard (3rd CGPM, 1901)


# ---------------------------------------------------------------- methods


def reverse_indicator(v):
    d = record({"onFar": DIAL, "onNear": DIAL, "sigma": opt(LENGTH), "ask": opt(ASK)})(v)
    # "on" says which shaft is touched; the bracket is on the other.
    far = Dial(d.onFar, bracket="near", reach="shaft-to-shaft")
    near = Dial(d.onNear, bracket="far", reach="shaft-to-shaft")
    return answer(position([far, near], [], [], None, d.sigma, order=near.station > far.station), d.ask)


def rim_and_face(v):
    d = record({"bracket": opt(word("near", "far"), "near"), "rim": DIAL, "face": DIAL, "sigma": opt(LENGTH),
                "ask": opt(ASK)})(v)
    rim = Dial(d.rim, bracket=d.bracket, reach="shaft-to-shaft")
    face = Dial(d.face, "face-toward", bracket=d.bracket, reach="shaft-to-shaft")
    return answer(position([rim, face], [], [], None, d.sigma), d.ask)


def double_radial(v):
    d = record({"bracket": opt(word("near", "far"), "near"), "first": DIAL, "second": DIAL, "sigma": opt(LENGTH),
                "ask": opt(ASK)})(v)
    dials = [Dial(x, bracket=d.bracket, reach="shaft-to-shaft") for x in (d.first, d.second)]
    return answer(position(dials, [], [], None, d.sigma), d.ask)


def face_face(v):
    d = record({"spool": opt(SPOOL), "nearFace": DIAL, "farFace": DIAL, "sigma": opt(LENGTH), "ask": opt(ASK)})(v)
    dials = [Dial(d.nearFace, "face-toward", reach="near-to-spool"),
             Dial(d.farFace, "face-toward", reach="far-to-spool")]
    return answer(position(dials, [], [], d.spool, d.sigma), d.ask)


def shaft_to_spool(v):
    d = record({"spool": opt(SPOOL), "onNear": DIAL, "onFar": DIAL, "sigma": opt(LENGTH), "ask": opt(ASK)})(v)
    dials = [Dial(d.onNear, reach="near-to-spool"), Dial(d.onFar, reach="far-to-spool")]
    return answer(position(dials, [], [], d.spool, d.sigma), d.ask)


def two_point(v):
    d = record({"a": KNOWN_OFFSET, "b": KNOWN_OFFSET, "sigma": opt(LENGTH), "ask": opt(ASK)})(v)
    if d.a.station == d.b.station:
        raise Fault("coincident-stations")
    return answer(position([], [d.a, d.b], [], None, d.sigma), d.ask)


def gap_slope(g):
    """Gaps between hub faces, far less near: where the far line rises by k, the
    gap at the top is less by k D than that at the bottom."""
    if g.diameter <= 0:
        raise Fault("zero-diameter")
    return {"vertical": (g.bottom - g.top) / g.diameter, "horizontal": (g.left - g.right) / g.diameter}


def offset_and_gaps(v):
    d = record({"offset": KNOWN_OFFSET, "gaps": GAPS, "sigma": opt(LENGTH), "ask": opt(ASK)})(v)
    g = d.gaps
    # The slope comes from the difference of two gaps: over D its uncertainty is
    # that of one gap times the root of two.
    own = uncertainty_of(g.sigma, d.sigma)
    slope = c.Fields(slope=c.Fields(gap_slope(g)), over=g.diameter,
                     sigma=None if own is None else own * math.sqrt(2))
    return answer(position([], [d.offset], [slope], None, d.sigma), d.ask)


def measurement(v):
    d = record({"dials": opt(listof(DIAL), []), "offsets": opt(listof(KNOWN_OFFSET), []),
                "slopes": opt(listof(KNOWN_SLOPE), []), "spool": opt(SPOOL), "sigma": opt(LENGTH),
                "exact": opt(BOOL, False), "ask": opt(ASK)})(v)
    return answer(position([Dial(x) for x in d.dials], d.offsets, d.slopes, d.spool, d.sigma, d.exact), d.ask)


# ---------------------------------------------------------------- predictions


def predict(v):
    d = record({"dial": DIAL, "axis": AXIS, "spool": opt(SPOOL), "zero": NUMBER, "at": listof(NUMBER),
                "exact": opt(BOOL, False)})(v)
    dial = Dial(d.dial, sweep=False)
    axis = axis_of(d.axis)
    model = dial.curved if d.exact else dial.linear

    def reading(t):
        return model(axis, d.spool, t) + dial.sag_part(t) + dial.runout_part(t)

    zero = reading(d.zero)
    return {"reading.%d" % i: reading(t) - zero for i, t in enumerate(d["at"])}, []


def expected_sum_rule(v):
    """Top + bottom less right + left that a round rim must show; to second order
    (y^2 - z^2)/radius, here from the rim itself. A bracket that droops carries
    the dial below its shaft, and the rim stands so much higher for it."""
    d = record({"dial": DIAL, "axis": AXIS})(v)
    dial, axis = Dial(d.dial), axis_of(d.axis)
    droop = -(dial.sag or 0.0) / 2
    if dial.bracket == "far":
        droop = -droop  # the far shaft carries: the near rim stands higher
    (offset, slope), *across = axis
    axis = [(offset + droop, slope), *across]
    r = [dial.curved(axis, None, t) for t in (0, 90, 180, 270)]
    return {"expected": r[0] + r[2] - r[1] - r[3]}, []


# ---------------------------------------------------------------- sag and gaps


def sag_correction(v):
    d = record({"sag": SAG, "sweep": SWEEP})(v)
    s = roll_over(d.sag)
    # Zeroed anywhere: the correction is that from the position first read.
    base = clock(d.sweep[0][0])[0] if d.sweep else 1.0
    corrected = [(t, r - s * (base - clock(t)[0]) / 2) for t, r in d.sweep]
    out = {"roll-over": s, "droop": -s / 2}
    out.update({"reading.%d" % i: r for i, (_, r) in enumerate(corrected)})
    try:
        f = fit_sweep(corrected)
    except Fault:
        return out, []
    out.update({"harmonic." + p: h for p, h in f["harmonic"].items()})
    return out, []


def bracket_sag(v):
    """A cantilever under its own weight and an end load (Roark; Timoshenko):
    droop w L^4/8EI + F L^3/3EI, end slope w L^3/6EI + F L^2/2EI."""
    d = record({"length": LENGTH, "outerDiameter": LENGTH, "innerDiameter": opt(LENGTH, 0.0), "bars": opt(c.INT, 1),
                "modulusPascal": NUMBER, "densityKilogramPerCubicMetre": NUMBER, "endMassKilogram": opt(NUMBER, 0.0),
                "measured": opt(SAG)})(v)
    if d.outerDiameter <= 0:
        raise Fault("zero-diameter")
    if not 0 <= d.innerDiameter < d.outerDiameter or d.length <= 0 or d.bars < 1 or d.modulusPascal <= 0:
        raise Fault("out-of-range")
    if d.densityKilogramPerCubicMetre < 0 or d.endMassKilogram < 0:
        raise Fault("negative")
    area = math.pi / 4 * (d.outerDiameter**2 - d.innerDiameter**2)
    inertia = math.pi / 64 * (d.outerDiameter**4 - d.innerDiameter**4)
    ei = d.modulusPascal * inertia
    w = d.densityKilogramPerCubicMetre * area * GRAVITY
    f = d.endMassKilogram * GRAVITY / d.bars
    n = d.length
    droop = w * n**4 / (8 * ei) + f * n**3 / (3 * ei)
    slope = w * n**3 / (6 * ei) + f * n**2 / (2 * ei)
    out = {"droop": droop, "end-slope": slope, "roll-over": -2 * droop}
    warnings = []
    if d.measured is not None:
        s = roll_over(d.measured)
        if s > 0:
            warnings.append("sag-positive")
        elif not 1 / LIMITS["sag"] <= s / out["roll-over"] <= LIMITS["sag"]:
            warnings.append("sag-size")
    return out, warnings


def face_gaps(v):
    k = gap_slope(GAPS(v))
    return {"slope." + p: k[p] for p in TWO_PLANES}, []


def straightedge_gaps(v):
    """A straightedge on the near hub: the gap down to the far hub is what it
    lacks in radius less the offset at the top, and plus it at the bottom."""
    d = record({"top": LENGTH, "right": LENGTH, "bottom": LENGTH, "left": LENGTH})(v)
    return {"offset.vertical": (d.bottom - d.top) / 2, "offset.horizontal": (d.left - d.right) / 2}, []


# ---------------------------------------------------------------- lines and moves


def through_two_points(v):
    p = record({"station": LENGTH, "offset": LENGTH})
    d = record({"p": p, "q": p, "stations": opt(listof(STATION), [])})(v)
    l = line_through(d.p.station, d.p.offset, d.q.station, d.q.offset)
    out = {"offset": l[0], "slope": l[1]}
    out.update({"offset." + s.name: at(l, s["at"]) for s in d.stations})
    return out, []


def line_at(v):
    d = record({"line": LINE, "at": LENGTH})(v)
    return {"offset": at((d.line.offset, d.line.slope), d["at"])}, []


def flex_angles(v):
    d = record({"axis": AXIS, "spool": SPOOL})(v)
    axis = axis_of(d.axis)
    length = d.spool.farFlex - d.spool.nearFlex
    if length <= 0:
        raise Fault("coincident-stations")
    # Slopes against the spool, which rises from 0 to e(far flex) over the near
    # line, in the sense far less near: spool less near shaft, far shaft less spool.
    # The near one is (e over L) with e taken where the far line meets the spool.
    spool = [at(l, d.spool.farFlex) / length for l in axis]
    far = [l[1] - s for l, s in zip(axis, spool)]
    out = {}
    for i, p in enumerate(TWO_PLANES):
        out["near." + p], out["far." + p] = spool[i], far[i]
    out["largest"] = max(c.norm(spool), c.norm(far))
    return out, []


def mirrored_axis(v):
    """Seen from the other end x and z turn over, and near and far change names."""
    d = record({"axis": AXIS})(v)
    vertical, horizontal = axis_of(d.axis)
    # e' (x') = -(e(-x')) upward, and -(-(e(-x'))) sideways.
    return {"offset.vertical": -vertical[0], "slope.vertical": vertical[1], "offset.horizontal": horizontal[0],
            "slope.horizontal": -horizontal[1]}, []


def extrapolation(v):
    d = record({"at": LENGTH, "from": LENGTH, "to": LENGTH, "spans": opt(NUMBER)})(v)
    span = d.to - d["from"]
    if span <= 0:
        raise Fault("coincident-stations")
    out = max((d["at"] - d.to) / span, (d["from"] - d["at"]) / span, 0.0)
    limit = d.spans or LIMITS["spans"]
    return {"spans": out}, ["long-extrapolation"] if out > limit * (1 + 1e-9) else []


def moves(v):
    d = record({"axis": AXIS, "ask": ASK})(v)
    axis = axis_of(d.axis)
    out = {"offset.%s.%s" % (s.name, p): at(l, s["at"]) for s in d.ask.stations for p, l in zip(TWO_PLANES, axis)}
    out.update(moves_at(d.ask, axis))
    return out, []


def after_moves(v):
    one = record({"feet": FEET, "inboard": OFFSET, "outboard": OFFSET})
    d = record({"axis": AXIS, "near": opt(one), "far": opt(one), "ask": opt(ASK)})(v)
    axis = axis_of(d.axis)
    # A machine moves as a rigid body: its shaft goes by the line through its feet.
    for who, sign in (("near", -1), ("far", 1)):
        m = d[who]
        if m is None:
            continue
        shift = [line_through(m.feet.inboard, m.inboard[p], m.feet.outboard, m.outboard[p]) for p in TWO_PLANES]
        axis = [(l[0] + sign * s[0], l[1] + sign * s[1]) for l, s in zip(axis, shift)]
    ask = d.ask or NO_QUESTION
    out = {"slope." + p: l[1] for p, l in zip(TWO_PLANES, axis)}
    for s in ask.stations:
        for p, l in zip(TWO_PLANES, axis):
            out["offset.%s.%s" % (s.name, p)] = at(l, s["at"])
    out.update(moves_at(ask, axis))
    return out, []


# ---------------------------------------------------------------- units


def convert(v):
    d = record({"value": c.any_quantity, "to": c.unit_name()})(v)
    number, unit, si = d.value
    if c.UNITS[unit][0] != c.UNITS[d.to][0]:
        raise Fault("wrong-unit")
    return {"value": si, "number": c.from_si(si, d.to)}, []


def clock_hour(v):
    d = record({"hour": NUMBER})(v)
    if not math.isfinite(d.hour * 30):
        raise Fault("out-of-range", "hour")
    degrees = math.fmod(d.hour * 30, 360)  # twelve hours are one turn
    degrees += 360 if degrees < 0 else 0
    up, right = clock(degrees)
    return {"degrees": degrees, "up": up, "right": right}, []


COMPUTATIONS = {
    **align_sweeps.COMPUTATIONS,
    "align.convert": convert,
    "align.clock": clock_hour,
    "align.expected-sum-rule": expected_sum_rule,
    "align.sag-correction": sag_correction,
    "align.bracket-sag": bracket_sag,
    "align.face-gaps": face_gaps,
    "align.straightedge-gaps": straightedge_gaps,
    "align.through-two-points": through_two_points,
    "align.line-at": line_at,
    "align.flex-angles": flex_angles,
    "align.mirrored-axis": mirrored_axis,
    "align.extrapolation": extrapolation,
    "align.moves": moves,
    "align.after-moves": after_moves,
    "align.predict": predict,
    "align.reverse-indicator": reverse_indicator,
    "align.rim-and-face": rim_and_face,
    "align.double-radial": double_radial,
    "align.face-face": face_face,
    "align.shaft-to-spool": shaft_to_spool,
    "align.two-point": two_point,
    "align.offset-and-gaps": offset_and_gaps,
    "align.measurement": measurement,
}
