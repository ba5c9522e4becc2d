import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from knowledge.formulas.leaf_pack import leaf_equivalent_thickness, leaf_second_moment
from shared.errors import FormulaError

THICKNESS = st.floats(0.001, 0.03)


def test_reference_pack() -> None:
    # Reference car, 4 leaves of 60 x 6.5 mm, by hand: 4 x 60 x 274.625 / 12 = 5492.5 mm4.
    assert leaf_second_moment(4, 0.060, 0.0065) * 1e12 == pytest.approx(5492.5)


def test_equal_leaves_are_their_own_equivalent() -> None:
    assert leaf_equivalent_thickness(0.0065, 0.0065, 0.0065) == pytest.approx(0.0065)


def test_unequal_leaves() -> None:
    # Two of 6.5 and one of 8 mm, by hand: (2 x 274.625 + 512) / 12 x 60 = 5306.25 mm4.
    equivalent = leaf_equivalent_thickness(0.0065, 0.0065, 0.008)
    assert leaf_second_moment(3, 0.060, equivalent) * 1e12 == pytest.approx(5306.25)


@settings(derandomize=True, database=None)
@given(st.lists(THICKNESS, min_size=1, max_size=8), THICKNESS)
def test_a_thicker_leaf_never_makes_it_thinner(leaves: list[float], other: float) -> None:
    low, high = sorted((leaves[0], other))
    thin = leaf_equivalent_thickness(low, *leaves[1:])
    assert leaf_equivalent_thickness(high, *leaves[1:]) >= thin * (1 - 1e-12)
    assert min(low, *leaves) * (1 - 1e-12) <= thin <= max(low, *leaves[1:], low) * (1 + 1e-12)


def test_no_leaves() -> None:
    with pytest.raises(FormulaError, match="no leaf"):
        leaf_equivalent_thickness()
