"""Recomputes fits of align with NumPy, among them those of another library that no
script gives: in align/sweeps and align/other-methods.

The vectors are read from ../vectors and nothing is written. Each `exact` value of
align.sweep-fit, align.second-harmonic, align.measurement, align.reverse-indicator
and align.rim-and-face, of whatever source, is computed from the input and must lie
within the tolerance of the vector:

    sweep               r = c + V cos t + H sin t, numpy.linalg.lstsq
    second harmonic     with C cos 2t + S sin 2t, numpy.linalg.lstsq, and
                        numpy.fft.rfft where the positions are even
    rim, bracket near   r = c + e(x).n + S (1 - cos t)/2, bracket far -e(x).n
    face toward         r = c + (D/2) slope.n + S (1 - cos t)/2, face away -slope.n

with n = (cos t, sin t), e the misalignment and S the roll-over sag. Known offsets
and slopes are rows of their own; a plane that is not shown is left out. Moves of
far feet are minus what is too much there, of near feet plus. Without an uncertainty the scatter gives it; with one, rows are
divided by it. A measurement with the curvature of round rims is solved by
scipy.optimize.least_squares: the place touched lies on a cylinder around the
touched line, and the stem points at the line of the carrier.

Run with Python 3 and NumPy (SciPy for the round rims): python3 recheck_align.py
"""

import json
import os
import sys

try:
    import numpy as np
except ImportError:
    print("recheck_align: not checked: needs NumPy, found none")
    sys.exit(0)

VECTORS = os.path.join(os.path.dirname(os.path.dirname(os.path.abspath(__file__))), "vectors", "align")
SUITES = ["sweeps", "other-methods", "reverse-indicator", "rim-and-face"]
SI = {"m": 1.0, "mm": 1e-3, "um": 1e-6, "in": 0.0254, "mil": 0.0254e-3, "ft": 0.3048, "1": 1.0, "mm/m": 1e-3, "um/m": 1e-6, "mil/in": 1e-3,
      "in/ft": 1 / 12, "mil/ft": 1e-3 / 12, "rad": 1.0}


def si(quantity):
    return quantity[0] * SI[quantity[1]]


def readings(sweep):
    """Angles in radians and readings in metres, a closing reading left out."""
    pairs = list(sweep["readings"])
    if len(pairs) > 1 and (pairs[-1][0] - pairs[0][0]) % 360 == 0:
        pairs = pairs[:-1]
    t, r = np.array(pairs, float).T
    return np.radians(t), r * SI[sweep["unit"]]


def fit(columns, values):
    """Unknowns, the inverse of the normal matrix, residuals and degrees of freedom."""
    a = np.column_stack(columns)
    x, _, rank, _ = np.linalg.lstsq(a, values, rcond=None)
    inverse = np.linalg.pinv(a)
    return x, inverse @ inverse.T, values - a @ x, len(values) - rank


def sweep_fit(given):
    t, r = readings(given["sweep"])
    x, inverse, left, free = fit([np.ones_like(t), np.cos(t), np.sin(t)], r)
    out = {"constant": x[0], "worst": np.abs(left).max(), "degrees-of-freedom": free, "covariance": inverse[1, 2],
           "rms": np.sqrt(left @ left / free) if free else 0.0}
    for k, plane in enumerate(("vertical", "horizontal"), 1):
        out["harmonic." + plane], out["variance." + plane] = x[k], inverse[k, k]
        out["arc-factor." + plane] = np.sqrt(inverse[k, k] * len(t) / 2)  # even positions have a variance of 2/n
    return out


def second_harmonic(given):
    t, r = readings(given["sweep"])
    x, _, left, free = fit([np.ones_like(t), np.cos(t), np.sin(t), np.cos(2 * t), np.sin(2 * t)], r)
    if np.allclose(t, 2 * np.pi * np.arange(len(t)) / len(t), atol=1e-12):
        f = np.fft.rfft(r) / len(t)
        again = [f[0].real, 2 * f[1].real, -2 * f[1].imag, 2 * f[2].real, -2 * f[2].imag]
        if not np.allclose(again, x, rtol=0, atol=1e-15):
            raise ValueError("numpy.fft.rfft and numpy.linalg.lstsq differ")
    names = ["constant", "harmonic.vertical", "harmonic.horizontal", "second.cosine", "second.sine"]
    return dict(zip(names, x), rms=np.sqrt(left @ left / free) if free else 0.0)


class Unread(Exception):
    """A field that this program does not read."""


def sag(dial):
    s = dial.get("sag", {"none": True})
    return si(s["rollOver"]) if "rollOver" in s else 2 * si(s["singleDeflection"]) if "singleDeflection" in s else 0.0


def reach(dial):
    """The reading is c + (p offset + q slope).n with offset and slope at station 0."""
    if set(dial) - {"surface", "bracket", "station", "diameter", "sag", "sweep", "sigma", "viewedAgainstX", "name", "turning"}:
        raise Unread(", ".join(sorted(dial)))
    if dial.get("turning", "both-shafts") != "both-shafts":
        raise Unread(dial["turning"])
    if dial.get("surface", "rim") == "rim":
        sign = -1.0 if dial.get("bracket") == "far" else 1.0
        return sign, sign * si(dial["station"])
    return 0.0, (0.5 if dial["surface"] == "face-toward" else -0.5) * si(dial["diameter"])


def rows(given):
    """Columns: offset and slope vertical, the same horizontal, a constant for each dial."""
    dials = given.get("dials", [])
    out = []
    for i, d in enumerate(dials):
        p, q = reach(d)
        for t, r in zip(*readings(d["sweep"])):
            t = -t if d.get("viewedAgainstX") else t
            row = np.zeros(4 + len(dials))
            up, right = np.round([np.cos(t), np.sin(t)], 15)  # nothing of a plane that is not shown
            row[:4] = p * up, q * up, p * right, q * right
            row[4 + i] = 1
            out.append((row, r - sag(d) * (1 - np.cos(t)) / 2, d.get("sigma", given.get("sigma"))))
    for o in given.get("offsets", []):
        out += plane_rows(o["offset"], 1.0, si(o["station"]), 1.0, o.get("sigma"), len(dials))
    for o in given.get("slopes", []):
        out += plane_rows(o["slope"], 0.0, si(o["over"]), si(o["over"]), o.get("sigma"), len(dials))
    return out


def plane_rows(known, p, q, times, sigma, dials):
    out = []
    for first, plane in ((0, "vertical"), (2, "horizontal")):
        row = np.zeros(4 + dials)
        row[first:first + 2] = p, q
        out.append((row, times * si(known[plane]), sigma))
    return out


def on_round_rims(given, start):
    """The position whose readings, taken on round rims, are those given."""
    from scipy.optimize import least_squares

    dials = given["dials"]

    def left(x):
        out = []
        for i, d in enumerate(dials):
            sign, radius = (-1.0 if d.get("bracket") == "far" else 1.0), si(d["diameter"]) / 2
            slope = sign * np.array([x[1], x[3]])
            e = sign * np.array([x[0] + x[1] * si(d["station"]), x[2] + x[3] * si(d["station"])])
            for t, r in zip(*readings(d["sweep"])):
                n = np.array([np.cos(t), np.sin(t)])
                # The touched rim is a cylinder around a line of direction (1, slope): the
                # distance of the place touched, rho n, from that line is its radius.
                axis = np.concatenate([[1.0], slope]) / np.sqrt(1 + slope @ slope)
                out_n, centre = np.concatenate([[0.0], n]), np.concatenate([[0.0], e])
                u, w = np.cross(out_n, axis), np.cross(centre, axis)
                rho = (u @ w + np.sqrt((u @ w) ** 2 - (u @ u) * (w @ w - radius**2))) / (u @ u)
                out.append(rho - radius + x[4 + i] - (r - sag(d) * (1 - np.cos(t)) / 2))
        return np.array(out) * 1e3
    return least_squares(left, start, x_scale="jac", xtol=1e-15, ftol=1e-15, gtol=1e-15).x


def measurement(given):
    listed = rows(given)
    weights = np.array([1 / si(s) if s else 1.0 for _, _, s in listed])
    a = np.array([row for row, _, _ in listed]) * weights[:, None]
    scale = np.abs(a).max(axis=0)
    scale[scale == 0] = 1.0
    x, inverse, left, free = fit((a / scale).T, np.array([value for _, value, _ in listed]) * weights)
    x, inverse = x / scale, inverse / np.outer(scale, scale)
    if given.get("exact"):
        x = on_round_rims(given, x)
    if all(s is None for _, _, s in listed):
        inverse = inverse * (left @ left / free) if free else np.full_like(inverse, np.nan)
    out = {"degrees-of-freedom": free}
    for first, plane in ((0, "vertical"), (2, "horizontal")):
        if np.abs(a[:, first:first + 2]).max() > 1e-9 * np.abs(a).max():
            out.update(plane_results(given.get("ask", {}), plane, x[first:first + 2], inverse[first:first + 2, first:first + 2]))
    return out


def plane_results(ask, plane, part, cov):
    out = {}
    places = {"offset." + s["name"]: np.array([1.0, si(s["at"])]) for s in ask.get("stations", [])}
    places["slope"] = np.array([0.0, 1.0])
    for name, g in places.items():
        out["%s.%s" % (name, plane)] = g @ part
        out["sigma.%s.%s" % (name.replace("offset.", ""), plane)] = np.sqrt(g @ cov @ g)
    target = ask.get("target", {})
    if "through" in target:
        raise Unread("a target through points")
    wanted = np.array([si(target[plane][k]) for k in ("offset", "slope")]) if plane in target else np.zeros(2)
    for side, sign in (("near", 1.0), ("far", -1.0)):
        for foot in ("inboard", "outboard") if side in ask else ():
            out["%s.%s.%s" % (side, foot, plane)] = sign * np.array([1.0, si(ask[side][foot])]) @ (part - wanted)
    return out


def two_dials(first, second):
    """A method of two dials as a measurement; first and second are (field, fixed fields)."""
    def compute(given):
        dials = []
        for field, fixed in (first, second):
            fixed = dict(fixed, bracket=given["bracket"]) if "bracket" in given else fixed
            dials.append(dict(fixed, **given[field]))
        only = {"ask", "sigma", "bracket", first[0], second[0]}
        if set(given) - only:
            raise Unread(", ".join(sorted(set(given) - only)))
        return measurement(dict(given, dials=dials))
    return compute


MINE = {
    "align.sweep-fit": sweep_fit, "align.second-harmonic": second_harmonic, "align.measurement": measurement,
    # A dial on the far shaft has its bracket on the near one.
    "align.reverse-indicator": two_dials(("onFar", {"bracket": "near"}), ("onNear", {"bracket": "far"})),
    "align.rim-and-face": two_dials(("rim", {"surface": "rim"}), ("face", {"surface": "face-toward"})),
}


def allowed(entry):
    if "tolerance" in entry:
        return entry["tolerance"] * (1 + 1e-9)
    return 0.5 * 10.0 ** -len(entry["printed"].partition(".")[2])


def main():
    vectors, values, left_out, off, unread = 0, 0, [], [], []
    for suite in SUITES:
        with open(os.path.join(VECTORS, suite + ".json"), encoding="utf-8") as f:
            stored = json.load(f)["vectors"]
        for v in stored:
            if v["computation"] not in MINE or "expect" not in v:
                continue
            try:
                got = MINE[v["computation"]](v["input"])
            except Unread as e:
                unread.append("%s (%s)" % (v["id"], e))
                continue
            vectors += 1
            for e in v["expect"]:
                if "text" in e or e["name"] not in got:
                    left_out.append("%s %s" % (v["id"], e["name"]))
                    continue
                values += 1
                is_size = not (e["name"].startswith(("variance", "covariance", "arc-", "degrees")))
                value = got[e["name"]] / (SI[e["unit"]] if is_size else 1.0)
                if not abs(value - e["exact"]) <= allowed(e):
                    off.append("%s: %s is %r, stored %r" % (v["id"], e["name"], float(value), e["exact"]))
    for words in off + ["not read: " + words for words in unread] + ["no value for " + words for words in left_out]:
        print("    " + words)
    print("recheck_align: NumPy %s; %d vectors, %d values, %d differ; %d vectors not read" % (np.__version__, vectors, values, len(off), len(unread)))
    return 1 if off else 0


if __name__ == "__main__":
    sys.exit(main())
