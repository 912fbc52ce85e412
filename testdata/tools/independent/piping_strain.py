"""What a strain test says: movements, pulls, closures and verdicts; and a lone dial.

Definitions: testdata/README.md, "Strain tests", and piping/doc.go. The motions are
those of piping_log.py. A lone dial at t shows V cos t + H sin t, within a limit L
on both at most L (|cos t| + |sin t|).
"""

import math

import common as c
import piping_flange
from common import ANGLE, BOOL, LENGTH, Fault, clock, listof, opt, record, word
from piping_log import (INDICATOR, LARGE, NAMED, SHOWN, SIGNIFICANT, SLACK, SPOT, STEP, Test, WAYS, WAY_NAMES)


def write(out, name, m, values):
    casing = m["casing"]
    out[name + ".rank"], out[name + ".shaft-rank"] = float(casing.rank), float(m["touched"].rank)
    open_ways = []
    for i, way in enumerate(WAY_NAMES):
        row = [1.0 if k == i else 0.0 for k in range(6)]
        part = casing.part(row)
        if part is None:
            open_ways.append(way)
        elif i >= 3:
            out["%s.turn.%s" % (name, "xyz"[i - 3])], out["%s.turn.%s.sigma" % (name, "xyz"[i - 3])] = part
    out[name + ".undetermined"] = ", ".join(open_ways) or "none"
    # The shaft's line rises by its turn about z and goes right by less its turn about y.
    for plane, row in (("vertical", [0, 0, 0, 0, 0, 1.0]), ("horizontal", [0, 0, 0, 0, -1.0, 0])):
        part = m["touched"].part(row) if m["touched"].rank else None
        part = casing.part(row) if part is None else part
        if part is not None:
            out["%s.slope.%s" % (name, plane)] = part[0]
    for k, part in m["points"].items():
        if part is not None:
            out["%s.%s" % (name, k)], out["%s.%s.sigma" % (name, k)] = part
    for i, r in m["residuals"].items():
        out["%s.moved.%d" % (name, i)], out["%s.residual.%d" % (name, i)] = values[i], r


def coupling_moves(test, m):
    """(size, up, right) of the movement across the shaft station by station, None
    where one is open."""
    out = []
    for i in range(len(test.coupling)):
        up, right = m["points"]["coupling.%d.up" % i], m["points"]["coupling.%d.right" % i]
        if up is None or right is None:
            return None
        out.append((math.hypot(up[0], right[0]), up, right))
    return out


def largest_move(test, m):
    """The movement at the station that moves most, None where a station is open."""
    moves = coupling_moves(test, m)
    return None if moves is None else max(moves, key=lambda x: x[0])


def reasons(test, k, cleared, m):
    """Why a movement cannot be laid to one thing."""
    s = test.steps[k]
    out = []
    if len(s.of) > 1:
        out.append("several-things")
    if s.group == "flange" and s.action in ("loosen", "remove"):
        made = [j for j in range(k) if test.steps[j].group == "flange" and set(test.steps[j].of) & set(s.of)
                and test.steps[j].action in ("tighten", "fit")]
        if made and any(test.steps[j].group == "feet" for j in range(made[-1] + 1, k)):
            out.append("feet-between")
    if s.group == "feet" and not cleared:
        out.append("soft-foot-not-cleared")
    if largest_move(test, m) is None:
        out.append("not-determined")
    return out


def pull_sign(s):
    """Which way the pipe pulls, as a sign of the movement: made up, a machine moves
    the way it is pulled, let go the opposite; freed feet let it go that way too."""
    made = s.action in ("tighten", "fit")
    if s.group == "feet":
        return -1 if made else 1
    return 1 if made else -1


def pull(test, s, m, name):
    """Up and right as far as known, at the station that moves most. Where feet had
    a part in a movement it is not laid to the pipe."""
    best, parts = -1.0, {}
    for i in range(len(test.coupling)):
        known = {w: m["points"]["coupling.%d.%s" % (i, w)] for w in ("up", "right")}
        known = {w: p for w, p in known.items() if p is not None}
        size = c.norm([p[0] for p in known.values()])
        if known and size > best:
            best, parts = size, known
    out = {}
    for w, p in parts.items():
        out["%s.%s" % (name, w)], out["%s.%s.sigma" % (name, w)] = pull_sign(s) * p[0], p[1]
    return out


def strain_test(v):
    d = record({
        "indicators": listof(INDICATOR), "start": opt(listof(SHOWN)), "steps": listof(STEP), "shaft": SPOT,
        "coupling": listof(LENGTH), "feet": opt(listof(NAMED), []), "nozzles": opt(listof(NAMED), []),
        "held": opt(listof(word(*WAYS)), []), "lever": opt(LENGTH), "resolution": opt(LENGTH),
        "softFootCleared": opt(BOOL, False), "limit": opt(LENGTH),
        "occasion": opt(word("bolting-up", "pipe-on-against-free", "feet-freed", "deformed"), "bolting-up"),
    })(v)
    test = Test(d)
    out, warnings = {}, set()
    steps = [test.movements(m, 1) for m in test.moved]
    sums = [test.movements(m, z) for m, z in zip(test.since, test.zeroings)]
    for k, m in enumerate(steps):
        write(out, "step.%d" % k, m, test.moved[k])
    write(out, "final", sums[-1], test.since[-1])
    largest = {}
    for i in range(len(test.coupling)):
        for way in ("up", "right"):
            parts = [m["points"]["coupling.%d.%s" % (i, way)] for m in sums]
            known = [p for p in parts if p is not None]
            largest[i, way] = (max(known, key=lambda p: abs(p[0])) if known else None, len(known) == len(parts))
            if known and len(known) == len(parts):
                name = "largest.coupling.%d.%s" % (i, way)
                out[name], out[name + ".sigma"] = largest[i, way][0]
    most = {}
    for k, s in enumerate(test.steps):
        why = reasons(test, k, d.softFootCleared, steps[k])
        out["step.%d.not-separable" % k] = " ".join(why) or "none"
        if s.group != "support" and not {"feet-between", "soft-foot-not-cleared"} & set(why):
            out.update(pull(test, s, steps[k], "step.%d.pull" % k))
        move = largest_move(test, steps[k])
        if move is not None and move[0] > most.get(s.group, (-1.0, ""))[0]:
            most[s.group] = (move[0], s.name)
    for group, (size, name) in most.items():
        out["most." + group], out["most." + group + ".size"] = name, size
    closures(test, out, warnings)

    if test.missing:
        warnings.add("reading-missing")
    if any(x["others"] for x in test.dials):
        warnings.add("other-machine-taken-as-still")
    open_coupling = any(coupling_moves(test, m) is None for m in steps + sums)
    if open_coupling:
        warnings.add("movement-not-determined")
    lone = lone_oblique(test) if open_coupling else None
    if lone is not None:
        warnings.add("lone-oblique-indicator")
    if any(m["clash"] for m in steps):
        warnings.add("shaft-differs-from-casing")
    for m in steps:
        dials = [i for i in m["residuals"] if not test.dials[i]["shaft"]]
        if len(dials) > m["casing"].rank and any(
                abs(m["residuals"][i]) > SIGNIFICANT * test.dials[i]["sigma"] for i in dials):
            warnings.add("casing-distortion")
    if d.limit is not None:
        judge(test, d, sums, largest, lone, out)
    return out, warnings


def closures(test, out, warnings):
    """A step and the one that undoes it sum to zero within 2 u sqrt(2)."""
    n = 0
    for k, s in enumerate(test.steps):
        if not s.undoes:
            continue
        j = next(i for i, p in enumerate(test.steps) if p.name == s.undoes)
        worst = None
        for i, x in enumerate(test.dials):
            a, b = test.moved[j][i], test.moved[k][i]
            if a is None or b is None:
                continue
            limit = 2 * x["sigma"] * math.sqrt(2)
            if worst is None or abs(a + b) / limit > abs(worst[0]) / worst[1]:
                worst = (a + b, limit)
        if worst is not None:
            name = "closure.%d" % n
            ok = abs(worst[0]) <= worst[1] * (1 + SLACK)
            out[name + ".worst"], out[name + ".limit"] = worst
            out[name + ".within"] = "yes" if ok else "no"
            if not ok:
                warnings.add("closure")
        n += 1


def lone_oblique(test):
    """The only dial across the shaft, where it is neither upright nor level."""
    across = [i for i, x in enumerate(test.dials) if math.hypot(x["n"][1], x["n"][2]) > 1e-6]
    if len(across) != 1:
        return None
    n = test.dials[across[0]]["n"]
    return across[0] if min(abs(n[1]), abs(n[2])) > 1e-6 else None


def judge(test, d, sums, largest, lone, out):
    limit = c.not_negative(d.limit, "limit")
    entries = []
    final = sums[-1]["points"]

    def held(of, part, complete=True):
        if part is not None and abs(part) > limit * (1 + SLACK):
            entries.append((of, "over"))
        elif part is None or not complete:
            entries.append((of, "not determined"))
        else:
            entries.append((of, "within"))

    if d.occasion == "deformed":
        # What a rigid motion leaves over shows a part of the deformation at most:
        # over is certain, within needs a dial to spare.
        off = [abs(r) for i, r in sums[-1]["residuals"].items() if not test.dials[i]["shaft"]]
        held("residual any direction", max(off, default=0.0), sums[-1]["spare"])
        out["verdict.0"], out["verdict.0.of"] = entries[0][1], entries[0][0]
        return
    value = lambda p: None if p is None else p[0]
    for i in range(len(test.coupling)):
        if d.occasion == "pipe-on-against-free":
            for way in ("up", "right"):
                held("change " + way, value(final["coupling.%d.%s" % (i, way)]))
        elif d.occasion == "feet-freed":
            up, right = final["coupling.%d.up" % i], final["coupling.%d.right" % i]
            held("movement in any direction", None if None in (up, right) else math.hypot(up[0], right[0]))
        else:
            for way in ("up", "right"):
                part, complete = largest[i, way]
                held("largest " + way, value(part), complete)
            for way in ("up", "right"):
                held("final " + way, value(final["coupling.%d.%s" % (i, way)]))
    if lone is not None:
        n = test.dials[lone]["n"]
        shown = [abs(s[lone]) for s in test.since if s[lone] is not None]
        most = limit * (abs(n[1]) + abs(n[2]))
        over = bool(shown) and max(shown) > most * (1 + SLACK)
        entries.append(("oblique up or right", "over" if over else "not determined"))
    for i, (of, outcome) in enumerate(entries):
        out["verdict.%d" % i], out["verdict.%d.of" % i] = outcome, of


# ---------------------------------------------------------------- a lone dial


def oblique(v):
    d = record({"at": ANGLE, "reading": LENGTH, "limit": opt(LENGTH), "least": opt(LENGTH), "toward": opt(ANGLE),
                "vertical": opt(LENGTH), "horizontal": opt(LENGTH)})(v)
    t = piping_flange.degrees(d["at"])
    if abs(d.reading) > LARGE:
        raise Fault("out-of-range", "reading")
    co, si = clock(t)
    out = {"least": abs(d.reading), "blind.after": math.radians((t + 90) % 360),
           "blind.before": math.radians((t - 90) % 360)}
    if d.limit is not None:
        c.not_negative(d.limit, "limit")
        out["most"] = d.limit * (abs(co) + abs(si))
        out["verdict"] = "over" if abs(d.reading) > out["most"] * (1 + SLACK) else "not determined"
    if d.least is not None and d.toward is not None:
        c.not_negative(d.least, "least")
        seen = abs(clock(piping_flange.degrees(d.toward) - t)[0])
        out["visible"] = "yes" if seen > 1e-9 else "no"
        if seen > 1e-9:
            out["visible.size"] = d.least / seen
    if d.vertical is not None and d.horizontal is not None:
        out["redundancy"] = d.reading - (d.vertical * co + d.horizontal * si)
    return out, []


COMPUTATIONS = {"piping.strain-test": strain_test, "piping.oblique": oblique}
