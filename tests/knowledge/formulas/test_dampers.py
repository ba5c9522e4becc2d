from math import degrees, radians

import pytest

from knowledge.formulas.dampers import (
    damper_angle_lifted,
    damper_closed_length,
    damper_dead_length,
    damper_installed_length,
    damper_length_at,
    damper_motion_ratio,
)
from shared.errors import NoSolution

# Reference car: front 430 mm at 8 deg, rear 492 mm at 20 deg.
FRONT = (0.430, radians(8))


def test_dead_length_of_the_reference_dampers() -> None:
    # 545 open, 340 closed: 135; 610 and 375: 140 mm.
    assert damper_dead_length(0.545, 0.340) * 1e3 == pytest.approx(135)
    assert damper_dead_length(0.610, 0.375) * 1e3 == pytest.approx(140)


def test_damper_that_keeps_the_droop_of_a_lifted_car() -> None:
    # 75 mm up and 100 mm of droop.  With the cosine of 8 deg 603 mm was reckoned; the triangle makes it 603.8, and
    # the closed length of that make 369 mm.
    needed = damper_length_at(FRONT[0], 0.075 + 0.100, FRONT[1])
    assert needed * 1e3 == pytest.approx(603, abs=1.0)
    assert damper_closed_length(needed, 0.135) * 1e3 == pytest.approx(369, abs=0.5)


def test_reference_damper_at_metal() -> None:
    # 80 mm of bump: 351 mm.  With the stop 20 mm lower: 371 mm.
    assert damper_length_at(FRONT[0], -0.080, FRONT[1]) * 1e3 == pytest.approx(351, abs=0.5)
    assert damper_length_at(FRONT[0], -0.060, FRONT[1]) * 1e3 == pytest.approx(371, abs=0.5)


def test_half_as_much_longer_closed() -> None:
    longer = damper_closed_length(0.545 + 0.020, 0.135) - damper_closed_length(0.545, 0.135)
    assert longer == pytest.approx(0.010)
    assert damper_closed_length(0.545, damper_dead_length(0.545, 0.340)) == pytest.approx(0.340)


def test_upright_damper_follows_the_wheel() -> None:
    assert damper_length_at(0.43, 0.05, 0.0) == pytest.approx(0.48)
    assert damper_motion_ratio(0.0) == 1.0
    assert damper_angle_lifted(0.43, 0.05, 0.0) == 0.0


def test_no_lift_no_change() -> None:
    assert damper_installed_length(*FRONT[:1], 0.0, FRONT[1]) == pytest.approx(0.430)
    assert damper_angle_lifted(0.430, 0.0, FRONT[1]) == pytest.approx(FRONT[1])


def test_two_lifts_are_one() -> None:
    length, angle = damper_installed_length(0.492, 0.03, radians(20)), damper_angle_lifted(0.492, 0.03, radians(20))
    assert damper_installed_length(length, 0.02, angle) == pytest.approx(
        damper_installed_length(0.492, 0.05, radians(20))
    )
    assert degrees(angle) < 20


def test_what_does_not_exist() -> None:
    with pytest.raises(NoSolution, match="lies level"):
        damper_length_at(0.2, -0.2, radians(20))
    with pytest.raises(NoSolution, match="cannot be"):
        damper_dead_length(0.3, 0.4)
