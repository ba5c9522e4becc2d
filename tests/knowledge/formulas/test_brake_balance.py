"""Loads, adhesion and balance: limits and errors.  The reference car and the sweeps are in their own file."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowledge.formulas.adhesion import adhesion_used_front, adhesion_used_rear
from knowledge.formulas.axle_loads import STANDARD_GRAVITY
from knowledge.formulas.brake_balance import (
    adhesion_utilisation_margin,
    front_first_margin,
    rear_lock_deceleration,
)
from knowledge.formulas.brake_loads import front_axle_load, ideal_front_share, load_transfer, rear_axle_load
from shared.errors import NoSolution

CAR = {
    "mass": 1500.0,
    "front_share": 0.55,
    "cg_height": 0.65,
    "wheelbase": 2.56,
    "loaded_radius": 0.333,
    "front_torque": 2.5e-4,
    "rear_torque": 1e-4,
    "rear_threshold": 2.5e5,
    "split": 30e5,
    "slope": 0.4,
}


@given(z=st.floats(0.0, 1.0))
def test_both_axles_carry_the_car_and_brake_it(z: float) -> None:
    a, car = z * STANDARD_GRAVITY, (1500.0, 0.55, z * STANDARD_GRAVITY, 0.65, 2.56)
    front, rear = front_axle_load(*car), rear_axle_load(*car)
    assert front + rear == pytest.approx(1500 * STANDARD_GRAVITY)
    assert adhesion_used_front(a, **CAR) * front + adhesion_used_rear(a, **CAR) * rear == pytest.approx(1500 * a)


def test_a_car_without_height_transfers_nothing() -> None:
    assert load_transfer(1500.0, 6.43, 0.0, 2.56) == 0.0
    assert ideal_front_share(0.55, 0.8, 0.0, 2.56) == 0.55


def test_below_its_threshold_the_rear_uses_nothing() -> None:
    assert adhesion_used_rear(0.2, **CAR) == 0.0


def test_the_rear_lifts_off() -> None:
    tall = {**CAR, "cg_height": 1.5, "wheelbase": 1.5}
    with pytest.raises(NoSolution, match="lifts off"):
        adhesion_used_rear(6.0, **tall)
    with pytest.raises(NoSolution, match=r"lifts off at 0\.45 g"):
        front_first_margin(**tall)


def test_ideal_share_uses_the_road_to_the_full() -> None:
    """At z = 0.6 the axles carry 0.55 + 0.6 x 0.65/2.56 of the weight; brakes shared so use k = z on both."""
    share = ideal_front_share(0.55, 0.6, 0.65, 2.56)
    car = {**CAR, "front_torque": 4e-4 * share, "rear_torque": 4e-4 * (1 - share), "rear_threshold": 0.0, "slope": 1.0}
    a = 0.6 * STANDARD_GRAVITY
    assert adhesion_used_front(a, **car) == pytest.approx(0.6)
    assert adhesion_used_rear(a, **car) == pytest.approx(0.6)
    assert rear_lock_deceleration(**car) == pytest.approx(a)


def test_rear_only_brakes_lock_the_rear_from_the_start() -> None:
    car = {**CAR, "front_torque": 1e-6, "rear_torque": 4e-4, "rear_threshold": 0.0}
    assert rear_lock_deceleration(**car) == 0.0
    assert front_first_margin(**car) < 0


def test_front_only_brakes_never_lock_the_rear() -> None:
    with pytest.raises(NoSolution, match="front axle locks first"):
        rear_lock_deceleration(**{**CAR, "rear_torque": 0.0})


def test_no_brakes_no_balance() -> None:
    for formula in (front_first_margin, rear_lock_deceleration, adhesion_utilisation_margin):
        with pytest.raises(NoSolution, match="no torque"):
            formula(**{**CAR, "front_torque": 0.0, "rear_torque": 0.0})


def test_brakes_that_stop_growing() -> None:
    with pytest.raises(NoSolution, match="at most"):
        front_first_margin(**{**CAR, "front_torque": 0.0, "slope": 0.0})


def test_front_only_brakes_by_hand() -> None:
    """k_f = z / (f + e z), f = 0.55, e = 0.65/2.56: z - 0.7 k_f is level where (f + e z)2 = 0.7 f, at z = 0.27759."""
    load = (0.7 * 0.55) ** 0.5
    z = (load - 0.55) / (0.65 / 2.56)
    assert z == pytest.approx(0.27759, abs=1e-5)
    margin = z - (0.1 + 0.7 * (z / load - 0.2))
    assert adhesion_utilisation_margin(**{**CAR, "rear_torque": 0.0}) == pytest.approx(margin)
