"""Shafts as lines, dials on them, and the least-squares position.

Everything rests on one sentence: a rim dial shows, apart from its own constant,
where the touched centreline stands from the carrying one, seen along the stem,
    r = c + (touched - carrier)(x) . n,   n = (cos t, sin t),
and a face dial how the touched line slopes against the carrying one,
    r = c + (D/2) (slope . n)             face looking toward the carrier.
The second follows from the first principles of a disc: where the line rises by
k per length along +x, the upper edge of a disc at right angles to it stands
k D/2 nearer to the machine of smaller x. A face looking away turns the sign.
A spool lies on the near line at its near flex plane and on the far line at its
far one. Unknown are offset and slope at station 0 in both planes, and one
constant for each dial; they are found by least squares with Householder
reflections, the constants kept as unknowns of their own.
"""

import math

import common as c
from align_sweeps import LIMITS, OFFSET, TWO_PLANES, fit_sweep, sum_rule, without_closing
from common import BOOL, Fault, LENGTH, RATIO, SWEEP, TEXT, clock, listof, opt, record, word

SLOPE = record({"vertical": RATIO, "horizontal": RATIO})
SAG = record({"rollOver": opt(LENGTH), "singleDeflection": opt(LENGTH), "none": opt(BOOL)})
DIAL = record({
    "name": opt(TEXT), "surface": opt(word("rim", "face-toward", "face-away")),
    "bracket": opt(word("near", "far"), "near"),
    "reach": opt(word("shaft-to-shaft", "near-to-spool", "far-to-spool"), "shaft-to-shaft"),
    "onSpool": opt(BOOL, False), "station": opt(LENGTH), "diameter": opt(LENGTH), "sag": opt(SAG),
    "turning": opt(word("both-shafts", "bracket-shaft", "touched-shaft"), "both-shafts"),
    "runout": opt(OFFSET), "sweep": opt(SWEEP), "viewedAgainstX": opt(BOOL, False), "sigma": opt(LENGTH),
})
SPOOL = record({"nearFlex": LENGTH, "farFlex": LENGTH})
POINT = record({"station": LENGTH, "offset": OFFSET})
LINE = record({"offset": LENGTH, "slope": RATIO})
AXIS = record({"through": opt(listof(POINT)), "vertical": opt(LINE), "horizontal": opt(LINE)})
STATION = record({"name": TEXT, "at": LENGTH})
FEET = record({"inboard": LENGTH, "outboard": LENGTH})
ASK = record({"stations": opt(listof(STATION), []), "near": opt(FEET), "far": opt(FEET), "target": opt(AXIS)})
KNOWN_OFFSET = record({"station": LENGTH, "offset": OFFSET, "sigma": opt(LENGTH)})
KNOWN_SLOPE = record({"slope": SLOPE, "over": LENGTH, "sigma": opt(LENGTH)})
GAPS = record({"diameter": LENGTH, "top": LENGTH, "right": LENGTH, "bottom": LENGTH, "left": LENGTH,
               "sigma": opt(LENGTH)})
NO_QUESTION = ASK({})


def roll_over(sag):
    """The reading at 6 of a roll-over test, None when no sag was measured."""
    if sag is None:
        return None
    given = [k for k in ("rollOver", "singleDeflection") if sag[k] is not None]
    if sag.none:
        given.append("none")
    if not given:
        raise Fault("missing", "sag")
    if len(given) > 1:
        raise Fault("mismatch", "two kinds of sag test")
    if given == ["rollOver"]:
        return sag.rollOver
    # Relieving the bracket in one position shows the droop once; a roll-over
    # shows it twice, once hanging and once standing (Bloch and Geitner, ch. 5).
    return 2 * sag.singleDeflection if given == ["singleDeflection"] else 0.0


def axis_of(a):
    """((offset, slope) vertical, (offset, slope) horizontal)."""
    lines = a.vertical is not None or a.horizontal is not None
    if lines and a.through is not None:
        raise Fault("mismatch", "points and lines")
    if lines:
        return [(l.offset, l.slope) if l else (0.0, 0.0) for l in (a.vertical, a.horizontal)]
    if a.through is None or len(a.through) != 2:
        raise Fault("missing", "through")
    p, q = a.through
    return [line_through(p.station, p.offset[k], q.station, q.offset[k]) for k in TWO_PLANES]


def line_through(x1, y1, x2, y2):
    if x1 == x2:
        raise Fault("coincident-stations")
    k = (y2 - y1) / (x2 - x1)
    # Written from the middle, so that far stations do not eat the digits twice.
    return ((y1 + y2) / 2 - k * (x1 + x2) / 2, k)


def at(line, x):
    return line[0] + line[1] * x


# ---------------------------------------------------------------- dials

class Dial:
    """A dial as read, with what it says of offset and slope at station 0."""

    def __init__(self, d, surface="rim", sweep=True, **fixed):
        self.surface = d.surface or surface
        self.bracket = fixed.get("bracket", d.bracket)
        self.reach = fixed.get("reach", d.reach)
        self.on_spool = d.onSpool
        self.station, self.diameter = d.station, d.diameter
        self.sag = roll_over(d.sag)
        self.turning, self.runout, self.sigma = d.turning, d.runout, d.sigma
        self.rim = self.surface == "rim"
        c.require(d.station if self.rim else d.diameter, "station or diameter")
        if sweep:
            c.require(d.sweep, "sweep")
        self.sweep = d.sweep
        if d.sweep is not None and d.viewedAgainstX:
            # Seen from the other end left and right change places.
            self.sweep = [(-t, r) for t, r in d.sweep]
        if not self.rim and self.diameter <= 0:
            raise Fault("zero-diameter")
        if self.diameter is not None and self.diameter < 0:
            raise Fault("negative", "diameter")
        if self.sigma is not None and self.sigma < 0:
            raise Fault("negative", "sigma")
        if self.turning == "touched-shaft":
            raise Fault("touched-shaft-only")
        if self.turning == "bracket-shaft" and self.runout is None:
            raise Fault("runout-unknown")

    def weights(self, spool):
        """(p, q): the reading is c + (p offset + q slope) . n."""
        if self.reach == "shaft-to-shaft":
            if self.rim:
                sign = 1 if self.bracket == "near" else -1
                return sign, sign * self.station
            side = 1 if self.surface == "face-toward" else -1
            return 0.0, side * self.diameter / 2
        if spool is None:
            raise Fault("spool-not-given")
        length = spool.farFlex - spool.nearFlex
        if length <= 0:
            raise Fault("coincident-stations")
        # The spool's line over the near one rises from 0 to e(far flex).
        slope = (1 / length, spool.farFlex / length)
        if self.rim:
            share = (self.station - spool.nearFlex) / length
            line = (share, share * spool.farFlex)
            if self.reach == "far-to-spool":
                line = (line[0] - 1, line[1] - self.station)
            sign = -1 if self.on_spool else 1
            return sign * line[0], sign * line[1]
        side = self.diameter / 2 * (1 if self.surface == "face-toward" else -1)
        if self.reach == "near-to-spool":
            return side * slope[0], side * slope[1]
        return -side * slope[0], side * (1 - slope[1])

    def sag_part(self, t):
        """What the sag adds at t, from 12 o'clock on: S (1 - cos t)/2."""
        return (self.sag or 0.0) * (1 - clock(t)[0]) / 2

    def runout_part(self, t):
        """What the runout of the touched surface adds when only the bracket turns."""
        if self.turning != "bracket-shaft":
            return 0.0
        n = clock(t)
        return self.runout.vertical * n[0] + self.runout.horizontal * n[1]

    def linear(self, axis, spool, t):
        p, q = self.weights(spool)
        return math.fsum((p * l[0] + q * l[1]) * n for l, n in zip(axis, clock(t)))

    def curved(self, axis, spool, t):
        """The stem of a rim dial rides on the round rim.

        The touched rim is a cylinder of radius R around its own line; the stem
        lies in the plane of its station and points at the carrier's line. With w
        the place touched less the touched centreline, in that plane, and g the
        slope of the touched line, the distance from the line is R:
            |w|^2 - (w.g)^2 / (1 + |g|^2) = R^2,  w = rho n - e,
        a quadratic in rho whose larger root is the outside of the rim.
        """
        if not self.rim or self.reach != "shaft-to-shaft":
            return self.linear(axis, spool, t)
        if self.diameter is None or self.diameter <= 0:
            raise Fault("zero-diameter")
        sign = 1 if self.bracket == "near" else -1
        e = [sign * at(l, self.station) for l in axis]
        g = [sign * l[1] for l in axis]
        n = clock(t)
        radius = self.diameter / 2
        if c.norm(e) >= radius:
            raise Fault("out-of-range", "offset beyond the rim")
        h = 1 / (1 + c.dot(g, g))
        a = 1 - h * c.dot(n, g) ** 2
        b = -c.dot(n, e) + h * c.dot(n, g) * c.dot(e, g)
        k = c.dot(e, e) - h * c.dot(e, g) ** 2 - radius**2
        rho = (-b + math.sqrt(b * b - a * k)) / a
        return rho - radius


# ---------------------------------------------------------------- the fit


class Row:
    """One equation: v . (offset, slope) vertical + h . (offset, slope)
    horizontal + the constant of dial `dial` = value, of uncertainty sigma."""

    def __init__(self, v, h, dial, value, sigma):
        self.v, self.h, self.dial, self.value, self.sigma = v, h, dial, value, sigma


def uncertainty_of(own, common_sigma):
    return own if own is not None and own > 0 else common_sigma


def position(dials, offsets, slopes, spool, sigma, exact=False, order=None):
    """The measurement: axis, known planes, covariance and warnings."""
    if sigma is not None and sigma < 0:
        raise Fault("negative", "sigma")
    if not dials and not offsets and not slopes:
        raise Fault("missing", "nothing measured")
    warnings = set()
    stations = {d.station for d in dials if d.rim} | {o.station for o in offsets}
    sigmas = [uncertainty_of(i.sigma, sigma) for i in list(dials) + list(offsets) + list(slopes)]
    if any(s is None for s in sigmas) and any(s is not None for s in sigmas):
        raise Fault("mixed-uncertainty")
    shown = [[False, False] for _ in dials]
    sweeps = []
    for i, d in enumerate(dials):
        d.weights(spool)
        corrected = [(t, r - d.sag_part(t) - d.runout_part(t)) for t, r in d.sweep]
        f = fit_sweep(corrected)
        shown[i] = list(f["shown"])
        sweep, closing = without_closing(corrected)
        sweeps.append(sweep)
        warnings |= dial_warnings(d, f, sweep, closing)
    for k in (0, 1):
        if not (offsets or slopes or any(s[k] for s in shown)):
            warnings.add("one-plane")
    use = [k for k in (0, 1) if offsets or slopes or any(s[k] for s in shown)]
    if order is not None and order:
        warnings.add("geometry-order")

    def solve(axis):
        rows = []
        for i, d in enumerate(dials):
            p, q = d.weights(spool)
            for t, r in sweeps[i]:
                n = clock(t)
                bend = d.curved(axis, spool, t) - d.linear(axis, spool, t) if axis else 0.0
                rows.append(Row((p * n[0], q * n[0]), (p * n[1], q * n[1]), i, r - bend, sigmas[i]))
        base = len(dials)
        for j, o in enumerate(offsets):
            for k, p in enumerate(TWO_PLANES):
                one = (1.0, o.station)
                rows.append(Row(one if k == 0 else (0, 0), one if k == 1 else (0, 0), None, o.offset[p],
                                sigmas[base + j]))
        base += len(offsets)
        for j, o in enumerate(slopes):
            if o.over <= 0:
                raise Fault("zero-diameter", "over")
            for k, p in enumerate(TWO_PLANES):
                # A slope over a length is a difference of offsets over it.
                one = (0.0, o.over)
                rows.append(Row(one if k == 0 else (0, 0), one if k == 1 else (0, 0), None, o.slope[p] * o.over,
                                sigmas[base + j]))
        a, b = [], []
        for r in rows:
            w = 1 / r.sigma if r.sigma else 1.0
            line = []
            for k in use:
                line += list((r.v, r.h)[k])
            line += [1.0 if r.dial == i else 0.0 for i in range(len(dials))]
            a.append([w * x for x in line])
            b.append(w * r.value)
        try:
            x, residuals, cof = c.lstsq(a, b, tiny=1e-10)
        except Fault:
            raise Fault("coincident-stations" if len(dials) + len(offsets) > 1 and len(stations) == 1
                        and not any(not d.rim for d in dials) and not slopes else "undetermined")
        return x, residuals, cof, len(rows)

    x, residuals, cof, rows = solve(None)
    axis = unpack(x, use)
    if exact:
        for _ in range(60):
            x, residuals, cof, rows = solve(axis)
            new = unpack(x, use)
            change = max(abs(p - q) for l, m in zip(axis, new) for p, q in zip(l, m))
            axis = new
            if change < 1e-16:
                break
    dof = rows - len(x)
    known = sigmas[0] is not None
    variance = 1.0 if known else (math.fsum(r * r for r in residuals) / dof if dof > 0 else None)
    cov = None
    if variance is not None:
        cov = {TWO_PLANES[k]: [[variance * cof[2 * i + a][2 * i + b] for b in (0, 1)] for a in (0, 1)]
               for i, k in enumerate(use)}
    return {"axis": axis, "use": use, "cov": cov, "dof": dof, "warnings": sorted(warnings)}


def unpack(x, use):
    axis = [(0.0, 0.0), (0.0, 0.0)]
    for i, k in enumerate(use):
        axis[k] = (x[2 * i], x[2 * i + 1])
    return axis


def dial_warnings(d, f, sweep, closing):
    out = set()
    if d.sag is None and d.rim:
        out.add("sag-not-measured")
    if d.sag is not None and d.sag > 0 and d.rim:
        out.add("sag-positive")
    if closing is not None and abs(closing) > LIMITS["closure"]:
        out.add("closure")
    s = sum_rule(sweep)
    if s is not None and abs(s) > LIMITS["sum-rule"]:
        out.add("sum-rule")
    if f["dof"] > 0 and max(abs(r) for r in f["residuals"]) > LIMITS["residual"]:
        out.add("residual")
    if max(abs(h) for h in f["harmonic"].values()) > LIMITS["size"]:
        out.add("implausible-size")
    if max(f["arc"].values()) > LIMITS["narrow"]:
        out.add("narrow-arc")
    return out


def answer(p, ask):
    out = {"degrees-of-freedom": float(p["dof"])}
    ask = ask or NO_QUESTION
    names = [TWO_PLANES[k] for k in p["use"]]
    lines = dict(zip(TWO_PLANES, p["axis"]))
    for n in names:
        out["slope." + n] = lines[n][1]
        for s in ask.stations:
            out["offset.%s.%s" % (s.name, n)] = at(lines[n], s["at"])
    out.update(moves_at(ask, p["axis"], names))
    if p["cov"] is not None:
        for n in names:
            v = p["cov"][n]
            out["sigma.slope." + n] = math.sqrt(v[1][1])
            for s in ask.stations:
                x = s["at"]
                out["sigma.%s.%s" % (s.name, n)] = math.sqrt(max(0.0, v[0][0] + 2 * x * v[0][1] + x * x * v[1][1]))
    return out, p["warnings"]


def moves_at(ask, axis, names=TWO_PLANES):
    """Far feet go by minus the misalignment there, near ones by plus."""
    if ask.target is not None:
        axis = [(l[0] - t[0], l[1] - t[1]) for l, t in zip(axis, axis_of(ask.target))]
    out = {}
    for who, sign in (("near", 1), ("far", -1)):
        if ask[who] is None:
            continue
        for end in ("inboard", "outboard"):
            for n, l in zip(TWO_PLANES, axis):
                if n in names:
                    out["%s.%s.%s" % (who, end, n)] = sign * at(l, ask[who][end])
    return out
