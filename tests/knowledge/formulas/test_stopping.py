"""Stopping and parking: inverses, limits and errors."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowledge.formulas.parking_brake import parking_torque_at_force, parking_torque_needed
from knowledge.formulas.stopping import (
    braking_rate,
    deceleration_of_rate,
    deceleration_to_stop_in,
    mean_fully_developed_deceleration,
    regulation_deceleration,
    regulation_stopping_distance,
    stopping_distance,
)
from shared.errors import FormulaError, NoSolution


@given(speed=st.floats(1, 60), deceleration=st.floats(0.5, 10))
def test_distance_and_deceleration_are_inverse(speed: float, deceleration: float) -> None:
    distance = stopping_distance(speed, deceleration)
    assert deceleration_to_stop_in(speed, distance) == pytest.approx(deceleration)
    assert mean_fully_developed_deceleration(speed, 0.0, distance) == pytest.approx(deceleration)


def test_standing_still_takes_no_way() -> None:
    assert stopping_distance(0.0, 5.0) == 0.0
    assert regulation_stopping_distance(0.0, "m1_service") == 0.0


def test_speeds_the_wrong_way_round() -> None:
    with pytest.raises(NoSolution, match="does not pass"):
        mean_fully_developed_deceleration(5.0, 20.0, 30.0)


def test_unknown_rule() -> None:
    with pytest.raises(FormulaError, match="rule is one of m1_service"):
        regulation_stopping_distance(27.8, "m1")
    with pytest.raises(FormulaError, match="rule is one of"):
        regulation_deceleration("m1")


@given(z=st.floats(0, 1))
def test_rate_and_deceleration_are_inverse(z: float) -> None:
    assert braking_rate(deceleration_of_rate(z)) == pytest.approx(z)


def test_parking() -> None:
    assert parking_torque_needed(1900.0, 0.0, 0.333, 2) == 0.0
    assert parking_torque_needed(1900.0, 0.2, 0.333, 4) == pytest.approx(
        parking_torque_needed(1900.0, 0.2, 0.333, 2) / 2
    )
    # by hand: 400 N x 25 x 0.7 / 2 = 3500 N at the shoes, x 2.3 x 0.127 m
    assert parking_torque_at_force(400.0, 25.0, 0.7, 2.3, 0.127) == pytest.approx(1022.35)
