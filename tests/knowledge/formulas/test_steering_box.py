"""Steering box: limit cases, refusals, and the reference car."""

from __future__ import annotations

from math import degrees, pi, radians

import pytest

from knowledge.formulas.steering_box import (
    box_sweep_margin,
    overall_steering_ratio,
    sector_sweep_needed,
    steering_box_ratio,
    steering_link_force,
)
from shared.errors import NoSolution


def test_reference_car_link_force() -> None:
    # 1 800 N m on a 150 mm pitman arm.
    assert steering_link_force(1800, 0.15) == pytest.approx(12000)


def test_box_that_sweeps_78_where_80_are_needed() -> None:
    # 5 deg in hand at each end: 12 deg short.
    assert degrees(box_sweep_margin(radians(78), radians(80), radians(5))) == pytest.approx(-12)


def test_equal_arms_sweep_as_the_knuckle_does() -> None:
    assert sector_sweep_needed(0.15, 0.15, 0.5, 0.6) == pytest.approx(1.1)


def test_shorter_pitman_sweeps_further() -> None:
    assert sector_sweep_needed(0.15, 0.13, 0.5, 0.5) > 1.0


def test_pitman_too_short_for_the_lock() -> None:
    with pytest.raises(NoSolution, match="pitman arm of 80 mm cannot turn a steering arm of 150 mm"):
        sector_sweep_needed(0.15, 0.08, 0.6, 0.6)


def test_ratio_from_turns() -> None:
    # Three and a half turns over 90 deg: 14 to 1.
    assert steering_box_ratio(3.5, pi / 2) == pytest.approx(14)
    assert overall_steering_ratio(14, 0.15, 0.15) == pytest.approx(14)
    assert overall_steering_ratio(14, 0.18, 0.15) == pytest.approx(16.8)
