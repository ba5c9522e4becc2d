"""Room around the wheel: limits, the peak inside the sweep, and the reference car."""

from __future__ import annotations

from math import atan, cos, degrees, hypot, radians, sin

import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowledge.formulas.wheel_room import (
    arch_room_bump,
    arch_room_lock,
    tyre_lock_swing,
    tyre_room_to_leaf,
    wheel_room_over_caliper,
)

LOCK = radians(33)


@pytest.mark.parametrize(
    ("diameter", "section", "kingpin_offset", "room"),
    [
        (0.7035, 0.215, 0.105, 24),
        (0.7335, 0.235, 0.105, 6),
        (0.7335, 0.235, 0.095, 11),
        (0.7185, 0.225, 0.105, 15),
    ],
    ids=["stock", "235/75R15", "offset 30", "225/75R15"],
)
def test_reference_car_at_lock(diameter: float, section: float, kingpin_offset: float, room: float) -> None:
    swing = tyre_lock_swing(diameter / 2, kingpin_offset, section, LOCK)
    assert arch_room_lock(0.435, swing) * 1e3 == pytest.approx(room, abs=0.5)


def test_reference_car_peak_lies_before_full_lock() -> None:
    """Hand-worked: 31.2 deg with 235/75R15, where full lock is 33."""
    peak = atan((0.105 + 0.235 / 2) / (0.7335 / 2))
    assert degrees(peak) == pytest.approx(31.2, abs=0.05)
    assert tyre_lock_swing(0.7335 / 2, 0.105, 0.235, LOCK) == tyre_lock_swing(0.7335 / 2, 0.105, 0.235, peak + 1e-9)


@pytest.mark.parametrize(("lift", "diameter", "room"), [(0.0, 0.7035, 78), (0.0, 0.7335, 63), (0.075, 0.7335, 63)])
def test_reference_car_at_bump(lift: float, diameter: float, room: float) -> None:
    assert arch_room_bump(0.510 + lift, diameter / 2, 0.080 + lift) * 1e3 == pytest.approx(room, abs=0.5)


@given(radius=st.floats(0.25, 0.5), offset=st.floats(0.0, 0.3), section=st.floats(0.15, 0.4), lock=st.floats(0.0, 1.0))
def test_swing_is_the_greatest_of_the_sweep(radius: float, offset: float, section: float, lock: float) -> None:
    half = offset + section / 2
    reach = [radius * cos(lock * i / 500) + half * sin(lock * i / 500) for i in range(501)]
    swing = tyre_lock_swing(radius, offset, section, lock)
    assert swing >= max(reach) - 1e-12
    assert swing == pytest.approx(max(reach), abs=1e-5)


def test_swing_at_its_ends() -> None:
    assert tyre_lock_swing(0.35, 0.1, 0.2, 0.0) == 0.35
    assert tyre_lock_swing(0.35, 0.1, 0.2, 1.0) == pytest.approx(hypot(0.35, 0.2))


def test_touching_is_nothing_left() -> None:
    assert wheel_room_over_caliper(0.17, 0.17) == 0.0
    assert arch_room_lock(0.4, 0.41) < 0


def test_leaf_beside_the_tyre() -> None:
    """By hand on the reference car: 1430/2 - 215/2 - (1020 + 60)/2 = 67.5 mm."""
    assert tyre_room_to_leaf(1.430, 0.215, 1.020, 0.060) == pytest.approx(0.0675)
