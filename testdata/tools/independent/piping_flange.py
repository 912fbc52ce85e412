"""Flanges: how a pipe flange stands to its nozzle, and published limits of fit-up.

Definitions: testdata/README.md, "Flanges". Clock positions are seen by a person who looks from the machine toward the
pipe, n = (cos t, sin t) up and to the right.

Formulas, all from first principles.
  gap          g = mean + (D/2) tilt . n, by least squares; opening on a circle
               of diameter D is D |tilt|
  understates  max - min of the readings is the width of the polygon of positions
               seen along the tilt; at worst that is the least width of the
               polygon, which it has across one of its sides
  steps        s = half difference of the diameters + offset . n
  holes        along = arc + offset . dn/dt, dn/dt = (-sin t, cos t)
Limits: API RP 686 ch. 6, 4.6, as transcribed in a summary; ASME B31.3 335.1.1(c);
ASME PCC-1 appendix E; Bloch and Geitner, Machinery Component Maintenance and
Repair, p. 150; SAES-L-350 9.4 and 9.5 by a checklist.
"""

import math

import align_sweeps as sweeps
import common as c
from common import ANGLE, BOOL, Fault, LENGTH, RATIO, TEMPERATURE, clock, listof, opt, record, word

SLACK = 1e-9
WARM = 10.0  # K that flanges may differ; no source
RESIDUAL = 0.1e-3  # m; no source
LARGE_GAP = 25e-3  # m of gap that is a wrong unit; no source
REFUSED = 10.0  # times the uncertainty of evenly spread positions
WIDE = 100.0  # m: wider flanges are wrong units; no source
QUARTER_INCH = 0.25 * 0.0254  # cut and refit beyond that


def degrees(radians):
    """Degrees, whole ones exactly."""
    d = math.degrees(radians)
    return float(round(d)) if abs(d - round(d)) < 1e-9 else d


def distinct(turns):
    out = []
    for t in turns:
        if not any(sweeps.same_position(t, u) for u in out):
            out.append(t)
    return out


def size_check(x, path):
    if x is None:
        return
    c.not_negative(x, path)
    if x > WIDE:
        raise Fault("out-of-range", path)


# ---------------------------------------------------------------- gaps


def least_width(turns):
    """The least width of the polygon of unit vectors at these positions."""
    pts = [clock(t) for t in turns]
    best = 2.0
    for i, p in enumerate(pts):
        for q in pts[i + 1:]:
            length = math.dist(p, q)
            if length < 1e-12:
                continue
            d = ((q[1] - p[1]) / length, -(q[0] - p[0]) / length)
            along = [x * d[0] + y * d[1] for x, y in pts]
            best = min(best, max(along) - min(along))
    return best


def flange_survey(v):
    gap = record({"at": ANGLE, "gap": LENGTH})
    warm = record({"machine": TEMPERATURE, "pipe": TEMPERATURE})
    d = record({"gaps": listof(gap), "diameter": LENGTH, "flangeOD": opt(LENGTH), "raisedFaceOD": opt(LENGTH),
                "gasket": opt(LENGTH), "sigma": opt(LENGTH), "maxResidual": opt(LENGTH), "temperature": opt(warm),
                "on": opt(LENGTH), "mirrored": opt(BOOL, False)})(v)
    for f in ("diameter", "flangeOD", "raisedFaceOD", "gasket", "sigma", "maxResidual", "on"):
        size_check(d[f], f)
    c.positive(d.diameter, "diameter", "zero-diameter")
    if d.flangeOD and (d.diameter > d.flangeOD * (1 + SLACK) or (d.raisedFaceOD or 0) > d.flangeOD * (1 + SLACK)):
        raise Fault("mismatch", "outside the flange")
    warnings = set()
    if d.temperature is not None:
        for t in (d.temperature.machine, d.temperature.pipe):
            if t < 0:
                raise Fault("out-of-range", "below absolute zero")
            if t == 0:
                raise Fault("missing", "temperature")
        if abs(d.temperature.machine - d.temperature.pipe) > WARM:
            warnings.add("flanges-not-alike-warm")
    turns = [degrees(g["at"]) * (-1 if d.mirrored else 1) for g in d.gaps]
    gaps = [c.not_negative(g.gap, "gap") for g in d.gaps]
    n = len(gaps)
    if len(distinct(turns)) < 3:
        raise Fault("too-few-positions")
    radius = d.diameter / 2
    sol, res, cof = c.lstsq([[1.0, *clock(t)] for t in turns], gaps)
    mean, tilt = sol[0], [sol[1] / radius, sol[2] / radius]
    # Evenly spread, a part of the harmonic has a variance of 2/n.
    arc = max(math.sqrt(cof[k][k] * n / 2) for k in (1, 2))
    if arc > REFUSED:
        raise Fault("arc-too-narrow")
    turned = sorted(t % 360 for t in turns)
    if max(b - a for a, b in zip(turned, turned[1:] + [turned[0] + 360])) > 180 + 1e-9:
        warnings.add("narrow-arc")  # all on one half of the flange
    size = c.norm(tilt)
    dof = n - 3
    worst = max(res, key=abs)
    rms = sweeps.rms(res, dof)
    out = {"mean": mean, "tilt.up": tilt[0], "tilt.right": tilt[1], "tilt.size": size, "widest": c.bearing(*tilt),
           "opening": size * d.diameter, "max-minus-min": max(gaps) - min(gaps),
           "understates": 1 - least_width(turns) / 2, "rms": rms, "worst": worst, "degrees-of-freedom": float(dof)}
    out.update({"residual.%d" % i: r for i, r in enumerate(res)})
    quarters = [next((g for t, g in zip(turns, gaps) if sweeps.same_position(t, q)), None) for q in (0, 90, 180, 270)]
    if None not in quarters:
        out["warp"] = (quarters[0] - quarters[1] + quarters[2] - quarters[3]) / 4
    if d.gasket is not None:
        out["gap-error"] = mean - d.gasket
    if d.on is not None:
        out["opening.on"] = size * d.on
    variance = d.sigma**2 if d.sigma else (rms**2 if dof > 0 else None)
    if variance is not None:
        out["sigma.mean"] = math.sqrt(variance * cof[0][0])
        if size > 0:
            # Of 2 |h| along h, the harmonic: the covariance of h in its direction.
            e = [t / size for t in tilt]
            q = e[0] ** 2 * cof[1][1] + 2 * e[0] * e[1] * cof[1][2] + e[1] ** 2 * cof[2][2]
            out["sigma.opening"] = 2 * math.sqrt(variance * q)
    if dof == 0:
        warnings.add("few-positions")
    if dof > 0 and abs(worst) > (d.maxResidual or RESIDUAL) * (1 + SLACK):
        warnings.add("residual")
    if mean > LARGE_GAP:
        warnings.add("implausible-size")
    return out, warnings


# ---------------------------------------------------------------- rims and holes


def flange_centres(v):
    step = record({"at": ANGLE, "step": LENGTH})
    d = record({"steps": listof(step), "machineOD": opt(LENGTH), "pipeOD": opt(LENGTH), "fitODs": opt(BOOL, False),
                "sigma": opt(LENGTH)})(v)
    for f in ("machineOD", "pipeOD", "sigma"):
        size_check(d[f], f)
    given = [d.machineOD is not None, d.pipeOD is not None]
    if any(given) and not all(given):
        raise Fault("missing", "the other diameter")
    if any(given) and d.fitODs:
        raise Fault("mismatch", "diameters given and sought")
    half = (d.pipeOD - d.machineOD) / 2 if all(given) else 0.0
    turns = [degrees(s["at"]) for s in d.steps]
    places = distinct(turns)
    if len(places) < (3 if d.fitODs else 2):
        raise Fault("too-few-positions")
    warnings = set()
    n = len(turns)
    rows = [[*clock(t)] + ([1.0] if d.fitODs else []) for t in turns]
    values = [s.step - half for s in d.steps]
    one = len(places) == 2 and sweeps.same_position(places[0] + 180, places[1])
    cof = None
    if one:
        # One diameter shows the part along it.
        e = clock(places[0])
        x, res, _ = c.lstsq([[c.dot(e, clock(t))] for t in turns], values)
        offset = [x[0] * e[0], x[0] * e[1]]
        dof = n - 1
        warnings.add("one-plane")
    else:
        x, res, cof = c.lstsq(rows, values)
        if max(math.sqrt(cof[k][k] * n / 2) for k in (0, 1)) > REFUSED:
            raise Fault("arc-too-narrow")
        offset = x[:2]
        half = x[2] if d.fitODs else half
        dof = n - len(x)
    rms = sweeps.rms(res, dof)
    out = {"offset.up": offset[0], "offset.right": offset[1], "offset.size": c.norm(offset), "half-difference": half,
           "rms": rms}
    variance = d.sigma**2 if d.sigma else (rms**2 if dof > 0 else None)
    if variance is not None and cof is not None:
        out["sigma.up"], out["sigma.right"] = (math.sqrt(variance * cof[k][k]) for k in (0, 1))
    if dof > 0 and max(abs(r) for r in res) > RESIDUAL:
        warnings.add("residual")
    return out, warnings


ACROSS = record({"up": LENGTH, "right": LENGTH})


def bolt_holes(v):
    hole = record({"at": ANGLE, "along": LENGTH})
    d = record({"holes": listof(hole), "boltCircle": LENGTH, "offset": opt(ACROSS)})(v)
    if not d.holes:
        raise Fault("missing", "holes")
    c.positive(c.not_negative(d.boltCircle, "boltCircle"), "boltCircle", "zero-diameter")
    turns = [degrees(h["at"]) for h in d.holes]
    values = []
    for t, h in zip(turns, d.holes):
        if abs(h.along) > math.pi * d.boltCircle / 2:
            raise Fault("out-of-range", "more than half the circle")
        co, si = clock(t)
        shift = d.offset.up * -si + d.offset.right * co if d.offset is not None else 0.0
        values.append(h.along - shift)
    n = len(values)
    arc = math.fsum(values) / n
    res = [x - arc for x in values]
    warnings = []
    if d.offset is None:
        # Holes that balance about the centre feel no offset in their mean.
        pull = [math.fsum(clock(t)[k] for t in turns) / n for k in (0, 1)]
        if c.norm(pull) > 1e-6:
            warnings.append("holes-on-one-side")
    return {"arc": arc, "rotation": arc / (d.boltCircle / 2), "rms": sweeps.rms(res, n - 1),
            "worst": max(res, key=abs)}, warnings


# ---------------------------------------------------------------- limits

RULES = ("api-rp-686", "asme-b31.3-si", "asme-b31.3-us", "asme-pcc-1-si", "asme-pcc-1-us", "bloch-geitner",
         "saes-l-350-machinery", "saes-l-350-pipe")
SIZE = record({"rule": word(*RULES), "flangeOD": LENGTH, "raisedFaceOD": opt(LENGTH), "boltCircle": opt(LENGTH),
               "reference": opt(word("flange", "raised-face")), "gasket": opt(LENGTH)})


def limits_of(s):
    """Limits in SI units: parallelism as a length over a diameter or a slope."""
    for f in ("flangeOD", "raisedFaceOD", "boltCircle", "gasket"):
        size_check(s[f], f)
    c.positive(s.flangeOD, "flangeOD", "zero-diameter")
    for f in ("raisedFaceOD", "boltCircle"):
        if s[f] is not None and s[f] > s.flangeOD * (1 + SLACK):
            raise Fault("mismatch", f)
    mm, inch = (lambda x: c.to_si(x, "mm")), (lambda x: c.to_si(x, "in"))
    read_over = s.raisedFaceOD or s.flangeOD  # where feelers reach
    rule = s.rule
    out = {"faces": 1}
    if rule == "api-rp-686":
        # 0.01 mm for each centimetre of outside diameter, 0.25 to 0.75 mm.
        by = c.require(s.reference, "reference")
        od = s.flangeOD if by == "flange" else c.require(s.raisedFaceOD, "raisedFaceOD")
        out.update(parallel=min(max(0.001 * od, mm(0.25)), mm(0.75)), over=read_over, known="read-secondhand",
                   gap=mm(1.5), holes=mm(1.5))
    elif rule.startswith("asme-b31.3"):
        si = rule.endswith("si")
        out.update(slope=1 / 200 if si else c.to_si(1 / 16, "in/ft"), faces=2, known="read-secondhand",
                   holes=mm(3) if si else inch(1 / 8))
    elif rule.startswith("asme-pcc-1"):
        si = rule.endswith("si")
        # Rejected above twice the gasket: too wide by more than one gasket.
        gasket = c.require(s.gasket, "gasket")
        out.update(parallel=mm(0.8) if si else inch(1 / 32), over=read_over, known="read",
                   centre=mm(1.5) if si else inch(1 / 16), holes=mm(3) if si else inch(1 / 8), gap=gasket, wide=True)
    elif rule == "bloch-geitner":
        out.update(parallel=inch(1 / 32), over=read_over, known="read", centre=inch(1 / 8))
    elif rule == "saes-l-350-machinery":
        out.update(centre=mm(2.4), each=True, rotation=mm(2.4))
    else:
        out.update(parallel=mm(1.6), over=s.flangeOD, known="read", rotation=mm(2.4))
    return out


def flange_limits(v):
    s = SIZE(v)
    l = limits_of(s)
    out = {}
    if "known" in l:
        out["parallelism.known"], out["parallelism.faces"] = l["known"], float(l["faces"])
        if "slope" in l:
            out["parallelism.slope"], out["parallelism"] = l["slope"], l["slope"] * s.flangeOD
        else:
            out["parallelism"], out["parallelism.over"] = l["parallel"], l["over"]
    for k in ("gap", "centre", "holes", "rotation"):
        if k in l:
            out[k] = l[k]
    return out, []


JOINT = record({"mean": LENGTH, "gasket": opt(LENGTH), "tilt": record({"up": RATIO, "right": RATIO}),
                "offset": opt(ACROSS), "rotation": opt(ANGLE)})


def check_joint(j):
    if max(abs(j.tilt.up), abs(j.tilt.right)) > 1:
        raise Fault("out-of-range", "faces at more than 45 degrees")
    if j.gasket is not None:
        c.not_negative(j.gasket, "gasket")
    return j


def flange_fit_up(v):
    d = record({"joint": JOINT, "limits": SIZE, "cutAbove": opt(LENGTH)})(v)
    l = limits_of(d.limits)
    j = check_joint(d.joint)
    above = c.not_negative(d.cutAbove or 0.0, "cutAbove") or QUARTER_INCH
    shares, unjudged = {}, []

    def judge(name, value, limit):
        if value is None:
            unjudged.append(name)
        else:
            shares[name] = value / limit

    gap_error = None if j.gasket is None else j.mean - j.gasket
    offset = None if j.offset is None else math.hypot(j.offset.up, j.offset.right)
    radius = None if d.limits.boltCircle is None else d.limits.boltCircle / 2
    arc = None if j.rotation is None or radius is None else abs(j.rotation) * radius
    if "gap" in l:
        error = None if gap_error is None else max(gap_error, 0.0) if l.get("wide") else abs(gap_error)
        judge("gap", error, l["gap"])
    tilt = math.hypot(j.tilt.up, j.tilt.right)
    if "slope" in l:
        judge("parallelism", tilt, l["slope"] * l["faces"])
    elif "parallel" in l:
        judge("parallelism", tilt * l["over"], l["parallel"])
    if "centre" in l:
        if l.get("each"):
            judge("centre-up", None if j.offset is None else abs(j.offset.up), l["centre"])
            judge("centre-right", None if j.offset is None else abs(j.offset.right), l["centre"])
        else:
            judge("centre", offset, l["centre"])
    if "holes" in l:
        # Offset and rotation add up at one hole or another.
        judge("holes", None if offset is None or arc is None else offset + arc, l["holes"])
    if "rotation" in l:
        judge("rotation", arc, l["rotation"])
    out = {}
    for k, s in shares.items():
        out["share." + k], out["verdict." + k] = s, "within" if s <= 1 + SLACK else "over"
    if unjudged:
        out["unjudged"] = " ".join(unjudged)
    # What the faces open by on the flange is a misfit like the others.
    largest = max(abs(gap_error or 0.0), offset or 0.0, tilt * d.limits.flangeOD)
    out["largest"] = largest
    if any(s > 1 + SLACK for s in shares.values()):
        out["fit"] = "cut" if largest > above * (1 + SLACK) else "move"
    else:
        out["fit"] = "undecided" if unjudged else "within"
    return out, []


COMPUTATIONS = {
    "piping.flange-survey": flange_survey,
    "piping.flange-centres": flange_centres,
    "piping.bolt-holes": bolt_holes,
    "piping.flange-limits": flange_limits,
    "piping.flange-fit-up": flange_fit_up,
}
