"""Steering linkage: limit cases, refusals, and the reference car."""

from __future__ import annotations

from math import degrees, radians

import pytest

from knowledge.formulas.steering import (
    ackermann_outer_angle,
    bump_steer_per_travel,
    drag_link_angle,
    drag_link_steer,
    link_angle_mismatch,
    track_bar_angle,
    track_bar_axle_shift,
)
from shared.errors import NoSolution

DRAG, BAR, ARM, STOCK = 0.89, 0.87, 0.15, radians(4)


def bump_steer(drag_angle: float, bar_angle: float) -> float:
    return degrees(bump_steer_per_travel(DRAG, drag_angle, BAR, bar_angle, ARM, 0.05))


class TestReferenceCar:
    """Drag link 890 mm, track bar 870 mm, both at 4 deg, arm 150 mm; steer per 50 mm of bump."""

    def test_stock_links_are_parallel(self) -> None:
        assert round(bump_steer(STOCK, STOCK), 2) == 0.01

    def test_mismatch_of_0_66_deg(self) -> None:
        assert round(bump_steer(STOCK, STOCK + radians(0.66)), 2) == 0.21

    def test_dropped_arm_alone_at_40_mm(self) -> None:
        drag, bar = drag_link_angle(DRAG, STOCK, 0.04, 0.038), track_bar_angle(BAR, STOCK, 0.04)
        assert (round(degrees(drag), 1), round(degrees(bar), 1)) == (4.1, 6.6)
        assert round(bump_steer(drag, bar), 2) == 0.83

    def test_dropped_arm_alone_at_75_mm(self) -> None:
        drag, bar = drag_link_angle(DRAG, STOCK, 0.075, 0.038), track_bar_angle(BAR, STOCK, 0.075)
        assert round(bump_steer(drag, bar), 2) == 0.85

    def test_flat_arm_at_40_mm(self) -> None:
        assert round(bump_steer(drag_link_angle(DRAG, STOCK, 0.04), track_bar_angle(BAR, STOCK, 0.04)), 2) == 0.01

    def test_axle_goes_5_9_mm_to_one_side_at_57_mm(self) -> None:
        assert round(1e3 * track_bar_axle_shift(BAR, STOCK, 0.057), 1) == 5.9


def test_no_lift_no_change() -> None:
    assert drag_link_angle(DRAG, STOCK, 0.0) == pytest.approx(STOCK)
    assert track_bar_axle_shift(BAR, STOCK, 0.0) == pytest.approx(0.0, abs=1e-15)
    assert drag_link_steer(DRAG, STOCK, 0.0, ARM) == pytest.approx(0.0, abs=1e-15)
    assert bump_steer_per_travel(DRAG, STOCK, BAR, STOCK, ARM, 0.0) == pytest.approx(0.0, abs=1e-15)


def test_a_drop_as_large_as_the_lift_gives_the_angle_back() -> None:
    assert drag_link_angle(DRAG, STOCK, 0.06, 0.06) == pytest.approx(STOCK)
    assert track_bar_angle(BAR, STOCK, 0.06, 0.06) == pytest.approx(STOCK)
    assert track_bar_axle_shift(BAR, STOCK, 0.06, 0.06) == pytest.approx(0.0, abs=1e-15)


def test_equal_parallel_links_never_steer() -> None:
    for travel in (-0.1, 0.02, 0.1):
        assert bump_steer_per_travel(0.9, 0.1, 0.9, 0.1, ARM, travel) == 0.0


def test_axle_shift_turns_where_the_bar_lies_level() -> None:
    # From a bar that leans down to one that leans up as much: no shift, but one on the way.
    assert track_bar_axle_shift(0.9, -0.05, 0.9 * 2 * 0.04997916927) == pytest.approx(0.0, abs=1e-9)
    assert track_bar_axle_shift(0.9, -0.05, 0.9 * 0.04997916927) < 0


def test_mismatch_has_no_sign() -> None:
    assert link_angle_mismatch(0.1, 0.08) == link_angle_mismatch(0.08, 0.1) == pytest.approx(0.02)


def test_link_too_short() -> None:
    with pytest.raises(NoSolution, match=r"link of 300\.0 mm cannot span a height of 400\.0 mm"):
        drag_link_angle(0.3, 0.0, 0.4)


def test_straight_ahead_both_wheels_are_straight() -> None:
    assert ackermann_outer_angle(0.0, 1.3, 2.5) == 0.0


def test_outer_wheel_turns_less() -> None:
    assert 0 < ackermann_outer_angle(0.5, 1.3, 2.5) < 0.5
