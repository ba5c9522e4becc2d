import pytest

from knowledge.formulas.leaf_limits import leaf_stress, leaf_stress_at_metal
from shared.errors import NoSolution

# Reference car, rear leaf: halves 575 and 675, 30 clamped each side, 6.5 mm thick, 5492.5 mm4.
SHAPE = {
    "front_half": 0.575,
    "rear_half": 0.675,
    "clamped_each_side": 0.030,
    "thickness": 0.0065,
    "second_moment": 5492.5e-12,
}


def test_reference_leaf() -> None:
    # 2399 N: 419 MPa at ride; 25.06 N/mm over 105 mm more: 879 MPa at metal.
    assert leaf_stress(2399, **SHAPE) / 1e6 == pytest.approx(419, abs=0.5)
    assert leaf_stress_at_metal(2399, 25.06e3, 0.105, **SHAPE) / 1e6 == pytest.approx(879, abs=0.5)


def test_no_travel_is_ride() -> None:
    assert leaf_stress_at_metal(2399, 25e3, 0.0, **SHAPE) == leaf_stress(2399, **SHAPE)
    assert leaf_stress(0.0, **SHAPE) == 0.0


def test_what_does_not_exist() -> None:
    with pytest.raises(NoSolution, match="nothing to bend"):
        leaf_stress(2399, **{**SHAPE, "clamped_each_side": 0.575})
