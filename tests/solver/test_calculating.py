"""Formulas by themselves: texts with units in, a result with its source out."""

from __future__ import annotations

from pathlib import Path

import pytest

from knowledge.formulas import formulas
from shared.faults import BadInput
from shared.printing import show_within
from shared.ranges import Range
from shared.reading import read_quantity
from shared.units import System, to_system
from solver import demo_goal
from solver.calculating import calc, given_inputs, measure_of, subjects
from solver.formula_list import list_formulas
from solver.plotting import chart, is_picture


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


@pytest.mark.parametrize(
    ("units", "limits"), [("metric", "10.0 to 3000.0 kg"), ("us", "22.1 to 6613.8 lb")], ids=["metric", "us"]
)
def test_outside_the_valid_range(units: System, limits: str) -> None:
    """Told as it was given, against the range in the units that are asked for."""
    with pytest.raises(BadInput, match="valid") as caught:
        calc("ride_frequency", {"rate": "20 N/mm", "sprung_mass": "1 to 400 kg"}, units)
    [fault] = caught.value.faults
    assert fault.found == "sprung_mass: 1 to 400 kg"
    assert fault.expected == f"{limits}, for which ride_frequency is valid"


def test_an_input_that_is_missing_or_misspelled_is_told_by_what_it_is() -> None:
    with pytest.raises(BadInput) as caught:
        calc("ride_frequency", {"rte": "20 N/mm"})
    told = {f.found: (f.expected, f.mend) for f in caught.value.faults}
    assert told["ride_frequency has no input 'rte'"] == ("an input of it", "did you mean 'rate'?")
    assert told["no sprung_mass"][0] == "a mass: that the spring carries, per corner"


@pytest.mark.parametrize(
    ("words", "found"),
    [(["20", "N/mm", "rate=3"], "'20'"), (["rate=20 N/mm", "rate=21", "N/mm"], "rate a second time")],
)
def test_words_that_belong_to_no_input_or_to_one_that_was_given(words: list[str], found: str) -> None:
    with pytest.raises(BadInput) as caught:
        given_inputs(words)
    assert [f.found for f in caught.value.faults] == [found]


def test_every_formula_is_listed_once() -> None:
    listed = [f.name for members in subjects().values() for f in members]
    assert sorted(listed) == sorted(formulas())


def test_the_inputs_of_a_car_as_it_stands() -> None:
    """The trailer's spring by hand: 200 mm free, 2 kN on 20 N/mm leaves 100 mm; on 40 N/mm 150 mm."""
    goal = Path(__file__).parent.parent / "data" / "trailer" / "goal.yaml"
    document = calc("coil_length", {}, car=goal)
    assert document.result.lo == pytest.approx(0.100)
    assert all("(the car)" in i.given for i in document.inputs)
    assert calc("ride_height", {"rate": "40 N/mm"}, car=goal).result.lo == pytest.approx(0.150)
    with pytest.raises(BadInput, match="ride_height"):
        calc("ride_hight", {}, car=goal)


def test_a_formula_of_any_number_of_values() -> None:
    """Leaves of 6, 6 and 8 mm bend as three of ((216 + 216 + 512) / 3)^(1/3) = 6.80 mm."""
    document = calc("leaf_equivalent_thickness", {"thicknesses": "6 mm; 6 mm; 8 mm"})
    assert document.result.lo == pytest.approx(6.802e-3, abs=2e-6)


@pytest.mark.parametrize("units", ["metric", "us"])
def test_a_valid_range_as_it_is_printed_is_valid_as_it_is_typed(units: System) -> None:
    """Rounded outward, ``1.97 in`` would be offered where a formula ends at 50 mm; and hardly any of it is lost."""
    for formula in formulas().values():
        for argument in formula.arguments:
            low, high = formula.valid.get(argument.name, (0.0, 0.0))
            if low == high:
                continue
            text = show_within(Range(low, high), measure_of(argument), units)
            typed = read_quantity(text, measure_of(argument)).value
            assert low <= typed.lo and typed.hi <= high, (formula.name, argument.name, text)
            for end, told in ((low, typed.lo), (high, typed.hi)):
                stood, stands = (to_system(x, measure_of(argument), units) for x in (end, told))
                assert abs(stands - stood) <= max(abs(stood) / 99, 1.01e-6), (formula.name, argument.name, text)


def test_names_may_have_hyphens_spaces_or_capitals() -> None:
    plain = calc("ride_frequency", {"rate": "21 N/mm", "sprung_mass": "300 kg"})
    assert calc("Ride-Frequency", {"rate": "21 N/mm", "sprung-mass": "300 kg"}) == plain
    car = demo_goal("trail")
    assert calc("ride-frequency-front", {}, car=car) == calc("ride_frequency_front", {}, car=car)
    along = chart("ride_frequency", {"rate": "21 N/mm"}, "sprung_mass=200 kg to 400 kg")
    assert chart("ride-frequency", {"Rate": "21 N/mm"}, "sprung-mass=200 kg to 400 kg") == along
    assert is_picture("brake_balance") and chart("brake_balance", {}, car=car) == chart("brake-balance", {}, car=car)
    # A picture and a formula are called nearly alike: each is itself as it is written.
    assert is_picture("shackle-lift") and not is_picture("shackle_lift")
    assert list_formulas("propshaft-speeds") == list_formulas("propshaft speeds")


def test_an_input_spelt_in_two_ways_is_given_twice() -> None:
    with pytest.raises(BadInput) as caught:
        calc("ride_frequency", {"rate": "21 N/mm", "sprung_mass": "300 kg", "sprung-mass": "310 kg"})
    assert [f.found for f in caught.value.faults] == ["sprung_mass and sprung-mass"]
