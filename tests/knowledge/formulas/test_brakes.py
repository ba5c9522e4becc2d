"""Foundation brakes, and from line pressure to deceleration and back: limits, errors and inverses."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import brentq

from knowledge.formulas.brakes import (
    brake_force,
    disc_torque_per_pressure,
    drum_torque_per_pressure,
    wheel_brake_torque,
)
from knowledge.formulas.braking import CIRCUITS, deceleration_at_pressure, line_pressure_for_deceleration
from knowledge.formulas.pedal_braking import deceleration_at_pedal_force, pedal_force_for_deceleration
from shared.errors import FormulaError, NoSolution

BRAKES = {
    "mass": st.floats(900.0, 2600.0),
    "loaded_radius": st.floats(0.28, 0.42),
    "front_torque": st.floats(5e-5, 6e-4),
    "rear_torque": st.floats(2e-5, 3e-4),
    "rear_threshold": st.floats(0.0, 6e5),
    "split": st.floats(0.0, 8e6),
    "slope": st.floats(0.0, 1.0),
}
PEDAL = {
    "pedal_ratio": st.floats(3.0, 7.0),
    "pedal_efficiency": st.floats(0.7, 1.0),
    "return_force": st.floats(0.0, 100.0),
    "booster_gain": st.floats(1.0, 8.0),
    "assist_max": st.floats(0.0, 5e3),
    "master_bore": st.floats(0.018, 0.032),
}
CAR = {
    "mass": 1500.0,
    "loaded_radius": 0.333,
    "front_torque": 2.5e-4,
    "rear_torque": 1e-4,
    "rear_threshold": 2.5e5,
    "split": 30e5,
    "slope": 0.4,
}


@given(wanted=st.floats(0.05, 9.0), car=st.fixed_dictionaries(BRAKES), circuits=st.sampled_from(list(CIRCUITS)))
def test_line_pressure_inverts_by_root_finding(wanted: float, car: dict[str, float], circuits: str) -> None:
    """Another method: scipy's bracketing root finder on the forward formula."""
    assume(deceleration_at_pressure(90e6, **car, circuits=circuits) > wanted)
    found = brentq(
        lambda p: deceleration_at_pressure(p, **car, circuits=circuits) - wanted, 0.0, 90e6, xtol=1e-6, rtol=1e-14
    )
    assert line_pressure_for_deceleration(wanted, **car, circuits=circuits) == pytest.approx(found, rel=1e-6, abs=1e-3)


@given(
    wanted=st.floats(0.5, 9.0),
    chain=st.fixed_dictionaries(PEDAL | BRAKES),
    state=st.sampled_from(["booster_dead", *CIRCUITS]),
)
def test_pedal_and_deceleration_are_inverse(wanted: float, chain: dict[str, float], state: str) -> None:
    try:
        force = pedal_force_for_deceleration(wanted, **chain, state=state)
    except NoSolution:
        assume(False)
    assert deceleration_at_pedal_force(force, **chain, state=state) == pytest.approx(wanted, rel=1e-6)


def test_threshold() -> None:
    assert wheel_brake_torque(2e5, 1e-4, 2.5e5) == 0.0
    assert wheel_brake_torque(3.5e5, 1e-4, 2.5e5) == pytest.approx(10.0)
    assert brake_force(333.0, 0.333) == pytest.approx(1000.0)


def test_torque_goes_with_the_square_of_the_bore() -> None:
    assert disc_torque_per_pressure(0.06, 1, 0.4, 0.1) == pytest.approx(4 * disc_torque_per_pressure(0.03, 1, 0.4, 0.1))
    assert drum_torque_per_pressure(0.02, 2.0, 0.1) == pytest.approx(4 * drum_torque_per_pressure(0.01, 2.0, 0.1))


def test_rolling_takes_no_pressure() -> None:
    for circuits in CIRCUITS:
        assert line_pressure_for_deceleration(0.0, **CAR, circuits=circuits) == 0.0


@pytest.mark.parametrize(
    ("rear_threshold", "split", "slope"), [(1.7538e6, 1.11e6, 0.57), (3.6425e6, 2.35e6, 0.57), (1.5e6, 2e6, 0.4)]
)
def test_with_the_front_lost_nothing_is_had_below_the_rear_s_threshold(
    rear_threshold: float, split: float, slope: float
) -> None:
    """However little is wanted, the rear has to set in first; at the bend itself rounding makes no torque."""
    behind_the_valve = {**CAR, "rear_threshold": rear_threshold, "split": split, "slope": slope}
    sets_in = rear_threshold if rear_threshold <= split else split + (rear_threshold - split) / slope
    for wanted in (2.8e-198, 1e-30, 1e-12):
        found = line_pressure_for_deceleration(wanted, **behind_the_valve, circuits="front_lost")
        assert found == pytest.approx(sets_in, rel=1e-9)


def test_rear_alone_behind_a_closed_valve_gives_out() -> None:
    with pytest.raises(NoSolution, match="would take more than 100 MPa"):
        line_pressure_for_deceleration(6.43, **{**CAR, "slope": 0.0}, circuits="front_lost")
    assert line_pressure_for_deceleration(2.0, **{**CAR, "slope": 0.0}, circuits="front_lost_bypass") > 30e5


def test_unknown_circuits() -> None:
    with pytest.raises(FormulaError, match="circuits is one of whole, front_lost"):
        deceleration_at_pressure(50e5, **CAR, circuits="left_lost")
    with pytest.raises(FormulaError, match="circuits is one of"):
        line_pressure_for_deceleration(5.0, **CAR, circuits="left_lost")
