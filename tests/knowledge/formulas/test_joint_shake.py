"""Shake of joint angles: limit cases, and the reference car at 100 km/h."""

from __future__ import annotations

from math import asin, degrees, radians, tau

import pytest

from knowledge.formulas.joint_shake import (
    allowed_joint_angle,
    inertia_acceleration,
    joint_angle_limit,
    residual_compound_angle,
    residual_joint_angle,
    torsional_acceleration,
)
from knowledge.formulas.propshaft_speeds import propshaft_speed

RPM = tau / 60
STOCK = propshaft_speed(100 / 3.6, 0.3415, 3.73)
SLOPE = asin(60 / 780)


class TestReferenceCar:
    """Effective radius 341.5 mm, ratio 3.73; with 733.5 mm tyres the radius is 3.05 D / 2 pi."""

    def test_stock_rear_shaft(self) -> None:
        angle = SLOPE - radians(2)
        assert round(inertia_acceleration(angle, STOCK)) == 163
        assert torsional_acceleration(angle, angle, STOCK) == 0.0

    def test_transfer_lowered_alone(self) -> None:
        shake = torsional_acceleration(radians(3.72), radians(6.11), STOCK)
        assert shake == pytest.approx(658, abs=2)  # the angles are printed to 0.01 deg

    def test_uncancelled_joint_with_big_tyres(self) -> None:
        big = propshaft_speed(100 / 3.6, 3.05 * 0.7335 / tau, 3.73)
        assert big / RPM == pytest.approx(2780, abs=5)
        assert round(degrees(joint_angle_limit(big, 400.0)), 1) == 3.9
        assert inertia_acceleration(radians(5.0), big) == pytest.approx(644, abs=4)


def test_shaft_at_rest_does_not_shake() -> None:
    assert torsional_acceleration(0.1, 0.05, 0.0) == 0.0
    assert inertia_acceleration(0.1, 0.0) == 0.0


def test_either_end_may_have_the_larger_angle() -> None:
    assert torsional_acceleration(0.1, 0.05, 300) == torsional_acceleration(0.05, 0.1, 300)
    assert residual_joint_angle(0.05, 0.1) == residual_joint_angle(0.1, 0.05)


def test_residual_of_a_double_joint_and_a_single_one() -> None:
    assert residual_joint_angle(0.0, 0.06) == pytest.approx(0.06)


def test_parallel_offset_in_plan_cancels() -> None:
    assert residual_compound_angle(0.05, 0.02, 0.05, 0.02) == 0.0
    assert residual_compound_angle(0.05, 0.02, -0.05, -0.02) == 0.0
    # Bent the other way in one view only, equal angles no longer cancel.
    assert residual_compound_angle(0.05, 0.02, 0.05, -0.02) > 0.05


def test_allowed_angle_with_the_other_end_straight() -> None:
    assert allowed_joint_angle(0.0, 250.0, 400.0) == pytest.approx(joint_angle_limit(250.0, 400.0))
