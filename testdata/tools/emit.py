"""How the second_*.py scripts write their vectors: short objects on one line,
long ones spread out, with the suite around them.
"""

import json

WIDTH = 110
ROUNDING = "sums in double precision, and the conversion of units"


def number(name, value, unit, tolerance, reason=ROUNDING):
    return {"name": name, "exact": float(value), "unit": unit, "tolerance": tolerance, "reason": reason}


def text(name, word):
    return {"name": name, "text": word}


def numbers(values, unit, tolerance, reason=ROUNDING):
    """Expectations of one unit and tolerance, from a dictionary by name."""
    return [number(k, v, unit, tolerance, reason) for k, v in values.items()]


def vector(name, title, computation, given, expected, source, warnings=None):
    """name follows PACKAGE.second., so that ids say which scripts they are from."""
    package = computation.split(".")[0]
    out = {
        "id": f"{package}.second.{name}", "title": title, "computation": computation,
        "input": given, "expect": expected,
    }
    if warnings is not None:
        out["warnings"] = warnings
    return out | {"source": source, "known": "derived"}


def layout(v, indent=0):
    flat = json.dumps(v)
    if not isinstance(v, (dict, list)) or not v or len(flat) + indent <= WIDTH:
        return flat
    pad = " " * (indent + 2)
    if isinstance(v, dict):
        lines = [f"{pad}{json.dumps(k)}: {layout(w, indent + 2)}" for k, w in v.items()]
        return "{\n" + ",\n".join(lines) + "\n" + " " * indent + "}"
    lines = [pad + layout(w, indent + 2) for w in v]
    return "[\n" + ",\n".join(lines) + "\n" + " " * indent + "]"


def suite(name, vectors):
    print(layout({"suite": name, "vectors": vectors}))
