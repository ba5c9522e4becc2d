"""Several readings of one thing brought down to one number."""

from __future__ import annotations

from knowledge.formulas._registry import formula
from shared.errors import FormulaError

NONE_GIVEN = "no values were given"


@formula(rises=("values",))
def least(*values: float) -> float:
    """Smallest of the values.

    Parameters
    ----------
    values : any [1]
        One or more values of one measure.

    Returns
    -------
    any [1]
        The smallest of them.

    Valid for
    ---------
    At least one finite number.

    References
    ----------
    Definition.
    """
    if not values:
        raise FormulaError(f"the least of several values: {NONE_GIVEN}")
    return min(values)


@formula(rises=("values",))
def greatest(*values: float) -> float:
    """Largest of the values.

    Parameters
    ----------
    values : any [1]
        One or more values of one measure.

    Returns
    -------
    any [1]
        The largest of them.

    Valid for
    ---------
    At least one finite number.

    References
    ----------
    Definition.
    """
    if not values:
        raise FormulaError(f"the greatest of several values: {NONE_GIVEN}")
    return max(values)


@formula(rises=("values",))
def mean(*values: float) -> float:
    """Arithmetic mean, as for a wire measured at three places.

    Parameters
    ----------
    values : any [1]
        One or more readings of one measure.

    Returns
    -------
    any [1]
        Their mean, of the same measure.

    Valid for
    ---------
    At least one finite number.

    References
    ----------
    Definition.
    """
    if not values:
        raise FormulaError(f"the mean of several values: {NONE_GIVEN}")
    return sum(values) / len(values)


@formula()
def spread(*values: float) -> float:
    """Largest value less the smallest, as for the two springs of a pair or a disc read at four points.

    Parameters
    ----------
    values : any [1]
        One or more readings of one measure.

    Returns
    -------
    any [1]
        Greatest less least, of the same measure, never negative.

    Valid for
    ---------
    At least one finite number.

    References
    ----------
    Definition.
    """
    if not values:
        raise FormulaError(f"the spread of several values: {NONE_GIVEN}")
    return max(values) - min(values)
