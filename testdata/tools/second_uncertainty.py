"""Writes a second set of vectors about uncertainty as JSON on standard output.

Half a unit of the last of so many digits is found by the decimal module of
Python, which rounds first and then tells the exponent of the last digit. Run with
Python 3: python3 second_uncertainty.py
"""

import sys
from decimal import Context, Decimal

sys.dont_write_bytecode = True

from emit import number, suite, vector  # noqa: E402


def last_place(n, sigma, digits):
    rounded = Context(prec=digits).create_decimal(sigma)
    # as many digits as asked, zeros at the end too
    unit = Decimal(1).scaleb(rounded.adjusted() - digits + 1)
    value = unit / 2
    return vector(
        f"numerical-tolerance-{n}", f"{sigma} to {digits} digits by decimal arithmetic", "uncertainty.numerical-tolerance",
        {"sigma": float(sigma), "digits": digits},
        [number("tolerance", float(value), "1", float(value * Decimal("1e-12")), "one part in 10^12: a power of ten in doubles")], "python-3-11-2",
    )


CASES = [("0.00718", 2), ("0.9961", 2), ("123.4", 1), ("99.97", 3), ("5.0001e-7", 4), ("0.0307", 1), ("96420", 2)]
suite("uncertainty/second-library", [last_place(n, s, d) for n, (s, d) in enumerate(CASES, 1)])
