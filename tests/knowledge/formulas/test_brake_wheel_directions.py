"""What the brake, hydraulic, tyre, wheel and gearing formulas say of themselves is true."""

from __future__ import annotations

import inspect
from math import isfinite

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from knowledge.formulas import Formula, formulas
from knowledge.formulas.braking import CIRCUITS
from knowledge.standards import speed_symbol_table, stopping_distance_table
from shared.errors import FormulaError

SUBJECTS = {
    "adhesion",
    "axle_ratios",
    "booster",
    "brake_balance",
    "brake_loads",
    "brake_volume",
    "brakes",
    "braking",
    "gearing",
    "hydraulics",
    "parking_brake",
    "pedal_braking",
    "speedometer",
    "stopping",
    "tyre_radii",
    "tyre_ratings",
    "tyres",
    "wheel_offset",
    "wheel_room",
    "wheels",
}
WORDS = {
    "code": ["235/75R15 105S", "LT235/85R16 120/116Q", "31x10.50R15LT 109Q", "P205/65R15"],
    "symbol": list(speed_symbol_table()),
    "service": ["P", "LT"],
    "hose": ["regular", "low"],
    "circuits": list(CIRCUITS),
    "state": ["booster_dead", *CIRCUITS],
    "rule": list(stopping_distance_table()),
}
OURS = [f for f in formulas().values() if f.subject in SUBJECTS]
DIRECTIONS = [(f, name, sign) for f in OURS for names, sign in ((f.rises, 1), (f.falls, -1)) for name in sorted(names)]


def label(value: object) -> str:
    return value.name if isinstance(value, Formula) else str(value)


def number(f: Formula, name: str) -> st.SearchStrategy[float]:
    lo, hi = f.valid[name]
    if any(a.name == name and a.measure == "count" for a in f.arguments):
        return st.integers(int(lo), int(hi)).map(float)
    return st.floats(lo, hi)


def drawn(data: st.DataObject, f: Formula) -> dict[str, float | str]:
    return {
        name: data.draw(number(f, name) if name in f.valid else st.sampled_from(WORDS[name]), label=name)
        for name in f.names
    }


def test_every_subject_is_there() -> None:
    assert {f.subject for f in OURS} == SUBJECTS


@pytest.mark.parametrize("f", OURS, ids=label)
def test_docstring_and_signature_agree(f: Formula) -> None:
    assert [a.name for a in f.arguments] == list(inspect.signature(f.function).parameters)
    assert set(f.valid) == {a.name for a in f.arguments if a.measure != "word"}
    assert all(lo < hi for lo, hi in f.valid.values())
    assert f.rises | f.falls <= set(f.valid)
    assert not f.rises & f.falls
    for heading in ("summary", "parameters", "returns", "valid for", "references"):
        assert f.sections.get(heading), heading


@pytest.mark.parametrize("f", OURS, ids=label)
@settings(max_examples=25, deadline=None)
@given(data=st.data())
def test_finite_or_refused(f: Formula, data: st.DataObject) -> None:
    values = drawn(data, f)
    try:
        result = f.function(**values)
    except FormulaError:
        return
    assert isfinite(result)


@pytest.mark.parametrize(("f", "name", "sign"), DIRECTIONS, ids=label)
@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.filter_too_much])
@given(data=st.data())
def test_declared_directions_hold(f: Formula, name: str, sign: int, data: st.DataObject) -> None:
    values = drawn(data, f)
    low, high = sorted((data.draw(number(f, name), label="one"), data.draw(number(f, name), label="other")))
    try:
        before = f.function(**{**values, name: low})
        after = f.function(**{**values, name: high})
    except FormulaError:
        assume(False)
    assert sign * (after - before) >= -(1e-12 + 1e-9 * max(abs(before), abs(after)))  # rounding is no turn


def test_a_pedal_lighter_for_a_steeper_valve_however_little_is_wanted() -> None:
    """Rounding at the bend where the rear sets in, behind the valve, once made a torque where there is none."""
    chain: dict[str, float | str] = {
        "deceleration": 2.8e-198,
        "pedal_ratio": 4.0,
        "pedal_efficiency": 0.9,
        "return_force": 50.0,
        "booster_gain": 1.0,
        "assist_max": 0.0,
        "master_bore": 0.022,
        "mass": 1500.0,
        "loaded_radius": 0.33,
        "front_torque": 2.4e-4,
        "rear_torque": 1e-4,
        "rear_threshold": 1.7538e6,
        "split": 1.11e6,
        "state": "front_lost",
    }
    force = formulas()["pedal_force_for_deceleration"].function
    forces = [force(**chain, slope=slope) for slope in (0.5, 0.57, 0.6, 1.0)]
    assert forces == sorted(forces, reverse=True)
