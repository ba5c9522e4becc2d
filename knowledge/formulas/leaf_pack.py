"""A pack of leaves as a section: what unequal leaves come to, and the second moment of them all."""

from __future__ import annotations

from knowledge.formulas._registry import formula
from shared.errors import FormulaError

LEAVES = (1.0, 20.0)
WIDTH = (0.02, 0.15)
THICKNESS = (0.001, 0.03)
SECOND_MOMENT = (1e-11, 1e-6)


@formula(valid={"thicknesses": THICKNESS}, rises=("thicknesses",))
def leaf_equivalent_thickness(*thicknesses: float) -> float:
    """Thickness of equal leaves as stiff together as these unequal ones.

    t = (mean of t_i^3)^(1/3)

    Parameters
    ----------
    thicknesses : length [m]
        Of every leaf, measured de-rusted at three places.

    Returns
    -------
    length [m]
        To be used with the same number of leaves; for stress take the thickest leaf.

    Valid for
    ---------
    Leaves of one width that bend together.

    References
    ----------
    Beam theory: the second moments of stacked leaves add up.
    """
    if not thicknesses:
        raise FormulaError("the thickness of no leaf at all was asked for")
    return float((sum(t**3 for t in thicknesses) / len(thicknesses)) ** (1 / 3))


@formula(
    valid={"leaves": LEAVES, "width": WIDTH, "thickness": THICKNESS},
    rises=("leaves", "width", "thickness"),
)
def leaf_second_moment(leaves: float, width: float, thickness: float) -> float:
    """Second moment of area of a pack of leaves that slide on each other.

    I = n b t^3 / 12

    Parameters
    ----------
    leaves : count [1]
        Leaves that bend together, n.
    width : length [m]
        Of each, b.
    thickness : length [m]
        Of each, t; of unequal leaves their equivalent thickness.

    Returns
    -------
    second_moment [m4]
        At the clamp.

    Valid for
    ---------
    Flat rectangular leaves, not bonded.

    References
    ----------
    Beam theory; SAE HS-788 (from memory).
    """
    return leaves * width * thickness**3 / 12
