"""Everything the driveline, linkage, hose, strength, fastener and reading formulas say of themselves is true."""

from __future__ import annotations

import inspect
from math import isfinite

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from knowledge.formulas import Formula, formulas
from shared.errors import FormulaError

SUBJECTS = {
    "arithmetic",
    "readings",
    "axle_torque",
    "bolted_joints",
    "driveline",
    "joint_angles",
    "fasteners",
    "hoses",
    "joint_motion",
    "joint_shake",
    "links",
    "caster",
    "measuring",
    "propshaft",
    "propshaft_speeds",
    "splines",
    "steering",
    "steering_box",
    "strength",
    "tapers",
    "tie_rods",
}
WORDS = {"differential": ["open", "limited", "locked"], "thread": ["unified", "metric"]}
OURS = [f for f in formulas().values() if f.subject in SUBJECTS]
FIXED = [f for f in OURS if f.names]
VARIADIC = [f for f in OURS if not f.names]


def directions(given_formulas: list[Formula]) -> list[tuple[Formula, str, int]]:
    return [
        (f, name, sign)
        for f in given_formulas
        for names, sign in ((f.rises, 1), (f.falls, -1))
        for name in sorted(names)
    ]


def label(value: object) -> str:
    return value.name if isinstance(value, Formula) else str(value)


def drawn(data: st.DataObject, f: Formula) -> dict[str, float | str]:
    values: dict[str, float | str] = {}
    for name in f.names:
        if name in f.valid:
            lo, hi = f.valid[name]
            values[name] = data.draw(st.floats(lo, hi), label=name)
        else:
            values[name] = data.draw(st.sampled_from(WORDS[name]), label=name)
    return values


def test_every_subject_is_there() -> None:
    assert {f.subject for f in OURS} == SUBJECTS


@pytest.mark.parametrize("f", OURS, ids=label)
def test_docstring_and_signature_agree(f: Formula) -> None:
    signature = list(inspect.signature(f.function).parameters)
    assert [a.name for a in f.arguments] == signature
    assert set(f.valid) == {a.name for a in f.arguments if a.measure != "word" and f.names}
    assert all(lo < hi for lo, hi in f.valid.values())
    assert f.rises | f.falls <= set(signature)
    assert not f.rises & f.falls
    for heading in ("summary", "parameters", "returns", "valid for", "references"):
        assert f.sections.get(heading), heading


@pytest.mark.parametrize("f", FIXED, ids=label)
@settings(max_examples=50, deadline=None)
@given(data=st.data())
def test_finite_or_refused(f: Formula, data: st.DataObject) -> None:
    values = drawn(data, f)
    try:
        result = f.function(**values)
    except FormulaError:
        return
    assert isfinite(result)


@pytest.mark.parametrize(("f", "name", "sign"), directions(FIXED), ids=label)
@settings(max_examples=30, deadline=None, suppress_health_check=[HealthCheck.filter_too_much])
@given(data=st.data())
def test_declared_directions_hold(f: Formula, name: str, sign: int, data: st.DataObject) -> None:
    values = drawn(data, f)
    lo, hi = f.valid[name]
    low, high = sorted((data.draw(st.floats(lo, hi)), data.draw(st.floats(lo, hi))))
    try:
        before = f.function(**{**values, name: low})
        after = f.function(**{**values, name: high})
    except FormulaError:
        assume(False)
    assert sign * (after - before) >= -(1e-12 + 1e-11 * max(abs(before), abs(after)))  # rounding is no turn


@pytest.mark.parametrize(("f", "name", "sign"), directions(VARIADIC), ids=label)
@settings(max_examples=50, deadline=None)
@given(values=st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=6), more=st.floats(0, 1e6), data=st.data())
def test_lists_rise_in_every_value(
    f: Formula, name: str, sign: int, values: list[float], more: float, data: st.DataObject
) -> None:
    place = data.draw(st.integers(0, len(values) - 1))
    raised = [v + more if i == place else v for i, v in enumerate(values)]
    assert sign * (f.function(*raised) - f.function(*values)) >= -1e-8
