"""Runs the vectors of the corpus through the modules of this directory, a second
implementation of the computations written from testdata/README.md and from
published formulas, in Python 3 with its standard library alone.

    python3 run.py                    everything
    python3 run.py align runout       packages
    python3 run.py align.sag          ids, computations and suites that begin so
    python3 run.py -v ...             every comparison that fails, and tracebacks
    python3 run.py -missing           computations that are not covered

The rules of comparison are those of testdata/README.md, "How results are
compared". The last line is `N passed, N failed, N not covered`; the exit status
is 1 when any failed.
"""

import importlib
import importlib.util
import json
import math
import os
import sys
import traceback
from decimal import Decimal

HERE = os.path.dirname(os.path.abspath(__file__))
sys.path.insert(0, HERE)
sys.dont_write_bytecode = True  # leave nothing behind in the corpus

import common  # noqa: E402

TESTDATA = os.path.dirname(os.path.dirname(HERE))
MODULES = ["align", "runout", "softfoot", "thermal", "tolerance", "piping", "moves", "uncertainty"]
SLACK = 1e-9  # the rounding of binary fractions at the very edge of a tolerance


def load_computations():
    out = {}
    for name in MODULES:
        if importlib.util.find_spec(name) is None:
            continue
        out.update(importlib.import_module(name).COMPUTATIONS)
    return out


def load_vectors():
    root = os.path.join(TESTDATA, "vectors")
    for folder, _, files in sorted(os.walk(root)):
        for f in sorted(files):
            if not f.endswith(".json"):
                continue
            with open(os.path.join(folder, f), encoding="utf-8") as h:
                suite = json.load(h)
            for v in suite["vectors"]:
                yield suite["suite"], v


def half_last_place(printed):
    return float(Decimal(1).scaleb(Decimal(printed).as_tuple().exponent) / 2)


DIRECTIONS = ("high-spot", "bend.toward", "largest.at", "widest", "blind.after", "blind.before")


def turned(e, difference):
    """A difference of directions without whole turns; the two lobes of a second
    harmonic make half a turn a whole one."""
    if e["unit"] not in ("deg", "rad") or not ("." + e["name"]).endswith(tuple("." + d for d in DIRECTIONS)):
        return difference
    turn = common.from_si(2 * math.pi, e["unit"])
    return math.remainder(difference, turn / 2 if e["name"].endswith("second.high-spot") else turn)


def compare(v, e, results):
    """What is wrong with one expectation, or None."""
    if e["name"] not in results:
        return "not among the results"
    got = results[e["name"]]
    if "text" in e:
        return None if got == e["text"] else "want %r, got %r" % (e["text"], got)
    if isinstance(got, str):
        return "want a number, got %r" % got
    got = common.from_si(float(got), e["unit"])
    allowed = e.get("tolerance")
    if allowed is None:
        if "printed" not in e:
            return "no tolerance"
        allowed = half_last_place(e["printed"])
    allowed *= 1 + SLACK
    if not abs(turned(e, got - e["exact"])) <= allowed:
        return "want %.12g %s within %g, got %.12g" % (e["exact"], e["unit"], allowed, got)
    if "printed" in e and "misprint" not in v and not abs(turned(e, got - float(e["printed"]))) <= allowed:
        return "printed %s %s, got %.12g" % (e["printed"], e["unit"], got)
    return None


def check(v, compute):
    """The list of what is wrong with a vector; empty when it passes."""
    results, warnings, error = {}, [], None
    try:
        results, warnings = compute(v["input"])
        for name, value in results.items():
            if not isinstance(value, str) and not math.isfinite(value):
                error = "out-of-range"
    except common.Fault as f:
        error = f.code
        if "error" not in v:
            return ["refused: %s" % f]
    except OverflowError:
        error = "out-of-range"
    except Exception:
        return ["crash: " + traceback.format_exc(limit=-3).strip()]
    if "error" in v:
        return [] if error == v["error"] else ["want error %s, got %s" % (v["error"], error)]
    if error:
        return ["refused: " + error]
    wrong = []
    for e in v["expect"]:
        w = compare(v, e, results)
        if w:
            wrong.append(e["name"] + ": " + w)
    if "warnings" in v and sorted(v["warnings"]) != sorted(set(warnings)):
        wrong.append("warnings: want %s, got %s" % (sorted(v["warnings"]), sorted(set(warnings))))
    return wrong


def wanted(suite, v, filters):
    if not filters:
        return True
    return any(s.startswith(f) for f in filters for s in (v["id"], v["computation"], suite))


def main(args):
    verbose = "-v" in args
    missing = "-missing" in args
    filters = [a for a in args if not a.startswith("-")]
    mine = load_computations()
    table, lacking = {}, {}
    for suite, v in load_vectors():
        if not wanted(suite, v, filters):
            continue
        package = v["computation"].split(".")[0]
        row = table.setdefault(package, {"vectors": 0, "passed": 0, "failed": 0, "not covered": 0})
        row["vectors"] += 1
        if v["computation"] not in mine:
            row["not covered"] += 1
            lacking[v["computation"]] = lacking.get(v["computation"], 0) + 1
            continue
        wrong = check(v, mine[v["computation"]])
        row["failed" if wrong else "passed"] += 1
        if wrong and verbose:
            print("FAIL %s (%s)" % (v["id"], v["computation"]))
            for w in wrong:
                print("     " + w)
        elif wrong:
            more = " (and %d more)" % (len(wrong) - 1) if len(wrong) > 1 else ""
            print("FAIL %s: %s%s" % (v["id"], wrong[0].splitlines()[-1], more))
    if missing:
        for name in sorted(lacking):
            print("not covered: %s (%d)" % (name, lacking[name]))
    columns = ["vectors", "passed", "failed", "not covered"]
    print("%-12s" % "package" + "".join("%13s" % c for c in columns))
    for package in sorted(table):
        print("%-12s" % package + "".join("%13d" % table[package][c] for c in columns))
    total = [sum(r[c] for r in table.values()) for c in columns]
    print("%d passed, %d failed, %d not covered" % tuple(total[1:]))
    return 1 if total[2] else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
