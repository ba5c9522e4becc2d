"""Formulas by themselves: texts with units in, a result with its source out."""

from __future__ import annotations

import pytest

from knowledge.formulas import formulas
from shared.faults import BadInput
from solver.calculating import calc, subjects


def test_a_worked_example_from_a_handbook() -> None:
    """31 in tyre, 2500 rpm, 4.10 axle, direct gear: 56.2 mph by the gearing constant 336.135 = 63360/(60 pi)."""
    document = calc(
        "road_speed_at",
        {"engine_speed": "2500 rpm", "effective_radius": "15.5 in", "gear_ratio": "1.00", "axle_ratio": "4.10"},
        "us",
    )
    assert document.result.lo == pytest.approx(56.235 * 0.44704, rel=1e-4)
    assert "mph" in document.result.text
    assert document.source


def test_ranges_go_through() -> None:
    document = calc("ride_frequency", {"rate": "20 to 22 N/mm", "sprung_mass": "310 kg"})
    assert document.result.lo is not None and document.result.hi is not None
    assert document.result.lo < document.result.hi


def test_every_fault_at_once() -> None:
    with pytest.raises(BadInput) as caught:
        calc("ride_frequency", {"rate": "20", "mass": "310 kg"})
    assert {f.code for f in caught.value.faults} == {"bad-value", "missing-key", "unknown-formula"}


def test_outside_the_valid_range() -> None:
    with pytest.raises(BadInput, match="valid"):
        calc("ride_frequency", {"rate": "20 N/mm", "sprung_mass": "1 kg"})


def test_every_formula_is_listed_once() -> None:
    listed = [f.name for members in subjects().values() for f in members]
    assert sorted(listed) == sorted(formulas())
