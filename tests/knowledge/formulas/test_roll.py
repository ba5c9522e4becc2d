from math import radians

import pytest

from knowledge.formulas.roll import (
    axle_point_travel,
    roll_gradient,
    roll_stiffness,
    roll_wheel_rate,
    static_stability_factor,
)
from shared.errors import NoSolution


def test_reference_roll_stiffness() -> None:
    # Reference car: 21.445 N/mm 800 mm apart and a bar of 6500: 13 362; 25.06 N/mm 1020 apart: 13 037 N m/rad.
    assert roll_stiffness(21.445e3, 0.800, 6500) == pytest.approx(13362, abs=1)
    assert roll_stiffness(25.062e3, 1.020, 0.0) == pytest.approx(13037, abs=1)


def test_roll_by_hand() -> None:
    # 1110 kg of body, 0.30 m of arm: 3265.6 N m per rad and g, over 26 399 - 3265.6: 0.14116 rad, 8.09 deg per g.
    assert roll_gradient(1110, 0.30, 13362, 13037) == pytest.approx(radians(8.09), abs=radians(0.005))


def test_reference_stability() -> None:
    # 1430 over twice 640: 1.117; over twice 713.6: 1.002.
    assert static_stability_factor(1.430, 0.640) == pytest.approx(1.117, abs=0.0005)
    assert static_stability_factor(1.430, 0.7136) == pytest.approx(1.002, abs=0.0005)


def test_springs_at_the_wheels_lose_nothing() -> None:
    assert roll_wheel_rate(25e3, 1.4, 1.4) == 25e3
    assert roll_wheel_rate(25e3, 0.7, 1.4) == 6.25e3


def test_a_body_on_its_roll_axis_does_not_lean() -> None:
    assert roll_gradient(1110, 0.0, 13e3, 13e3) == 0.0


def test_axle_point() -> None:
    # Both wheels alike, in the middle, and at the wheel itself.
    assert axle_point_travel(0.05, 0.05, 0.8, 1.4) == pytest.approx(0.05)
    assert axle_point_travel(0.08, -0.08, 0.0, 1.4) == 0.0
    assert axle_point_travel(0.08, -0.06, 1.4, 1.4) == pytest.approx(0.08)


def test_a_body_too_tall_for_its_springs() -> None:
    with pytest.raises(NoSolution, match="not held upright"):
        roll_gradient(2000, 1.0, 5e3, 5e3)
