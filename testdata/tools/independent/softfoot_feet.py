"""How a loose machine stands on its feet, and what to do there.

Definitions: testdata/README.md, "Soft foot" and "What to do at the feet"; feet and
pads are counted from 0 in the order given. A loose rigid machine rests on three
pads whose triangle holds the centre of gravity, no pad above their plane; loads
are the centre's shares of the three corners. A machine is seated by shims when
all pads lie in one plane; the plane through three that stay is one way.

Sources: API RP 686 as quoted in an owner's checklist, McMillan, Rotating
Machinery: Practical Solutions (p. 125), Mackay, The Practical Pumping Handbook (p.
179), Bloch, Perez; US Bureau of Reclamation, FIST 2-1, p. 18, for the rises.
"""

import itertools
import math

import common as c
import softfoot_base
from common import BOOL, Fault, LENGTH, TEXT, listof, opt, record, word
from softfoot_wedge import FACE, SLACK, TINY, Wedge

STEEP = 0.02  # slope beyond which small angles do not hold; no source
FARTHEST = 1000.0  # m: a foot farther away is a wrong unit; no source
MOST_FEET = 32
LEAST = 0.05e-3  # m: what counts as a gap or a rise when none is given

FOOT = record({"name": TEXT, "station": LENGTH, "lateral": LENGTH})
PLACE = record({"station": LENGTH, "lateral": LENGTH})


def check_names(names):
    if len(names) < 3:
        raise Fault("too-few-feet")
    if len(names) > MOST_FEET:
        raise Fault("too-many-feet")
    if any(not n for n in names):
        raise Fault("missing", "name")
    if len(set(names)) < len(names):
        raise Fault("feet-of-one-name")


def machine(d):
    """Places of the feet and heights of the pads; gaps are depths under the feet."""
    check_names([f.name for f in d.feet])
    places = [(f.station, f.lateral) for f in d.feet]
    if d.gaps is not None and d.heights is not None:
        raise Fault("gaps-and-heights-both")
    given = d.heights if d.gaps is None else d.gaps
    if given is None:
        raise Fault("missing", "heights")
    if len(given) != len(places):
        raise Fault("mismatch")
    if d.gaps is not None:
        for g in d.gaps:
            c.not_negative(g, "gap")
    for p, q in itertools.combinations(places, 2):
        if math.dist(p, q) < 1e-9:
            raise Fault("feet-in-one-place")
        if math.dist(p, q) > FARTHEST:
            raise Fault("out-of-range", "feet too far apart")
    if softfoot_base.in_line(places):
        raise Fault("feet-in-line")
    heights = [-g for g in d.gaps] if d.gaps is not None else list(given)
    plane, _, _ = c.lstsq([[1.0, x, z] for x, z in places], heights, tiny=1e-9)
    spread = max(math.dist(p, places[0]) for p in places)
    if math.hypot(plane[1], plane[2]) > STEEP or max(heights) - min(heights) > STEEP * spread:
        raise Fault("tilt-too-large-for-model")
    return places, heights


def plane_through(places, heights, three):
    """(height, along, across) at the origin; None for three in a line."""
    if softfoot_base.in_line([places[i] for i in three]):
        return None
    return c.solve([[1.0, *places[i]] for i in three], [heights[i] for i in three])


def above(plane, place):
    return plane[0] + plane[1] * place[0] + plane[2] * place[1]


def shares(places, three, at):
    """Shares of the three corners that balance at a point."""
    a = [[1.0] * 3, [places[i][0] for i in three], [places[i][1] for i in three]]
    return c.solve(a, [1.0, at[0], at[1]])


def to_triangle(corners, p):
    """Distance of a point from a triangle, zero inside."""
    w = shares(corners, (0, 1, 2), p)
    if min(w) >= -1e-12:
        return 0.0
    best = math.inf
    for a, b in itertools.combinations(corners, 2):
        ab = (b[0] - a[0], b[1] - a[1])
        t = ((p[0] - a[0]) * ab[0] + (p[1] - a[1]) * ab[1]) / (ab[0] ** 2 + ab[1] ** 2)
        t = min(1.0, max(0.0, t))
        best = min(best, math.dist(p, (a[0] + t * ab[0], a[1] + t * ab[1])))
    return best


def seat(v):
    d = record({"feet": listof(FOOT), "gaps": opt(listof(LENGTH)), "heights": opt(listof(LENGTH)),
                "centre": opt(PLACE), "within": opt(LENGTH)})(v)
    places, heights = machine(d)
    within = c.not_negative(d.within or 0.0, "within")
    warnings = set()
    if d.centre is None:
        n = len(places)
        centre = (math.fsum(p[0] for p in places) / n, math.fsum(p[1] for p in places) / n)
        warnings.add("centre-of-gravity-assumed")
    else:
        centre = (d.centre.station, d.centre.lateral)
    rests = []
    inside = False
    for three in itertools.combinations(range(len(places)), 3):
        plane = plane_through(places, heights, three)
        if plane is None:
            continue
        off = to_triangle([places[i] for i in three], centre)
        if off > within + 1e-12:
            continue
        inside = True
        gaps = [above(plane, p) - h for p, h in zip(places, heights)]
        if min(gaps) < -1e-11:
            continue  # a pad would stand above the plane
        rests.append((three, plane, off, gaps))
    if not inside:
        raise Fault("centre-outside-feet")
    # Rests on the same plane are one rest on more than three feet.
    merged = []
    for r in rests:
        same = next((m for m in merged if max(abs(p - q) for p, q in zip(m[3], r[3])) < 1e-11), None)
        if same is None:
            merged.append(list(r) + [1])
        else:
            same[4] += 1
    out = {"rests": float(len(merged)), "centre.station": centre[0], "centre.lateral": centre[1]}
    for k, (three, plane, off, gaps, ways) in enumerate(merged):
        name = "rest.%d" % k
        carrying = [i for i, g in enumerate(gaps) if g < 1e-11]
        out[name + ".carrying"] = " ".join(d.feet[i].name for i in carrying)
        out[name + ".height"] = above(plane, centre)
        out[name + ".along"], out[name + ".across"], out[name + ".off"] = plane[1], plane[2], off
        out.update({"%s.gap.%d" % (name, i): g for i, g in enumerate(gaps)})
        if len(carrying) == 3 and off == 0:
            out.update({"%s.load.%d" % (name, i): w for i, w in zip(three, shares(places, three, centre))})
    if len(merged) > 1:
        warnings.add("machine-rocks")
    if d.gaps is not None and all(any(d.gaps[i] > 1e-9 for i, g in enumerate(m[3]) if g < 1e-11) for m in merged):
        warnings.add("gaps-not-at-rest")
    return out, warnings


def round_rectangle(places):
    """Four feet in order round a rectangle: the diagonals halve each other and
    are of one length."""
    if len(places) != 4:
        return False
    a, b, e, f = places
    size = max(math.dist(a, e), math.dist(b, f))
    middle = math.dist(((a[0] + e[0]) / 2, (a[1] + e[1]) / 2), ((b[0] + f[0]) / 2, (b[1] + f[1]) / 2))
    return middle <= 1e-6 * size and abs(math.dist(a, e) - math.dist(b, f)) <= 1e-6 * size


def twist(v):
    d = record({"feet": listof(FOOT), "gaps": opt(listof(LENGTH)), "heights": opt(listof(LENGTH))})(v)
    places, h = machine(d)
    if not round_rectangle(places):
        raise Fault("feet-not-a-rectangle")
    return {"twist": h[0] - h[1] + h[2] - h[3]}, []


def shim_plans(v):
    """Every plane through three pads with none above it (or none below, where shim
    is taken out) is a plan, and so is the one half way between two that share two
    feet that stay: on a rectangle half under either foot of the low diagonal. Best
    is the fewest feet, then the least total, then the least at one foot."""
    d = record({"feet": listof(FOOT), "gaps": opt(listof(LENGTH)), "heights": opt(listof(LENGTH)),
                "remove": opt(listof(LENGTH))})(v)
    places, h = machine(d)
    n = len(h)
    sign = 1
    if d.remove is not None:
        if len(d.remove) != n:
            raise Fault("mismatch")
        for r in d.remove:
            c.not_negative(r, "remove")
        sign = -1
    candidates = []
    for three in itertools.combinations(range(n), 3):
        plane = plane_through(places, h, three)
        if plane is not None:
            candidates.append([above(plane, p) - x for p, x in zip(places, h)])
    def keep(change, plans):
        change = [0.0 if abs(x) < 1e-11 else x for x in change]
        if any(x * sign < 0 for x in change):
            return
        if not any(max(abs(x - y) for x, y in zip(change, p)) < 1e-11 for p in plans):
            plans.append(change)

    plans = []
    for change in candidates:
        keep(change, plans)
    for p, q in itertools.combinations(list(plans), 2):
        if sum(1 for x, y in zip(p, q) if x == 0 and y == 0) >= 2:
            keep([(x + y) / 2 for x, y in zip(p, q)], plans)
    if d.remove is not None:
        plans = [p for p in plans if all(-x <= r + 1e-11 for x, r in zip(p, d.remove))]

    def rank(change):
        moved = [abs(x) for x in change if x]
        stay = [i for i, x in enumerate(change) if not x]
        return (len(moved), round(math.fsum(moved) / 1e-12), round(max(moved, default=0.0) / 1e-12), stay)

    plans.sort(key=rank)
    out = {"plans": float(len(plans))}
    totals = []
    for k, change in enumerate(plans):
        moved = [abs(x) for x in change if x]
        name = "plan.%d" % k
        out[name + ".shimmed"], out[name + ".total"] = float(len(moved)), math.fsum(moved)
        out[name + ".largest"] = max(moved, default=0.0)
        out.update({"%s.change.%d" % (name, i): x for i, x in enumerate(change)})
        totals.append(math.fsum(moved))
    if totals:
        out["least-total"] = min(totals)
    return out, []


# ---------------------------------------------------------------- rises

# Movement of each foot, spread over the feet, feeler, leaves in a stack at most.
PROFILES = {
    "api-686": {"each": (0.05, "mm"), "shims": 5},  # API RP 686 ch. 7, 5.4.4.1 and 5.4.2.1, as quoted
    "api-686-inch": {"each": (2, "mil"), "shims": 5},
    "rotating-machinery": {"spread": (2, "mil"), "shims": 3},  # McMillan, p. 125
    "pumping-handbook": {"feeler": (0.005, "in"), "shims": 4},  # Mackay, p. 179
    "bloch": {"each": (0.002, "in")},
    "perez": {"each": (0.001, "in")},
}


def profile(v, path="input"):
    return PROFILES[word(*PROFILES)(v, path)]


def foot_limits(v):
    d = record({"profile": profile})(v)
    out = {}
    for k, x in d.profile.items():
        out[k] = float(x) if k == "shims" else c.to_si(*x)
    return out, []


def rises(v):
    """One bolt loosened at a time: common is the lower median of the rises, and a
    foot that rises more takes a shim of the excess (FIST 2-1, p. 18)."""
    d = record({"feet": listof(TEXT), "rises": listof(LENGTH), "profile": opt(profile)})(v)
    check_names(d.feet)
    r = d.rises
    if len(r) != len(d.feet):
        raise Fault("mismatch")
    common = sorted(r)[(len(r) - 1) // 2]
    shim = [max(0.0, x - common) for x in r]
    out = {"common": common, "spread": max(r) - min(r)}
    out.update({"shim.%d" % i: s for i, s in enumerate(shim)})
    warnings = []
    if min(r) < -TINY:
        warnings.append("foot-falls-when-loosened")
    excess = [i for i, s in enumerate(shim) if s > TINY]
    if len(r) == 4 and excess in ([0, 2], [1, 3]):
        warnings.append("excess-on-one-diagonal")
    if d.profile is not None:
        judge = lambda x, limit: "within" if x <= c.to_si(*limit) * (1 + SLACK) else "over"
        if "each" in d.profile:
            out.update({"verdict.%d" % i: judge(abs(x), d.profile["each"]) for i, x in enumerate(r)})
        if "spread" in d.profile:
            out["verdict.spread"] = judge(out["spread"], d.profile["spread"])
    return out, warnings


def rise_matrix(v):
    d = record({"feet": listof(TEXT), "othersTight": BOOL, "rises": listof(listof(LENGTH))})(v)
    check_names(d.feet)
    n = len(d.feet)
    if not d.othersTight:
        raise Fault("other-bolts-loose")
    if len(d.rises) != n or any(len(row) != n for row in d.rises):
        raise Fault("mismatch")
    own = [d.rises[i][i] for i in range(n)]
    out = {"own.%d" % i: x for i, x in enumerate(own)}
    out["spread"] = max(own) - min(own)
    more = any(abs(x) > abs(own[i]) + TINY for i, row in enumerate(d.rises) for j, x in enumerate(row) if j != i)
    return out, ["another-foot-moves-more"] if more else []


def foot_diagnosis(v):
    """What the evidence at one foot proves. A gap that is open at its tight edge,
    or counts somewhere without a taper that counts, is parallel; a taper that
    counts is angular; a movement with pipe and coupling free and no gap is springy;
    what goes away when they are freed was induced."""
    d = record({"face": opt(FACE), "rise": opt(LENGTH), "free": opt(LENGTH), "least": opt(LENGTH, LEAST)})(v)
    least = c.not_negative(d.least, "least") or LEAST
    counts = lambda x: x > least * (1 + SLACK)
    kinds, cannot = [], False
    gap = None
    if d.face is not None:
        w = Wedge(d.face)
        gap = counts(w.open)
        angular = counts(w.open - w.tight)
        if counts(w.tight) or (gap and not angular):
            kinds.append("parallel")
        if angular:
            kinds.append("angular")
    standing = d.rise if d.free is None else d.free
    if standing is None:
        cannot = not kinds
    elif counts(abs(standing)):
        if gap is None:
            cannot = True
        elif not gap:
            kinds.append("springy")
    if d.rise is not None and d.free is not None and counts(abs(d.rise - d.free)):
        kinds.append("induced")
    out = {"verdict": "cannot-tell" if cannot else "soft" if kinds else "sits"}
    if kinds:
        out["kinds"] = " ".join(kinds)
    return out, []


COMPUTATIONS = {
    "softfoot.seat": seat,
    "softfoot.twist": twist,
    "softfoot.shim-plans": shim_plans,
    "softfoot.rises": rises,
    "softfoot.rise-matrix": rise_matrix,
    "softfoot.foot-limits": foot_limits,
    "softfoot.foot-diagnosis": foot_diagnosis,
}
