from math import radians

import pytest

from knowledge.formulas.damper_travel import damper_bump_margin, damper_bump_travel, damper_droop_travel
from knowledge.formulas.dampers import damper_angle_lifted, damper_installed_length
from shared.errors import NoSolution

# Reference car, front: 430 mm installed at 8 deg, 545 open, 340 closed, 80 mm to metal.
INSTALLED, EXTENDED, CLOSED, ANGLE = 0.430, 0.545, 0.340, radians(8)


def test_reference_droop() -> None:
    # Lifted 75 mm, 41 mm of droop are left; lifted 57 mm, 59 mm.
    assert (damper_droop_travel(INSTALLED, EXTENDED, ANGLE) - 0.075) * 1e3 == pytest.approx(41, abs=0.5)
    assert (damper_droop_travel(INSTALLED, EXTENDED, ANGLE) - 0.057) * 1e3 == pytest.approx(59, abs=0.5)


def test_droop_from_the_lifted_height_is_the_same() -> None:
    lifted = damper_installed_length(INSTALLED, 0.075, ANGLE)
    angle = damper_angle_lifted(INSTALLED, 0.075, ANGLE)
    assert damper_droop_travel(lifted, EXTENDED, angle) == pytest.approx(
        damper_droop_travel(INSTALLED, EXTENDED, ANGLE) - 0.075
    )
    # And so is the margin at metal: the stop does not move with the lift.
    assert damper_bump_margin(lifted, CLOSED, 0.155, angle) == pytest.approx(
        damper_bump_margin(INSTALLED, CLOSED, 0.080, ANGLE)
    )


def test_reference_bump() -> None:
    # 351 mm at metal: 11 mm above closed, 5 above the 6 mm kept back.
    assert damper_bump_margin(INSTALLED, CLOSED, 0.080, ANGLE) * 1e3 == pytest.approx(11, abs=0.5)
    assert damper_bump_margin(INSTALLED, CLOSED, 0.080, ANGLE, 0.006) * 1e3 == pytest.approx(5, abs=0.5)


def test_how_far_the_stop_must_come_down() -> None:
    # A damper closing at 369 mm with 6 mm kept back, against 80 mm to metal: 25 mm.
    assert (0.080 - damper_bump_travel(INSTALLED, 0.3692, ANGLE, 0.006)) * 1e3 == pytest.approx(25, abs=0.6)


def test_margin_is_nought_where_the_travel_ends() -> None:
    travel = damper_bump_travel(0.492, 0.375, radians(20), 0.006)
    assert damper_bump_margin(0.492, 0.375, travel, radians(20), 0.006) == pytest.approx(0.0, abs=1e-12)


def test_upright_damper() -> None:
    assert damper_droop_travel(0.43, 0.545, 0.0) == pytest.approx(0.115)
    assert damper_bump_travel(0.43, 0.34, 0.0) == pytest.approx(0.090)


def test_a_damper_too_short_at_ride_is_told_by_its_sign() -> None:
    assert damper_droop_travel(0.43, 0.42, ANGLE) < 0
    assert damper_bump_travel(0.43, 0.44, ANGLE) < 0


def test_what_does_not_exist() -> None:
    with pytest.raises(NoSolution, match="drawn out"):
        damper_droop_travel(1.0, 0.3, radians(40))
    with pytest.raises(NoSolution, match="closed"):
        damper_bump_travel(1.0, 0.3, radians(40))
