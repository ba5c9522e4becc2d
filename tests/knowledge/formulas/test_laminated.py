import pytest

from knowledge.formulas.laminated import (
    full_length_leaf_stress,
    leaf_effective_span,
    quarter_elliptic_rate,
    quarter_elliptic_stress,
    semi_elliptic_rate,
)
from shared.errors import NoSolution


def test_two_quarters_are_a_semi_elliptic() -> None:
    quarter = quarter_elliptic_rate(206e9, 5, 0.06, 0.007, 0.55)
    assert semi_elliptic_rate(206e9, 5, 0.06, 0.007, 1.1) == pytest.approx(2 * quarter)


def test_all_leaves_full_is_a_plain_beam_of_even_section() -> None:
    # Without stepped leaves the stress is 6 F L / (n b t^2), the same as in a quarter spring of as many.
    assert full_length_leaf_stress(1000, 0, 4, 0.06, 0.007, 0.5) == pytest.approx(
        quarter_elliptic_stress(1000, 4, 0.06, 0.007, 0.5)
    )


def test_stepped_leaves_share_less() -> None:
    # Load sharing 2 : 3 a leaf: six stepped leaves relieve the full ones like four more full ones.
    assert full_length_leaf_stress(1000, 6, 2, 0.06, 0.007, 0.5) == pytest.approx(
        full_length_leaf_stress(1000, 0, 6, 0.06, 0.007, 0.5)
    )


def test_a_point_clamp_takes_nothing() -> None:
    assert leaf_effective_span(1.2, 0.0) == 1.2


def test_what_does_not_exist() -> None:
    with pytest.raises(NoSolution, match="covers a span"):
        leaf_effective_span(0.2, 0.3)
