"""Plain arithmetic, so that a dataflow can add, compare and scale without a formula of its own for it.

These carry no physics.  All the numbers given to one call are of one measure unless said otherwise, and the
result has the measure that follows; the caller's declaration of the quantity, not this module, names it.
"""

from __future__ import annotations

from math import isfinite

from knowledge.formulas._registry import formula, signed
from shared.errors import NoSolution

WIDE = (-1e12, 1e12)


@formula(rises=("values",))
def total(*values: float) -> float:
    """Sum of the values; nothing at all adds up to zero.

    Parameters
    ----------
    values : any [1]
        Terms, all of one measure.

    Returns
    -------
    any [1]
        Their sum, of the same measure.

    Valid for
    ---------
    Any finite numbers.

    References
    ----------
    Definition.
    """
    return sum(values, 0.0)


@formula(valid={"a": WIDE, "b": WIDE}, rises=("a",), falls=("b",))
def difference(a: float, b: float) -> float:
    """First value less the second.

    Parameters
    ----------
    a : any [1]
        What is taken from.
    b : any [1]
        What is taken away, of the same measure.

    Returns
    -------
    any [1]
        a - b, of the same measure.

    Valid for
    ---------
    Any finite numbers.

    References
    ----------
    Definition.
    """
    return a - b


@formula()
def product(*values: float) -> float:
    """Product of the values; nothing at all multiplies to one.

    Parameters
    ----------
    values : any [1]
        Factors; the result's measure is the product of theirs.

    Returns
    -------
    any [1]
        Their product.

    Valid for
    ---------
    Any finite numbers.  It rises in a factor only while the others multiply to something positive.

    References
    ----------
    Definition.
    """
    result = 1.0
    for value in values:
        result *= value
    return result


@formula(valid={"a": WIDE, "b": WIDE}, one_way=("a",))
def quotient(a: float, b: float) -> float:
    """First value divided by the second.

    Parameters
    ----------
    a : any [1]
        Dividend.
    b : any [1]
        Divisor, not zero.

    Returns
    -------
    any [1]
        a / b.

    Valid for
    ---------
    A divisor that is not zero.

    References
    ----------
    Definition.
    """
    # A divisor next to zero overflows as one that is zero.
    result = a / b if b else float("inf")
    if not isfinite(result):
        raise NoSolution(f"{a:g} cannot be divided by {b:g}")
    return result


def _itself(a: float) -> float:
    """A value with its sign."""
    return a


@formula(valid={"a": WIDE}, size_of=signed(_itself, rises=("a",)))
def absolute(a: float) -> float:
    """Size of a value without its sign.

    Parameters
    ----------
    a : any [1]
        Any value.

    Returns
    -------
    any [1]
        The same value, never negative.

    Valid for
    ---------
    Any finite number.  It turns at zero.

    References
    ----------
    Definition.
    """
    return abs(a)


@formula(valid={"value": WIDE, "base": (1e-12, 1e12)}, rises=("value",), one_way=("base",))
def relative_change(value: float, base: float) -> float:
    """How far a value stands above (or below) a base, as a share of the base.

    value / base - 1

    Parameters
    ----------
    value : any [1]
        The new value.
    base : any [1]
        The value it is compared with, of the same measure, above zero.

    Returns
    -------
    share [1]
        0.05 for five per cent more, negative for less.

    Valid for
    ---------
    A positive base.

    References
    ----------
    Definition.
    """
    return value / base - 1.0


@formula(valid={"a": WIDE, "b": WIDE})
def mismatch_share(a: float, b: float) -> float:
    """Difference of two values as a share of the second, without sign.

    abs(a - b) / abs(b)

    Parameters
    ----------
    a : any [1]
        One value.
    b : any [1]
        The value it is compared with, of the same measure, not zero.

    Returns
    -------
    share [1]
        Never negative; 0 when they are the same.

    Valid for
    ---------
    A second value that is not zero.  It turns where the two are equal.

    References
    ----------
    Definition.
    """
    return abs(quotient(a - b, b))
