"""Cross joints: limit cases, and the reference car's ripple."""

from __future__ import annotations

from math import degrees, pi, radians

import pytest

from knowledge.formulas.joint_motion import (
    angle_for_unevenness,
    double_joint_half_angle,
    joint_speed_ratio,
    ripple_share,
    turn_error,
    two_joint_speed_ratio,
    unevenness,
)


@pytest.mark.parametrize(("angle", "per_cent"), [(3, 0.14), (6, 0.55), (8, 0.98)])
def test_ripple_of_one_joint(angle: float, per_cent: float) -> None:
    # Hand-computed: half of sin(a) tan(a).
    assert round(100 * ripple_share(radians(angle)), 2) == per_cent


def test_straight_joint_turns_evenly() -> None:
    assert joint_speed_ratio(0.0, 0.7) == 1.0
    assert unevenness(0.0) == ripple_share(0.0) == turn_error(0.0) == 0.0


def test_one_of_two_joints_straight_leaves_the_other_alone() -> None:
    for turn in (0.0, 0.5, 1.5, 3.0):
        assert two_joint_speed_ratio(0.2, 0.0, turn) == pytest.approx(joint_speed_ratio(0.2, turn), rel=1e-14)


def test_ratio_comes_back_after_half_a_turn() -> None:
    assert joint_speed_ratio(0.3, 0.4) == pytest.approx(joint_speed_ratio(0.3, 0.4 + pi), rel=1e-12)


def test_unevenness_and_its_inverse() -> None:
    for angle in (0.01, 0.1, 0.4):
        assert angle_for_unevenness(unevenness(angle)) == pytest.approx(angle, rel=1e-9)


def test_double_joint_halves() -> None:
    assert degrees(double_joint_half_angle(radians(9.67))) == pytest.approx(4.835)
