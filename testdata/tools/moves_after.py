"""Writes the vectors of what comes after a plan as JSON on standard output.

Machines, shims and readings are invented with a fixed seed. Packs and roundings
are found by trying all of them; planes are fitted by numpy.linalg.lstsq; shims
under a flange are checked by the normal of the plane through their tops
(numpy.cross). Run with Python 3 and NumPy: python3 moves_after.py packs, the same
with response, boltcircle or rounding.
"""

import itertools
import json
import sys

import numpy as np

rng = np.random.default_rng(15)
SOURCE = "numpy-1-24-2-moves"
ROUND = "two double-precision computations of the same figures differ by rounding alone"


def expect(name, value, unit, tolerance, reason=ROUND):
    return {"name": name, "exact": float(value), "unit": unit, "tolerance": tolerance, "reason": reason}


def word(name, text):
    return {"name": name, "text": text}


def vector(name, title, computation, given, out, **more):
    return {"id": "moves." + name, "title": title, "computation": "moves." + computation, "input": given,
            "expect": out, **more, "source": SOURCE, "known": "derived"}


# Packs, in whole micrometres.

def every_pack(present, stock, most):
    kinds = sorted(set(present) | set(stock))
    for size in range(most + 1):
        for pack in itertools.combinations_with_replacement(kinds, size):
            there, same, ok = list(present), 0, True
            for leaf in pack:
                if leaf in there:
                    there.remove(leaf)
                    same += 1
                elif leaf not in stock:
                    ok = False
            if ok:
                yield pack, len(present) + len(pack) - 2 * same


def pack(name, title, present, change, stock, most, within, warnings=None):
    wanted = sum(present) + change

    def key(p):
        off = abs(sum(p[0]) - wanted)
        far = off > within
        return (far, off if far else 0, len(p[0]), p[1], off, sum(p[0]))

    best = min(every_pack(present, stock, most), key=key)
    mm = lambda v: [v / 1000, "mm"]
    given = {"present": [mm(v) for v in present], "change": mm(change),
             "stock": {"leaves": [mm(v) for v in stock], "maxLeaves": most, "within": mm(within)}}
    out = [expect("total", sum(best[0]) / 1000, "mm", 1e-9), expect("error", (sum(best[0]) - wanted) / 1000, "mm", 1e-9),
           expect("leaves", len(best[0]), "1", 1e-9, "a count"), expect("handled", best[1], "1", 1e-9, "a count")]
    return vector("pack." + name, title, "pack", given, out, warnings=["shim-residual"] if key(best)[0] else [])


SHELF = [25, 50, 100, 200, 500, 700, 1000, 2000]


def packs():
    yield pack("add-one", "One leaf more does it", [1000, 500], 200, SHELF, 4, 0)
    yield pack("exchange", "At the most leaves there may be, thin ones give way to a thick one", [500, 200, 100, 50], 150, SHELF, 4, 0)
    yield pack("take-out", "One leaf comes out and nothing goes in", [1000, 500, 200], -200, SHELF, 4, 0)
    yield pack("split", "A thick leaf comes out and a thinner goes in", [1000], -500, SHELF, 4, 0)
    yield pack("to-the-base", "Everything comes out", [500, 200], -700, SHELF, 4, 0)
    yield pack("near-enough", "Within what is near enough nothing is touched", [500, 200], 10, SHELF, 4, 12)
    yield pack("stray", "A leaf that the stock does not have stays", [330, 200], 100, SHELF, 3, 0)
    yield pack("stray-goes", "A leaf that the stock does not have is in the way", [330, 200], 170, SHELF, 3, 0)
    yield pack("out-of-reach", "More than the leaves allowed can make", [500], 4900, [500, 1000], 3, 10)
    yield pack("coarse", "A stock too coarse: the nearest", [200], 70, [100, 200], 4, 10)
    yield pack("from-nothing", "The first shims under a foot", [], 1125, SHELF, 4, 0)
    yield pack("too-many", "A tall stack is brought down to three leaves", [100, 100, 200, 50, 500], 50, SHELF, 3, 0)
    for k in range(12):
        present = [int(v) for v in rng.choice([50, 100, 200, 330, 500, 700], size=rng.integers(1, 4))]
        change = int(rng.integers(-sum(present), 900))
        stock = sorted(int(v) for v in rng.choice(SHELF, size=5, replace=False))
        yield pack("random-%02d" % k, "Present leaves and stock at random", present, change, stock, int(rng.integers(2, 5)), int(rng.integers(0, 30)))


# Responses, in millimetres.

RATIOS = {"right": 0.0, "not-halved": -1.0, "halved-twice": 0.5, "wrong-way": 2.0, "not-moved": 1.0}


def axis(v):
    line = lambda o, s: {"offset": [o, "mm"], "slope": [s, "mm/m"]}
    return {"vertical": line(v[0], v[1]), "horizontal": line(v[2], v[3])}


def response(name, title, before, planned, after, stations, sigma, cover=2.0, target=None, next_at=None, flags=None):
    before, planned, after = (np.array(v, dtype=float) for v in (before, planned, after))
    aim = np.zeros(4) if target is None else np.array(target, dtype=float)
    out, warnings = [], set()
    for p, plane in enumerate(("vertical", "horizontal")):
        at = lambda v, x: v[2 * p] + v[2 * p + 1] * x / 1000
        fits, usable, reached = set(RATIOS), 0, True
        for i, x in enumerate(stations):
            d = at(after, x) - at(before, x) - at(planned, x)
            out.append(expect("%s.%d.predicted" % (plane, i), at(before, x) + at(planned, x), "mm", 1e-10))
            out.append(expect("%s.%d.difference" % (plane, i), d, "mm", 1e-10))
            u = np.sqrt(2) * sigma
            reached = reached and abs(d) <= cover * u
            if abs(at(planned, x)) <= cover * u:
                continue
            usable += 1
            ratio, ur = d / -at(planned, x), u / abs(at(planned, x))
            out.append(expect("%s.%d.ratio" % (plane, i), ratio, "1", 1e-9))
            out.append(expect("%s.%d.uncertainty" % (plane, i), ur, "1", 1e-9))
            fits &= {k for k, v in RATIOS.items() if abs(ratio - v) <= cover * ur}
        finding = "cannot-tell" if not usable else ["none-fits", "named", "ambiguous"][min(len(fits), 2)]
        if not usable:
            fits = set()
            warnings.add("move-too-small-to-tell")
        if not reached:
            warnings.add("off-plan")
        out += [word(plane + ".finding", finding), word(plane + ".fits", " ".join(k for k in RATIOS if k in fits) or "none"),
                word(plane + ".reached", "true" if reached else "false")]
    given = {"before": axis(before), "planned": axis(planned), "after": axis(after), "stations": [[x, "mm"] for x in stations], "sigma": [sigma, "mm"]}
    if cover != 2.0:
        given["cover"] = cover
    if target is not None:
        given["target"] = axis(aim)
    if next_at is not None:
        given["next"] = [next_at, "mm"]
        left = after - aim
        for p, plane in enumerate(("vertical", "horizontal")):
            v = left[2 * p] + left[2 * p + 1] * next_at / 1000
            out += [expect("next.far." + plane, -v, "mm", 1e-10), expect("next.near." + plane, v, "mm", 1e-10)]
    more = {"flags": flags} if flags else {}
    return vector("response." + name, title, "response", given, out, warnings=sorted(warnings), **more)


def feet(name, title, places, planned, measured, sigma):
    a = np.array([[1, x, z] for x, z in places]) / np.array([1, 1000, 1000])
    y = np.array(measured)
    c = np.linalg.lstsq(a, y, rcond=None)[0]
    left = y - a @ c
    u = sigma * np.sqrt(np.maximum(0, 1 - np.diag(a @ np.linalg.pinv(a))))
    off = bool(np.any(np.abs(left) > 2 * u + 1e-6))
    given = {"feet": [{"at": {"x": [x, "mm"], "y": [0, "mm"], "z": [z, "mm"]}, "planned": [p, "mm"], "measured": [m, "mm"]}
                      for (x, z), p, m in zip(places, planned, measured)], "sigma": [sigma, "mm"]}
    out = [word("rigid", "false" if off else "true"), expect("turn.z", c[1] / 1000, "rad", 1e-12), expect("turn.x", -c[2] / 1000, "rad", 1e-12)]
    for i in range(len(places)):
        out += [expect("foot.%d.left" % i, left[i], "mm", 1e-10), expect("foot.%d.uncertainty" % i, u[i], "mm", 1e-9)]
        if abs(planned[i]) > 2 * sigma:
            out.append(expect("foot.%d.ratio" % i, measured[i] / planned[i], "1", 1e-9))
    return vector("feet-response." + name, title, "feet-response", given, out, warnings=["not-rigid"] if off else [])


def responses():
    before = np.array([0.42, 0.31, -0.27, -0.5])
    for name, ratio in RATIOS.items():
        yield response("signature-" + name, "A move that leaves %g of the error" % ratio, before, -before, before * ratio,
                       [0, 250], 0.004, next_at=600, flags=["mistake"] if ratio else None)
    hot = np.array([-0.08, 0.05, 0.02, 0.0])
    yield response("cold-target", "Not halved, on the way to a cold target: the ratio is about the target", before, hot - before,
                   before + 2 * (hot - before), [0, 250], 0.004, target=hot, next_at=900, flags=["mistake"])
    yield response("one-plane", "The horizontal plane went the wrong way, the vertical one right", before, -before,
                   [0, 0, -0.54, -1.0], [0, 250], 0.004, flags=["mistake"])
    yield response("pivot", "Right at one station and not moved at the other: no one explanation", before, -before,
                   [0, 0.497 * 4, 0, 0], [0, 250], 0.004)
    yield response("ambiguous", "Between right and half, and the dials too coarse to tell", before, -before, before * 0.25, [0, 250], 0.05)
    yield response("small", "Hardly anything was planned", [0.002, 0, 0, 0], [-0.002, 0, 0, 0], [0.001, 0, 0, 0], [0, 250], 0.004)
    yield response("one-usable", "At one station next to nothing was planned", [0.2, -0.8, 0.3, 0], [-0.2, 0.8, -0.3, 0], [-0.2, 0.8, -0.3, 0], [0, 250], 0.004)
    yield response("cover", "With three standard uncertainties more fits", before, -before, before * 0.42, [0, 250], 0.01, cover=3.0)
    for k in range(6):
        b, share = rng.normal(0, 0.3, 4).round(3), rng.choice(list(RATIOS.values()))
        yield response("random-%d" % k, "A move with readings that scatter", b, -b, (b * share + rng.normal(0, 0.01, 4)).round(3), [0, 100, 300], 0.01, next_at=500)
    four = [(0, -200), (0, 200), (900, -200), (900, 200)]
    yield feet("rigid", "Four feet that went as planned", four, [0.3, 0.3, 0.5, 0.5], [0.31, 0.29, 0.5, 0.52], 0.01)
    yield feet("twisted", "One foot of four did not come down", four, [-0.3, -0.3, -0.3, -0.3], [-0.3, -0.3, -0.3, -0.08], 0.01)
    yield feet("six", "The middle feet of six hang", [(x, z) for x in (0, 700, 1500) for z in (-300, 300)],
               [0.4] * 6, [0.4, 0.41, 0.28, 0.3, 0.4, 0.39], 0.01)
    yield feet("uneven-layout", "Five feet of a casting", [(0, 0), (300, -250), (300, 250), (1200, -300), (1300, 280)],
               [0.2, 0.2, 0.2, 0.6, 0.6], [0.19, 0.22, 0.18, 0.62, 0.6], 0.012)


# Flanges, in millimetres.

def flange(name, title, diameter, bolts, first, v, h, before=False, step=None):
    """Slopes in mm/m. The shims are found from the plane, then checked by its normal."""
    t = np.radians(first + 360 * np.arange(bolts) / bolts)
    r, away = diameter / 2, -1.0 if before else 1.0
    y, z = r * np.cos(t), r * np.sin(t)
    rise = away * -(v * y + h * z) / 1000
    shim = rise - rise.min()
    p = np.column_stack([away * shim, y, z])
    n = np.cross(p[1] - p[0], p[2] - p[0])
    assert np.allclose(n[1:] / n[0] * 1000, [v, h], atol=1e-9)
    out = [expect("along", away * shim.mean(), "mm", 1e-9)]
    size = np.hypot(v, h) / 1000
    for i in range(bolts):
        out += [expect("shim.%d" % i, shim[i], "mm", 1e-9), expect("from-zero.%d" % i, shim[i] / size, "mm", 1e-6)]
    given = {"circle": {"diameter": [diameter, "mm"], "bolts": bolts, "first": [first, "deg"], "before": before},
             "slope": {"vertical": [v, "mm/m"], "horizontal": [h, "mm/m"]}}
    if step is not None:
        given["step"] = [step, "mm"]
        best = np.inf
        a = np.column_stack([np.ones(bolts), y, z])
        for lift in np.linspace(0, step, 20001):
            c = np.linalg.lstsq(a, np.round((shim + lift) / step) * step, rcond=None)[0] if lift else None
            if lift:
                best = min(best, r * np.hypot(-away * c[1] - v / 1000, -away * c[2] - h / 1000))
        out.append(expect("rounded.off", best, "mm", 1e-6, "misses are compared to the nanometre; the best of 20,000 lifts"))
    return vector("bolt-shims." + name, title, "bolt-shims", given, out)


def boltcircles():
    yield {"id": "moves.face-shim.millwright", "title": "Twelve thousandths over a sweep of 12 in: the shim at a bolt 6 in from the one without",
           "computation": "moves.face-shim", "input": {"reading": [0.012, "in"], "diameter": [12, "in"], "distance": [6, "in"]},
           "expect": [{"name": "shim", "printed": "0.006", "exact": 0.006, "unit": "in", "tolerance": 0.0005, "reason": "half the last printed place"}],
           "source": "harlon-2008", "locator": "chapter on random bolt patterns, opening", "known": "read"}
    yield flange("four-up", "Four bolts, a lean in one plane", 400, 4, 0, 0.5, 0)
    yield flange("four-between", "Four bolts that straddle the centrelines", 400, 4, 45, 0.5, 0)
    yield flange("eight", "Eight bolts, a lean in both planes", 650, 8, 22.5, -0.3, 0.4)
    yield flange("three", "Three bolts", 300, 3, 10, 0.2, -0.7)
    yield flange("six-below", "A machine that hangs below its face", 500, 6, 0, 0.35, 0.2, before=True)
    yield flange("twelve", "Twelve bolts", 900, 12, 15, -0.15, -0.25)
    yield flange("rounded-four", "Four bolts on shims of 0.05 mm", 400, 4, 10, 0.53, -0.21, step=0.05)
    yield flange("rounded-six", "Six bolts on shims of 0.025 mm", 500, 6, 7, 0.35, 0.2, before=True, step=0.025)
    yield flange("rounded-eight", "Eight bolts on shims of 0.05 mm", 650, 8, 22.5, -0.31, 0.43, step=0.05)


# Roundings, in millimetres.

def motion(about, up, right, roll, yaw, pitch):
    return {"about": dict(zip("xyz", [[float(v), "mm"] for v in about])), "shift": {"x": [0, "mm"], "y": [up, "mm"], "z": [right, "mm"]},
            "turn": {"x": [roll, "rad"], "y": [yaw, "rad"], "z": [pitch, "rad"]}}


def moved(m, p):
    """The displacement of a point by shift and turn, numpy.cross."""
    about, shift, turn = m
    return shift + np.cross(turn, np.array(p) - about)


def rounding(name, title, machines, step, limit, slope, twist=None):
    """Machines in a row: the first stays, each other has feet, a height of its shaft and a motion."""
    hold = (np.zeros(3), np.zeros(3), np.zeros(3))
    motions = [hold] + [m["motion"] for m in machines]
    found, couplings = [], []
    for i, m in enumerate(machines):
        h, at = m["height"], m["at"]
        before = hold if i == 0 else machines[i - 1]["motion"]
        line = lambda k: np.array([moved(k, (0, h, 0))[1:], moved(k, (1000, h, 0))[1:] - moved(k, (0, h, 0))[1:]])
        f = (line(before) - line(m["motion"]) + m["rest"]).round(6)
        found.append(f)
        couplings.append({"near": {"machine": i, "height": [h, "mm"]}, "far": {"machine": i + 1, "height": [h, "mm"]},
                          "found": {"vertical": {"offset": [f[0][0], "mm"], "slope": [f[1][0], "mm/m"]},
                                    "horizontal": {"offset": [f[0][1], "mm"], "slope": [f[1][1], "mm/m"]}},
                          "offsets": [{"station": [at - 50, "mm"], "limit": [limit, "mm"]}, {"station": [at + 50, "mm"], "limit": [limit, "mm"]}],
                          "slope": {"limit": [slope, "mm/m"]}})
    allowed = step / 2 if twist is None else twist

    def worst(chosen):
        w = 0
        for i, m in enumerate(machines):
            h = m["height"]
            for x in (m["at"] - 50, m["at"] + 50):
                e = found[i][0] + found[i][1] * x / 1000 + (moved(chosen[i + 1], (x, h, 0)) - moved(chosen[i], (x, h, 0)))[1:]
                w = max(w, np.max(np.abs(e)) / limit)
            d = lambda k: (moved(k, (1000, h, 0)) - moved(k, (0, h, 0)))[1:]
            w = max(w, np.max(np.abs(found[i][1] + d(chosen[i + 1]) - d(chosen[i]))) / slope)
        return w

    def refit(m, shims):
        about, shift, turn = m["motion"]
        a = np.array([[1, x - about[0], -(z - about[2])] for x, z in m["feet"]])
        c = np.linalg.lstsq(a, shims, rcond=None)[0]
        return (about, np.array([0, c[0], shift[2]]), np.array([c[2], turn[1], c[1]])), np.max(np.abs(shims - a @ c))

    options, nearest = [], [hold]
    for m in machines:
        want = np.array([moved(m["motion"], (x, 0, z))[1] for x, z in m["feet"]])
        low = np.floor(want / step)
        nearest.append(refit(m, np.round(want / step) * step)[0])
        fits = []
        for up in itertools.product((0, 1), repeat=len(want)):
            k, t = refit(m, (low + up) * step)
            if t <= allowed + 1e-6:
                fits.append(k)
        options.append(fits)
    best = min(worst([hold] + list(c)) for c in itertools.product(*options))
    given = {"train": {"machines": [{"name": "first"}] + [
        {"name": "machine %d" % (i + 1), "feet": {"unit": "mm", "at": [[x, 0, z] for x, z in m["feet"]]}, "free": ["shift-y", "shift-z", "turn-y", "turn-z"]}
        for i, m in enumerate(machines)], "couplings": couplings},
        "motions": [motion(a, s[1], s[2], t[0], t[1], t[2]) for a, s, t in motions], "step": [step, "mm"]}
    if twist is not None:
        given["twist"] = [twist, "mm"]
    reason = "shares are compared to one part in 10^9 of a limit"
    out = [expect("wanted", worst(motions), "1", 1e-8), expect("nearest", worst(nearest), "1", 1e-8),
           expect("worst", best, "1", 2e-9, reason), word("proved", "true")]
    return vector("round-shims." + name, title, "round-shims", given, out)


def machine(x, length, half, n=4):
    feet = [(x + 300 + k * length / (n // 2 - 1), z) for k in range(n // 2) for z in (-half, half)]
    n = lambda size: float(np.round(rng.normal(0, size), 6))
    shift, turn = np.array([0, n(0.3), n(0.3)]), np.array([0, n(2e-4), n(2e-4)])
    rest = np.array([[n(0.01), n(0.01)], [n(0.01), n(0.01)]])
    return {"feet": feet, "height": 350.0, "at": float(x), "motion": (np.array([x + 300.0, 0, 0]), shift, turn), "rest": rest}


def roundings():
    for k in range(5):
        yield rounding("pair-%d" % k, "A motor on four feet", [machine(0, 800, 250)], 0.05, 0.1, 0.4)
    for k in range(3):
        yield rounding("train-%d" % k, "Two machines behind one that stays", [machine(0, 700, 200), machine(1500, 900, 300)], 0.05, 0.1, 0.4)
    yield rounding("six", "A machine on six feet", [machine(0, 1600, 350, 6)], 0.05, 0.1, 0.4)
    yield rounding("flat", "Hardly any twist is let in", [machine(0, 800, 250)], 0.05, 0.1, 0.4, twist=0.01)
    yield rounding("mil", "Steps of a thousandth of an inch", [machine(0, 800, 250)], 0.0254, 0.05, 0.2)


def main():
    kinds = {"packs": packs, "response": responses, "boltcircle": boltcircles, "rounding": roundings}
    kind = sys.argv[1]
    vectors = list(kinds[kind]())
    print('{"suite": "moves/%s", "vectors": [' % kind)
    print(",\n".join(json.dumps(v) for v in vectors))
    print("]}")


main()
