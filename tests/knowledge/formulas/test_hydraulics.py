"""Pedal, valve and master cylinder: limits and inverses."""

from __future__ import annotations

from math import inf, isinf

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from knowledge.formulas.booster import (
    booster_assist_max,
    booster_dead_pressure,
    booster_knee_force,
    booster_knee_pressure,
)
from knowledge.formulas.hydraulics import (
    master_pressure_ratio,
    pedal_force_to_pressure,
    pressure_to_pedal_force,
    valve_front_pressure,
    valve_rear_pressure,
)

RIG = {
    "pedal_ratio": st.floats(2.0, 9.0),
    "pedal_efficiency": st.floats(0.5, 1.0),
    "return_force": st.floats(0.0, 150.0),
    "booster_gain": st.floats(1.0, 10.0),
    "assist_max": st.floats(0.0, 10e3),
    "master_bore": st.floats(0.012, 0.045),
}


@given(pressure=st.floats(1e3, 30e6), rig=st.fixed_dictionaries(RIG))
def test_pedal_force_inverts_by_root_finding(pressure: float, rig: dict[str, float]) -> None:
    """Another method: scipy's bracketing root finder on the forward formula."""
    found = brentq(lambda force: pedal_force_to_pressure(force, **rig) - pressure, 0.0, 1e6, xtol=1e-9, rtol=1e-12)
    assert pressure_to_pedal_force(pressure, **rig) == pytest.approx(found, rel=1e-6, abs=1e-6)


def test_return_springs_take_the_first_force() -> None:
    rig = (4.0, 0.92, 40.0, 4.5, 2385.0, 0.0238)
    assert pedal_force_to_pressure(10.0, *rig) == 0.0
    assert pressure_to_pedal_force(0.0, *rig) == pytest.approx(40 / 4.0 / 0.92)


def test_beyond_the_knee_only_the_foot_adds() -> None:
    rig = {"pedal_ratio": 4.0, "pedal_efficiency": 1.0, "return_force": 0.0}
    boosted = [
        pedal_force_to_pressure(f, **rig, booster_gain=4.0, assist_max=1200.0, master_bore=0.02) for f in (300, 400)
    ]
    plain = [booster_dead_pressure(f, **rig, master_bore=0.02) for f in (300, 400)]
    assert boosted[1] - boosted[0] == pytest.approx(plain[1] - plain[0])


def test_knee_is_where_both_laws_meet() -> None:
    assist = booster_assist_max(0.216, 70e3, 0.93)
    force = booster_knee_force(assist, 4.5, 4.0, 0.92, 40.0)
    knee = booster_knee_pressure(assist, 4.5, 0.0238)
    assert pedal_force_to_pressure(force, 4.0, 0.92, 40.0, 4.5, assist, 0.0238) == pytest.approx(knee)
    assert pedal_force_to_pressure(force, 4.0, 0.92, 40.0, 4.5, 1e9, 0.0238) == pytest.approx(knee)


def test_tandem_booster_adds_its_second_diaphragm() -> None:
    assert booster_assist_max(0.2, 70e3, 0.9, 0.2) == pytest.approx(2 * booster_assist_max(0.2, 70e3, 0.9))
    assert booster_assist_max(0.2, 0.0, 0.9) == 0.0


def test_valve() -> None:
    assert valve_rear_pressure(20e5, 30e5, 0.4) == 20e5
    assert valve_rear_pressure(50e5, 30e5, 0.4) == pytest.approx(38e5)
    assert valve_rear_pressure(50e5, 30e5, 0.0) == 30e5
    assert valve_rear_pressure(50e5, 30e5, 1.0) == pytest.approx(50e5)


@given(front=st.floats(0, 30e6), split=st.floats(0, 10e6), slope=st.floats(0.05, 1.0))
def test_valve_backwards(front: float, split: float, slope: float) -> None:
    assert valve_front_pressure(valve_rear_pressure(front, split, slope), split, slope) == pytest.approx(front, abs=1)


def test_a_closed_valve_lets_nothing_more_through() -> None:
    assert isinf(valve_front_pressure(31e5, 30e5, 0.0))
    assert valve_front_pressure(31e5, 30e5, 0.0) == inf


def test_same_bore_same_pressure() -> None:
    assert master_pressure_ratio(0.0238, 0.0238) == 1.0
