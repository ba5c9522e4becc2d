"""Brake hoses: limit cases, and the reference car at every lift it gives a figure for."""

from __future__ import annotations

from math import pi, radians

import pytest

from knowledge.formulas.hoses import hose_bend_length, hose_length_needed, hose_slack, hose_spare, hose_straight_length

LOCK = radians(33)
# Bracket 130 mm inboard and 198.7 mm above the kingpin, caliper end 74.5 mm outboard of it; rear 112.3 by 151.5 mm.
# The reference car gives hose lengths only: these points are fitted to two of them, the others then follow.
FRONT = (0.0, -0.13, 0.1987, 0.0, 0.0745, 0.0)
REAR = (0.1123, 0.0, 0.1515, 0.0, 0.0, 0.0)


@pytest.mark.parametrize(("lift", "path"), [(0.0, 362), (0.037, 393), (0.057, 410)])
def test_reference_front_path_with_100_mm_droop(lift: float, path: float) -> None:
    assert round(1e3 * hose_length_needed(*FRONT, 0.1, lift, 0.0, LOCK)) == path


def test_reference_rear_path_with_105_mm_droop() -> None:
    assert round(1e3 * hose_length_needed(*REAR, 0.105, 0.0, 0.0)) == 280


@pytest.mark.parametrize(
    ("points", "free", "droop", "lift", "lock", "spare"),
    [
        (FRONT, 0.42, 0.1, 0.057, LOCK, -5),
        (FRONT, 0.42, 0.1, 0.075, LOCK, -21),
        (REAR, 0.34, 0.105, 0.075, 0.0, -25),
    ],
)
def test_reference_spare_when_lifted(
    points: tuple[float, ...], free: float, droop: float, lift: float, lock: float, spare: float
) -> None:
    needed = hose_length_needed(*points, droop, lift, 0.015, lock)
    assert round(1e3 * hose_spare(free, needed)) == spare


def test_worst_steer_may_be_inside_the_lock() -> None:
    # Furthest with the end straight away from the bracket, straight ahead: more lock adds nothing.
    assert hose_length_needed(*FRONT, 0.0, 0.0, 0.0, 0.2) == hose_length_needed(*FRONT, 0.0, 0.0, 0.0, LOCK)
    # With the end beside the bracket the two locks differ and the ends of the sweep decide.
    beside = (0.05, -0.1, 0.2, 0.06, 0.02, 0.0)
    assert hose_length_needed(*beside, 0.0, 0.0, 0.0, LOCK) > hose_length_needed(*beside, 0.0, 0.0, 0.0, 0.2)


def test_end_on_the_kingpin_does_not_care_for_lock() -> None:
    on_axis = (0.1, -0.1, 0.2, 0.0, 0.0, 0.0)
    straight = hose_straight_length(0.1, 0.1, 0.2)
    assert hose_length_needed(*on_axis, 0.0, 0.0, 0.0, LOCK, 0.15, 0.1) == pytest.approx(straight, rel=1e-12)


def test_bracket_and_end_in_one_place() -> None:
    assert hose_length_needed(0.05, 0.0, 0.0, 0.05, 0.0, 0.0, 0.0, 0.0, 0.015) == pytest.approx(0.015)


def test_slack_and_bends() -> None:
    assert hose_slack(0.3, 0.32) == pytest.approx(-0.02)
    assert hose_bend_length(0.1, pi / 2) == pytest.approx(0.15708, abs=1e-5)
    assert hose_bend_length(0.1, 0.0) == 0.0
