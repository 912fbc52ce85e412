"""The base under a machine: level, flat, coplanar, sound and heavy enough.

Definitions: testdata/README.md, "Soft foot". The plane is that of least squares
through all points; flatness is the minimum zone, the least height between two
parallel planes that hold all points (ISO 12781-1), found here by two nested
searches over the slopes, both of which are convex; coplanarity is how far the
means of the pads stand off the plane, highest less lowest.

Limits: API RP 686 ch. 5, 3.9.3, and API 618, 7.5.2.2, as quoted in an owner's
checklist; The Practical Pumping Handbook, 10.1.5; a pump maker's article for a
base as supplied; Bloch and Geitner, Machinery Component Maintenance and Repair,
ch. 5, p. 173, for the mass of a foundation and the voids under it.
"""

import itertools
import math

import common as c
from common import Fault, LENGTH, MASS, RATIO, TEXT, listof, opt, record, word

SLACK = 1e-9
FARTHEST = 10000.0  # m: a point farther away is a wrong unit; no source

POINT = record({"pad": TEXT, "station": LENGTH, "lateral": LENGTH, "height": LENGTH})

PROFILES = {  # limits as printed
    "api-686": {"level": (42, "um/m"), "elevation": (130, "um")},
    "api-686-inch": {"level": (0.0005, "in/ft"), "elevation": (0.005, "in")},
    "api-618": {"flatness": (0.15, "mm/m")},
    "api-618-inch": {"flatness": (0.002, "in/ft")},
    "pumping-handbook": {"level": (0.002, "in/ft"), "coplanar": (0.002, "in")},
    "as-supplied": {"flatness": (0.005, "in/ft")},
}


def profile(v, path="input"):
    return {k: c.to_si(*x) for k, x in PROFILES[word(*PROFILES)(v, path)].items()}


def in_line(places):
    """Whether all places lie on one line (or in one spot)."""
    n = len(places)
    mx, mz = math.fsum(p[0] for p in places) / n, math.fsum(p[1] for p in places) / n
    _, s, _ = c.svd([[p[0] - mx, p[1] - mz] for p in places])
    return s[0] == 0 or s[1] < 1e-9 * s[0]


def read_points(points, least):
    if len(points) < least:
        raise Fault("too-few-points")
    for p in points:
        if not p.pad:
            raise Fault("missing", "pad")
        if max(abs(p.station), abs(p.lateral)) > FARTHEST:
            raise Fault("out-of-range")
    return [(p.station, p.lateral) for p in points], [p.height for p in points]


def least_squares(places, heights):
    """(height at the origin, along, across) and what is left."""
    n = len(places)
    mx, mz = math.fsum(p[0] for p in places) / n, math.fsum(p[1] for p in places) / n
    sol, res, _ = c.lstsq([[1.0, x - mx, z - mz] for x, z in places], heights, tiny=1e-9)
    return (sol[0] - sol[1] * mx - sol[2] * mz, sol[1], sol[2]), res


def valley(f, at, step):
    """The place of the least of a convex function of one variable."""
    a, b = at - step, at + step
    while f(a) < f(at):
        a -= 2 * (at - a)
    while f(b) < f(at):
        b += 2 * (b - at)
    g = (math.sqrt(5) - 1) / 2
    x, y = b - g * (b - a), a + g * (b - a)
    fx, fy = f(x), f(y)
    for _ in range(90):
        if fx <= fy:
            b, y, fy = y, x, fx
            x = b - g * (b - a)
            fx = f(x)
        else:
            a, x, fx = x, y, fy
            y = a + g * (b - a)
            fy = f(y)
    return (a + b) / 2


def minimum_zone(places, heights):
    """(flatness, along, across): least of max - min of h - a x - b z.

    That is convex in (a, b), and so is its least over b as a function of a."""
    (_, a0, b0), res = least_squares(places, heights)
    size = max(res) - min(res)
    if size <= 1e-15:
        return size, a0, b0
    mx = math.fsum(p[0] for p in places) / len(places)
    mz = math.fsum(p[1] for p in places) / len(places)
    rx = max(abs(p[0] - mx) for p in places)
    rz = max(abs(p[1] - mz) for p in places)
    # In units of the size of what is left and of the extent either way.
    pts = [((p[0] - mx) / rx, (p[1] - mz) / rz, r / size) for p, r in zip(places, res)]

    def inner(a):
        part = [(r - a * x, z) for x, z, r in pts]
        f = lambda b: spread([r - b * z for r, z in part])
        b = valley(f, 0.0, 1.0)
        return f(b), b

    a = valley(lambda t: inner(t)[0], 0.0, 1.0)
    least, b = inner(a)
    return least * size, a0 + a * size / rx, b0 + b * size / rz


def spread(values):
    return max(values) - min(values)


def plane_results(name, plane, res):
    return {name + ".height": plane[0], name + ".along": plane[1], name + ".across": plane[2],
            name + ".slope": math.hypot(plane[1], plane[2]), name + ".rms": math.sqrt(c.dot(res, res) / len(res)),
            name + ".lowest": min(res), name + ".highest": max(res)}


def base_survey(v):
    d = record({"points": listof(POINT), "profile": opt(profile)})(v)
    places, heights = read_points(d.points, 3)
    if in_line(places):
        raise Fault("undetermined")
    plane, res = least_squares(places, heights)
    flatness, along, across = minimum_zone(places, heights)
    span = max(math.dist(p, q) for p, q in itertools.combinations(places, 2))
    names = list(dict.fromkeys(p.pad for p in d.points))
    pads = {n: [i for i, p in enumerate(d.points) if p.pad == n] for n in names}
    means = [math.fsum(heights[i] for i in pads[n]) / len(pads[n]) for n in names]
    offs = [math.fsum(res[i] for i in pads[n]) / len(pads[n]) for n in names]
    out = plane_results("plane", plane, res)
    out.update({"flatness": flatness, "flatness.per-length": flatness / span, "zone.along": along,
                "zone.across": across, "span": span, "elevation": spread(heights), "pad-elevation": spread(means),
                "coplanarity": spread(offs)})
    for i in range(len(names)):
        out["pad.%d.mean" % i], out["pad.%d.off" % i] = means[i], offs[i]
        own = pads[names[i]]
        if len(own) >= 3 and not in_line([places[k] for k in own]):
            out.update(plane_results("pad.%d" % i, *least_squares([places[k] for k in own], [heights[k] for k in own])))
    if d.profile is not None:
        measured = []
        if "level" in d.profile:
            measured += [("level-along", abs(plane[1]), "level"), ("level-across", abs(plane[2]), "level")]
        if "elevation" in d.profile:
            measured.append(("elevation", out["elevation"], "elevation"))
        if "flatness" in d.profile:
            measured.append(("flatness", out["flatness.per-length"], "flatness"))
        if "coplanar" in d.profile:
            measured.append(("coplanarity", out["coplanarity"], "coplanar"))
        for name, value, limit in measured:
            share = value / d.profile[limit]
            out[name + ".share"], out[name + ".verdict"] = share, "within" if share <= 1 + SLACK else "over"
    return out, []


def base_limits(v):
    d = record({"profile": profile})(v)
    return dict(d.profile), []


def base_twist(v):
    """Four heights less any plane: with weights w that no plane feels (sum w = 0,
    sum w x = 0, sum w z = 0), of sizes that sum to four and positive at the first
    point, the sum of w h. On a rectangle this is one diagonal less the other."""
    d = record({"points": listof(POINT)})(v)
    places, heights = read_points(d.points, 4)
    if len(places) > 4:
        raise Fault("mismatch", "four points")
    # The first corner as a sum of the three others.
    if in_line(places[1:]):
        raise Fault("undetermined")
    a = [[1.0] * 3, [p[0] for p in places[1:]], [p[1] for p in places[1:]]]
    w = c.solve(a, [1.0, places[0][0], places[0][1]])
    whole = 1 + math.fsum(abs(x) for x in w)
    return {"twist": (heights[0] - c.dot(w, heights[1:])) * 4 / whole}, []


# ---------------------------------------------------------------- levels


def level_reversal(v):
    """Turned end for end a level shows the other sign of the slope and the same
    zero error."""
    d = record({"first": RATIO, "turned": RATIO})(v)
    if max(abs(d.first), abs(d.turned)) > 1:
        raise Fault("out-of-range", "steeper than 45 degrees")
    return {"slope": (d.first - d.turned) / 2, "zero-error": (d.first + d.turned) / 2}, []


def level_traverse(v):
    leg = record({"length": LENGTH, "rise": opt(LENGTH), "slope": opt(RATIO)})
    d = record({"start": LENGTH, "end": LENGTH, "legs": listof(leg),
                "spread": opt(word("by-length", "by-leg"), "by-length"), "limit": opt(LENGTH)})(v)
    if not d.legs:
        raise Fault("missing", "legs")
    if d.limit is not None:
        c.not_negative(d.limit, "limit")
    heights, parts = [d.start], [0.0]
    for l in d.legs:
        if l.rise is None and l.slope is None:
            raise Fault("missing", "rise")
        if l.rise is not None and l.slope is not None:
            raise Fault("mismatch")
        c.positive(l.length, "length")
        heights.append(heights[-1] + (l.rise if l.rise is not None else l.slope * l.length))
        parts.append(parts[-1] + (l.length if d.spread == "by-length" else 1.0))
    closure = heights[-1] - d.end
    out = {"closure": closure}
    for i in range(len(d.legs)):
        out["as-read.%d" % i] = heights[i + 1]
        out["adjusted.%d" % i] = heights[i + 1] - closure * parts[i + 1] / parts[-1]
    return out, ["closure"] if d.limit is not None and abs(closure) > d.limit * (1 + SLACK) else []


# ---------------------------------------------------------------- what is looked at

MASS_RATIO = {"rotating": 3.0, "reciprocating": 5.0}
FOUNDATION = record({"kind": word(*MASS_RATIO), "block": MASS, "machines": MASS})


def judge_mass(f):
    c.positive(f.machines, "machines")
    c.positive(f.block, "block")
    ratio, least = f.block / f.machines, MASS_RATIO[f.kind]
    return {"ratio": ratio, "least": least, "outcome": "proceed" if ratio >= least * (1 - SLACK) else "watch"}


def foundation(v):
    return judge_mass(FOUNDATION(v)), []


ITEMS = ("concrete-crack", "grout-voids", "grout-cracks", "anchor-bolts", "rust", "shim-condition", "hold-down",
         "jackscrews")
CLEAN = ("rust",)  # to be put right even where it is slight; pads must be clean


def checklist(v):
    seen = record({"item": word(*ITEMS), "finding": word("not-looked-at", "sound", "slight", "severe")})
    d = record({"observations": listof(seen), "foundation": opt(FOUNDATION)})(v)
    found = {}
    for o in d.observations:
        if o.item in found:
            raise Fault("given-twice")
        found[o.item] = o.finding
    repair = [i for i, f in found.items() if f == "severe" or (f == "slight" and i in CLEAN)]
    watch = [i for i, f in found.items() if f == "slight" and i not in CLEAN]
    missing = [i for i in ITEMS if found.get(i, "not-looked-at") == "not-looked-at"]
    out = {"missing": float(len(missing)), "repair": float(len(repair)), "watch": float(len(watch))}
    light = False
    if d.foundation is not None:
        mass = judge_mass(d.foundation)
        light = mass["outcome"] == "watch"
        out.update({"foundation." + k: x for k, x in mass.items()})
    out["outcome"] = "repair" if repair else "watch" if watch or light else "proceed"
    return out, []


COMPUTATIONS = {
    "softfoot.base-survey": base_survey,
    "softfoot.base-limits": base_limits,
    "softfoot.base-twist": base_twist,
    "softfoot.level-reversal": level_reversal,
    "softfoot.level-traverse": level_traverse,
    "softfoot.foundation": foundation,
    "softfoot.checklist": checklist,
}
