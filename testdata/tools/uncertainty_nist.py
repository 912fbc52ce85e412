"""Writes the vectors of two published straight-line fits as JSON on standard output.

Norris of NIST's Statistical Reference Datasets and the thermometer of JCGM
100:2008, H.3, both from memory. The line is fitted here by normal equations with
60 digits; the data are used only because they give the published values back,
and each printed figure is held against the fit before it is written. Both planes
carry the same offsets, so that the scatter is that of one. Run with Python 3 and
mpmath: python3 uncertainty_nist.py
"""

import json
import sys

from mpmath import mp, mpf, nstr, sqrt

mp.dps = 60

NORRIS = """0.1 0.2|338.8 337.4|118.1 118.2|888.0 884.6|9.2 10.1|228.1 226.5|668.5 666.3|998.5 996.3|449.1 448.6|778.9 777.0|559.2 558.2|0.3 0.4
0.1 0.6|778.1 775.5|668.8 666.9|339.3 338.0|448.9 447.5|10.8 11.6|557.7 556.0|228.3 228.1|998.0 995.8|888.8 887.6|119.6 120.2|0.3 0.3
0.6 0.3|557.6 556.8|339.3 339.1|888.0 887.2|998.5 999.0|778.9 779.0|10.2 11.1|117.6 118.3|228.9 229.2|668.4 669.1|449.2 448.9|0.2 0.5"""
BATH = """21.521 -0.171|22.012 -0.169|22.512 -0.166|23.003 -0.159|23.507 -0.164|23.999 -0.165|24.513 -0.156|25.002 -0.157|25.503 -0.159|26.010 -0.161|26.511 -0.160"""


def fit(x, y):
    n, sx, sy = len(x), sum(x), sum(y)
    sxx, sxy = sum(v * v for v in x), sum(a * b for a, b in zip(x, y))
    d = n * sxx - sx * sx
    b1 = (n * sxy - sx * sy) / d
    b0 = (sy - b1 * sx) / n
    s = sqrt(sum((v - b0 - b1 * u) ** 2 for u, v in zip(x, y)) / (n - 2))
    return {"b0": b0, "b1": b1, "s": s, "sb0": s * sqrt(sxx / d), "sb1": s * sqrt(n / d), "at": lambda p: (b0 + b1 * p, s * sqrt((sxx - 2 * p * sx + n * p * p) / d))}


def expect(name, value, unit, tolerance, reason, printed=None):
    out = {"name": name, "exact": float(value), "unit": unit}
    if printed is not None:
        half = mpf(10) ** -len(printed.split(".")[1]) / 2
        if abs(value - mpf(printed)) > half:
            print("left out, does not recompute: %s %s, is %s" % (name, printed, nstr(value, 16)), file=sys.stderr)
        else:
            out["printed"] = printed
    out["tolerance"], out["reason"] = tolerance, reason
    return out


def measurement(points, stations):
    offsets = [{"station": [float(x), "m"], "offset": {"vertical": [float(y), "m"], "horizontal": [float(y), "m"]}} for x, y in points]
    return {"offsets": offsets, "ask": {"stations": [{"name": n, "at": [x, "m"]} for n, x in stations]}}


def norris():
    points = [tuple(mpf(v) for v in p.split()) for p in NORRIS.replace("\n", "|").split("|")]
    assert len(points) == 36
    f = fit([p[0] for p in [(b, a) for a, b in points]], [a for a, _ in points])
    g = fit([a for a, _ in points], [b for _, b in points])
    f = f if abs(f["b1"] - mpf("1.00211681802045")) < abs(g["b1"] - mpf("1.00211681802045")) else g
    swap = f is not g
    xy = [(b, a) if swap else (a, b) for a, b in points]
    certified = {"b0": "-0.262323073774029", "b1": "1.00211681802045", "sb0": "0.232818234301152", "sb1": "0.000429796848199937", "s": "0.884796396144373"}
    for k, v in certified.items():
        assert abs(f[k] - mpf(v)) < mpf(10) ** -len(v.split(".")[1]), (k, v, nstr(f[k], 16))
    why = "sixteen digits in the data leave about twelve in the answer"
    out = []
    for plane in ("vertical", "horizontal"):
        out += [expect("offset.zero." + plane, f["b0"], "m", 1e-11, why, certified["b0"]), expect("slope." + plane, f["b1"], "1", 1e-13, why, certified["b1"]),
                expect("sigma.zero." + plane, f["sb0"], "m", 1e-12, why, certified["sb0"]), expect("sigma.slope." + plane, f["sb1"], "1", 1e-14, why, certified["sb1"])]
    out.append(expect("degrees-of-freedom", 2 * 34, "1", 0, "a count: both planes"))
    return {"id": "uncertainty.measurement.nist-norris", "title": "Norris: a straight line through 36 points, metres", "computation": "align.measurement", "input": measurement(xy, [("zero", 0.0)]), "expect": out, "source": "nist-strd-norris", "locator": "Norris, certified values", "known": "memory"}


def bath():
    points = [tuple(mpf(v) for v in p.split()) for p in BATH.split("|")]
    xy = [(x - 20, y) for x, y in points]
    f = fit([x for x, _ in xy], [y for _, y in xy])
    at30 = f["at"](mpf(10))
    why = "half the last printed place"
    out = []
    for name, value, printed in (("offset.zero", f["b0"], "-0.1712"), ("slope", f["b1"], "0.00218"), ("sigma.zero", f["sb0"], "0.0029"), ("sigma.slope", f["sb1"], "0.00067"), ("offset.thirty", at30[0], "-0.1494"), ("sigma.thirty", at30[1], "0.0041")):
        e = expect(name + ".vertical", value, "1" if "slope" in name else "m", 0, why, printed)
        if "printed" in e:
            del e["tolerance"], e["reason"]
        else:
            e["tolerance"], e["reason"] = 1e-12, "rounding alone"
        out.append(e)
    out.append(expect("degrees-of-freedom", 2 * 9, "1", 0, "a count: both planes"))
    return {"id": "uncertainty.measurement.gum-thermometer", "title": "Calibration of a thermometer: corrections as offsets, degrees above 20 as metres", "computation": "align.measurement", "input": measurement(xy, [("zero", 0.0), ("thirty", 10.0)]), "expect": out, "source": "jcgm-100-2008", "locator": "H.3, Table H.6", "known": "memory"}


print('{"suite": "uncertainty/lines", "vectors": [')
print(",\n".join(json.dumps(v) for v in (norris(), bath())))
print("]}")
