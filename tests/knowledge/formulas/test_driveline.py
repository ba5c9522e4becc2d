"""Shaft and joint angles: limit cases, refusals, and the reference car."""

from __future__ import annotations

from math import atan, degrees, pi, radians

import pytest

from knowledge.formulas.driveline import plan_angle, shaft_drop_lifted, shaft_slope, shaft_slope_level, transfer_tilt
from knowledge.formulas.joint_angles import (
    bind_margin,
    joint_angle_output,
    joint_angle_pinion,
    pinion_inclination_turned,
    working_angle,
)
from shared.errors import NoSolution


def deg(angle: float) -> float:
    return round(degrees(angle), 2)


class TestReferenceCar:
    """Hand-computed figures of the reference car: rear shaft 780 mm with 60 mm drop, both ends at 2 deg."""

    def test_rear_joints_are_alike(self) -> None:
        slope = shaft_slope(0.78, 0.06)
        assert deg(joint_angle_output(slope, radians(2))) == 2.41
        assert deg(joint_angle_pinion(slope, radians(2))) == 2.41

    def test_rear_joints_lifted_75_mm(self) -> None:
        slope = shaft_slope(0.78, shaft_drop_lifted(0.06, 0.075))
        assert deg(joint_angle_pinion(slope, radians(2))) == 7.97

    def test_front_shaft_leaves_an_output_that_points_up(self) -> None:
        slope = shaft_slope(0.775, 0.09)
        assert deg(joint_angle_output(slope, radians(-3))) == 9.67
        assert deg(joint_angle_pinion(slope, radians(6))) == 0.67

    def test_transfer_lowered_25_mm_on_mounts_600_mm_ahead(self) -> None:
        tilt = transfer_tilt(0.025, 0.6)
        slope = shaft_slope(0.78, shaft_drop_lifted(0.06, 0.075, transfer_drop=0.025))
        assert deg(joint_angle_output(slope, radians(2) + tilt)) == 3.72
        assert deg(joint_angle_pinion(slope, radians(2))) == 6.11
        assert deg(joint_angle_pinion(slope, pinion_inclination_turned(radians(2), 0.0, radians(2.4)))) == 3.71

    def test_turned_pinion_and_lifted_59_mm(self) -> None:
        slope = shaft_slope(0.78, shaft_drop_lifted(0.06, 0.059))
        turned = pinion_inclination_turned(radians(2), radians(2.4))
        assert round(degrees(joint_angle_output(slope, radians(2))), 1) == 6.8
        assert round(degrees(joint_angle_pinion(slope, turned)), 1) == 4.4

    def test_offset_of_10_mm_in_plan(self) -> None:
        assert degrees(plan_angle(0.77, 0.01)) == pytest.approx(0.75, abs=0.01)


def test_level_shaft_in_line_has_no_angle() -> None:
    assert shaft_slope(0.8, 0.0) == 0.0
    assert joint_angle_output(0.0, 0.0) == 0.0
    assert working_angle(0.0, 0.0) == 0.0


def test_upright_shaft() -> None:
    assert shaft_slope(0.5, 0.5) == pytest.approx(pi / 2)


def test_shaft_too_short() -> None:
    with pytest.raises(NoSolution, match=r"300\.0 mm cannot span a drop of 400\.0 mm"):
        shaft_slope(0.3, 0.4)
    with pytest.raises(NoSolution, match=r"300\.0 mm cannot reach 400\.0 mm sideways"):
        plan_angle(0.3, 0.4)


def test_pinion_turned_up_raises_its_joint() -> None:
    # A 250 mm arm from level turned nose up by 90 deg carries the joint up by its whole length.
    assert shaft_drop_lifted(0.3, 0.0, 0.0, 0.25, 0.0, pi / 2) == pytest.approx(0.05)
    assert shaft_drop_lifted(0.1, 0.05, 0.02, 0.25, 0.1, 0.0) == pytest.approx(0.13)


def test_one_view_alone_is_the_working_angle() -> None:
    assert working_angle(-0.2, 0.0) == pytest.approx(0.2, rel=1e-12)
    assert working_angle(0.0, 0.2) == pytest.approx(0.2, rel=1e-12)


def test_tiny_working_angles_keep_their_digits() -> None:
    assert working_angle(3e-9, 4e-9) == pytest.approx(5e-9, rel=1e-9)


def test_slope_by_level_distance() -> None:
    assert shaft_slope_level(0.5, 0.5) == pytest.approx(pi / 4)
    assert shaft_slope_level(0.77, -0.02) == pytest.approx(-atan(2 / 77))


def test_bind_margin() -> None:
    assert bind_margin(0.5, 0.4, 0.05) == pytest.approx(0.05)
    assert bind_margin(0.4, 0.4, 0.05) < 0
