"""Runs the scripts of this directory again and holds what they give against the
vectors that are stored.

    python3 regenerate.py --check [NAME ...]   every script, or those named
    python3 regenerate.py --write NAME         writes the files that NAME gives whole

Run it with the Python that has NumPy, SciPy and mpmath; all of it takes about a
minute and a half of computing. recheck_*.py are programs of their own: they compute
values of stored vectors another way.

A check writes nothing but a temporary directory. Ids, texts and fields must be
those stored. Numbers may differ by one part in 10^9; an exact value also by its
own tolerance, but by no more than one part in 10^6 of the largest value of its
unit in the vector, so that a wide tolerance hides no change. Numbers that differ at
all, within that, are counted as "in the last digits". The values of vectors that
come from no script are recomputed by the recheck program that is named with them.

A script needs the versions named in ../sources.json; without them it is not
checked, which is said and is no failure. The last line is `N scripts, N vectors
compared, N differ, N of the stored cross-library vectors come from no script`;
the exit status is 1 when something differs. This program needs the standard
library of Python 3 alone.
"""

import glob
import json
import os
import subprocess
import sys
import tempfile
import time

HERE = os.path.dirname(os.path.abspath(__file__))
TESTDATA = os.path.dirname(HERE)
VECTORS = os.path.join(TESTDATA, "vectors")
SHOWN = 12  # differences of one script that are printed
VERSIONS = {"numpy": ("NumPy", "1.24.2"), "scipy": ("SciPy", "1.10.1"), "mpmath": ("mpmath", None)}  # None: any
BOTH = ("numpy", "scipy")
PLANS = ["moves/random-%d" % k for k in range(1, 9)]

# What a script needs and, by its argument, the suites that its vectors are stored in.
SCRIPTS = {
    "many_align": (("numpy",), {k: ["align/many-" + k] for k in ("reverse", "rim-face")}),
    "moves_after": (("numpy",), {k: ["moves/" + k] for k in ("packs", "response", "boltcircle", "rounding")}),
    "moves_plans": (BOTH, {"DIRECTORY": PLANS}),
    "piping_flange": (BOTH, {"survey": ["piping/flange-numpy"], "goal": ["piping/goal"]}),
    "piping_loads": (("numpy",), {"": ["piping/beams-numpy"]}),
    "piping_strain": (BOTH, {"": ["piping/strain-scipy"]}),
    "runout_bow": (BOTH, {"": ["runout/bow"]}),
    "runout_circle": (BOTH, {"": ["runout/circle"]}),
    "runout_press": (BOTH, {"": ["runout/fits"]}),
    "runout_station": (("numpy",), {"": ["runout/station"]}),
    "softfoot": (BOTH, {k: ["softfoot/" + k] for k in ("wedge", "base", "seat")}),
    "softfoot_base": (BOTH, {"": ["softfoot/base-plane", "softfoot/shims"]}),
    "softfoot_feet": (BOTH, {"": ["softfoot/feet"]}),
    "thermal_growth": (BOTH, {"": ["thermal/growth-scipy"]}),
    "thermal_states": (BOTH, {"": ["thermal/states", "thermal/hotcheck"]}),
    "tolerance_conformity": (BOTH, {"": ["tolerance/conformity"]}),
    "uncertainty_alignment": (BOTH, {k: ["uncertainty/alignment-" + k] for k in ("linear", "simulated")}),
    "uncertainty_budgets": (BOTH, {"": ["uncertainty/budgets"]}),
    "uncertainty_decisions": (BOTH, {"": ["uncertainty/decisions"]}),
    "uncertainty_distributions": (BOTH, {k: ["uncertainty/" + k] for k in ("distributions", "factors", "samples")}),
    "uncertainty_guides": (BOTH + ("mpmath",), {k: ["uncertainty/guides-" + k] for k in ("linear", "simulated")}),
    "uncertainty_nist": (("mpmath",), {"": ["uncertainty/lines"]}),
    "uncertainty_risk": (BOTH + ("mpmath",), {"": ["uncertainty/global-risk"]}),
}
SHARED = {"regenerate", "emit"}  # modules that write no vectors themselves
# Suites with vectors of another library that no script gives, and what recomputes their values.
RECHECKED = {"align/sweeps": "recheck_align", "align/other-methods": "recheck_align"}


def named(pattern):
    return sorted(os.path.basename(p)[:-len(".py")] for p in glob.glob(os.path.join(HERE, pattern)))


# second_PACKAGE.py writes the suite PACKAGE/second-library.
for _name in named("second_*.py"):
    SCRIPTS[_name] = (BOTH, {"": [_name[len("second_"):] + "/second-library"]})


# ---- what is stored

def load(path):
    with open(path, encoding="utf-8") as f:
        return json.load(f)


class Stored:
    def __init__(self):
        self.vectors, self.suite, self.files = {}, {}, {}
        for path in sorted(glob.glob(os.path.join(VECTORS, "*", "*.json"))):
            name = os.path.relpath(path, VECTORS)[:-len(".json")].replace(os.sep, "/")
            self.files[name] = [v["id"] for v in load(path)["vectors"]]
            for v in load(path)["vectors"]:
                self.vectors[v["id"]], self.suite[v["id"]] = v, name
        kinds = {s["id"]: s["kind"] for s in load(os.path.join(TESTDATA, "sources.json"))}
        self.cross = {i for i, v in self.vectors.items() if kinds.get(v["source"]) == "cross-library"}


# ---- running a script

def found(module):
    """The version of a module, or None when there is none."""
    code = "import %s; print(%s.__version__)" % (module, module)
    got = subprocess.run([sys.executable, "-B", "-c", code], capture_output=True, text=True)
    return got.stdout.strip() if got.returncode == 0 else None


def lacking(needs, versions):
    """What stands in the way of a check, in words, or nothing."""
    out = []
    for module in needs:
        name, wanted = VERSIONS[module]
        have = versions[module]
        if have is None or wanted not in (None, have):
            out.append("needs %s, found %s" % (" ".join(filter(None, (name, wanted))), have or "none"))
    return "; ".join(out)


def run(script, argument):
    """The texts of JSON that a script gives: {suite or "": text}."""
    environment = dict(os.environ, PYTHONDONTWRITEBYTECODE="1", OPENBLAS_NUM_THREADS="1")
    with tempfile.TemporaryDirectory() as scratch:
        argv = [sys.executable, "-B", os.path.join(HERE, script + ".py")]
        argv += [scratch if argument == "DIRECTORY" else argument] if argument else []
        got = subprocess.run(argv, cwd=scratch, env=environment, capture_output=True, text=True)
        if got.returncode != 0:
            last = (got.stderr.strip().splitlines() or ["no message"])[-1]
            raise RuntimeError("%s ends with status %d: %s" % (" ".join([script, argument]).strip(), got.returncode, last))
        if argument != "DIRECTORY":
            return {"": got.stdout}
        out = {}
        for path in sorted(glob.glob(os.path.join(scratch, "*.json"))):
            with open(path, encoding="utf-8") as f:
                out["moves/" + os.path.basename(path)[:-len(".json")]] = f.read()
        return out


def vectors_in(x):
    """Every vector in a piece of JSON, however it is wrapped."""
    if isinstance(x, dict) and "computation" in x:
        yield x
    elif isinstance(x, (dict, list)):
        for part in x.values() if isinstance(x, dict) else x:
            yield from vectors_in(part)


# ---- comparing

def is_number(x):
    return isinstance(x, (int, float)) and not isinstance(x, bool)


def differences(new, old, at=""):
    """(where, new, old) for every leaf that is not the same."""
    if isinstance(new, dict) and isinstance(old, dict):
        for k in sorted(set(new) | set(old)):
            if k in new and k in old:
                yield from differences(new[k], old[k], at + "/" + k)
            else:
                yield at + "/" + k, new.get(k, "(absent)"), old.get(k, "(absent)")
    elif isinstance(new, list) and isinstance(old, list):
        if len(new) != len(old):
            yield at + " length", len(new), len(old)
        for k, (a, b) in enumerate(zip(new, old)):
            yield from differences(a, b, "%s/%d" % (at, k))
    elif is_number(new) and is_number(old):
        if new != old:
            yield at, new, old
    elif type(new) is not type(old) or new != old:
        yield at, new, old


def tolerance(entry):
    if "tolerance" in entry:
        return entry["tolerance"]
    digits = entry.get("printed", "").partition(".")[2]
    return 0.5 * 10.0 ** -len(digits) if "printed" in entry else 0.0


def allowed(vector, at):
    """How far an exact value may be off beyond one part in 10^9."""
    parts = at.split("/")
    if len(parts) != 4 or parts[1] != "expect" or parts[3] != "exact":
        return 0.0
    entry = vector["expect"][int(parts[2])]
    scale = max(abs(e["exact"]) for e in vector["expect"] if e.get("unit") == entry["unit"])
    own = tolerance(entry)
    return min(own, 1e-6 * max(scale, own))


def same(vector, at, new, old):
    if not is_number(new) or not is_number(old):
        return False
    return abs(new - old) <= max(1e-9 * max(abs(new), abs(old)), allowed(vector, at))


class Result:
    def __init__(self):
        self.produced, self.differ, self.digits, self.told = set(), set(), set(), []

    def fault(self, identity, words):
        self.differ.add(identity)
        self.told.append("%s: %s" % (identity, words))


def compare(made, suites, stored, result):
    """Holds the vectors of one run against those stored in its suites."""
    sources = set()
    for v in made:
        i = v["id"]
        if i in result.produced:
            result.fault(i, "is given twice")
        result.produced.add(i)
        if i not in stored.vectors:
            result.fault(i, "is not stored")
            continue
        sources.add((stored.suite[i], v["source"]))
        if stored.suite[i] not in suites:
            result.fault(i, "is stored in %s, not in %s" % (stored.suite[i], " or ".join(suites)))
        for at, new, old in differences(v, stored.vectors[i]):
            if same(stored.vectors[i], at, new, old):
                result.digits.add(i)
            else:
                result.fault(i, "%s gives %.200s, stored is %.200s" % (at, new, old))
    # A source that a script names in a suite is that script's there, as far as it is of another library.
    for suite in suites:
        for i in stored.files.get(suite, []):
            if i in stored.cross and i not in result.produced and (suite, stored.vectors[i]["source"]) in sources:
                result.fault(i, "is stored in %s but no longer given" % suite)


def check_script(script, stored):
    result = Result()
    for argument, suites in SCRIPTS[script][1].items():
        try:
            texts = run(script, argument)
            made = [v for text in texts.values() for v in vectors_in(json.loads(text))]
        except (RuntimeError, ValueError) as e:
            result.fault(" ".join([script, argument]).strip(), str(e))
            continue
        compare(made, suites, stored, result)
    return result


def print_result(script, libraries, result, seconds):
    digits = len(result.digits - result.differ)
    print("%s: %s; %d vectors compared, %d differ, %d in the last digits alone (%.0f s)" %
          (script, libraries, len(result.produced), len(result.differ), digits, seconds))
    for words in result.told[:SHOWN]:
        print("    " + words)
    if len(result.told) > SHOWN:
        print("    and %d more" % (len(result.told) - SHOWN))
    sys.stdout.flush()


def check(names):
    stored = Stored()
    versions = {m: found(m) for m in VERSIONS}
    produced, compared, differ, run_count, skipped = set(), 0, 0, 0, []
    for script in names:
        needs = SCRIPTS[script][0]
        missing = lacking(needs, versions)
        if missing:
            print("%s: not checked: %s" % (script, missing))
            skipped.append(script)
            continue
        start = time.time()
        result = check_script(script, stored)
        libraries = ", ".join("%s %s" % (VERSIONS[m][0], versions[m]) for m in needs)
        print_result(script, libraries, result, time.time() - start)
        run_count, compared, differ = run_count + 1, compared + len(result.produced), differ + len(result.differ)
        produced |= result.produced
    for name in unknown_scripts():
        print("%s: not known to regenerate.py" % name)
        differ += 1
    orphans = without_script(stored, produced)
    for suite, ids in sorted(orphans.items()):
        by = RECHECKED.get(suite)
        print("from no script: %s, %d, %s: %s" % (suite, len(ids), "values recomputed by %s.py" % by if by else "not recomputed",
                                                  ", ".join(ids[:SHOWN]) + (", ..." if len(ids) > SHOWN else "")))
    differ += sum(not recheck(program) for program in sorted({RECHECKED[s] for s in orphans if s in RECHECKED}))
    if skipped:
        print("%d scripts not checked" % len(skipped))
    print("%d scripts, %d vectors compared, %d differ, %d of the stored cross-library vectors come from no script" %
          (run_count, compared, differ, sum(len(ids) for ids in orphans.values())))
    return 1 if differ else 0


def recheck(program):
    """Runs a recheck program and prints its words; whether all is well."""
    got = subprocess.run([sys.executable, "-B", os.path.join(HERE, program + ".py")], capture_output=True, text=True)
    words = got.stdout.rstrip() or (got.stderr.strip().splitlines() or ["no message"])[-1]
    print(words)
    return got.returncode == 0


def unknown_scripts():
    return [n for n in named("*.py") if n not in SCRIPTS and n not in SHARED and not n.startswith("recheck_")]


def without_script(stored, produced):
    """Cross-library vectors by suite that no script gave; those in the suites of a script
    that was not run are taken as its own."""
    given = {(stored.suite[i], stored.vectors[i]["source"]) for i in produced if i in stored.vectors}
    ran = {suite for suite, _ in given}
    out = {}
    for i in sorted(stored.cross - produced):
        suite = stored.suite[i]
        claimed = any(suite in suites for _, runs in SCRIPTS.values() for suites in runs.values())
        if claimed and suite not in ran:
            continue
        out.setdefault(suite, []).append(i)
    return out


def write(script):
    """Writes the suites that hold the vectors of this script and no others."""
    stored = Stored()
    for argument, suites in SCRIPTS[script][1].items():
        for suite, text in run(script, argument).items():
            suite = suite or suites[0]
            ids = {v["id"] for v in vectors_in(json.loads(text))}
            others = set(stored.files.get(suite, [])) - ids
            if others or not suite_of(text):
                print("%s: not written, it holds vectors that this script does not give; python3 %s prints its own" % (suite, (script + ".py " + argument).strip()))
                continue
            path = os.path.join(VECTORS, *suite.split("/")) + ".json"
            with open(path, "w", encoding="utf-8", newline="\n") as f:
                f.write(text)
            print("%s: %d vectors written" % (suite, len(ids)))
    return 0


def suite_of(text):
    whole = json.loads(text)
    return whole.get("suite") if isinstance(whole, dict) else None


def main():
    words = sys.argv[1:]
    names = words[1:]
    wrong = [n for n in names if n not in SCRIPTS]
    if wrong:
        print("no script named %s; there are %s" % (", ".join(wrong), ", ".join(SCRIPTS)), file=sys.stderr)
        return 2
    if words[:1] == ["--check"]:
        return check(names or list(SCRIPTS))
    if words[:1] == ["--write"] and len(names) == 1:
        return write(names[0])
    print(__doc__.strip())
    return 0 if not words else 2


if __name__ == "__main__":
    sys.exit(main())
