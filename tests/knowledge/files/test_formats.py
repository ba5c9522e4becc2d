"""A file of another kind than is wanted: what it is, and where the wanted one lies."""

from __future__ import annotations

from pathlib import Path

import pytest

from knowledge.files.formats import beside
from knowledge.garage import read_goal
from shared.faults import BadInput, Fault
from solver import check, new


@pytest.fixture
def car(tmp_path: Path) -> Path:
    new(tmp_path / "car")
    return tmp_path / "car"


def fault_of(file: Path) -> Fault:
    with pytest.raises(BadInput) as caught:
        read_goal(file)
    [fault] = caught.value.faults
    return fault


@pytest.mark.parametrize(
    ("given", "is_"),
    [("vehicle.yaml", "the car's file"), ("catalogue/parts.yaml", "a catalogue of parts")],
)
def test_what_is_no_goal_is_called_by_its_name_and_the_goal_beside_it_is_named(car: Path, given: str, is_: str) -> None:
    fault = fault_of(car / given)
    assert fault.found.startswith(f"{is_} (format ") and fault.expected == "a goal (format: swapwright goal)"
    assert fault.mend == f"a goal lies beside it: {car / 'goal.yaml'}"


def test_a_list_of_cars_is_no_goal_either(car: Path) -> None:
    assert fault_of(car / "cars.csv").mend == f"a goal lies beside it: {car / 'goal.yaml'}"


def test_a_goal_where_the_car_s_file_is_wanted(car: Path) -> None:
    goal = car / "goal.yaml"
    text = goal.read_text("utf-8")
    assert "\nvehicle: vehicle.yaml\n" in text
    goal.write_text(text.replace("\nvehicle: vehicle.yaml\n", "\nvehicle: goal.yaml\n"), "utf-8")
    fault = fault_of(goal)
    assert fault.found.startswith("a goal (format ")
    assert fault.expected == "the car's file (format: swapwright vehicle)"
    assert fault.mend == f"the car's file lies beside it: {car / 'vehicle.yaml'}"


def test_where_none_or_very_many_lie_beside_nothing_is_named(tmp_path: Path) -> None:
    assert beside(tmp_path / "a" / "x.yaml", "swapwright goal") == ""
    for i in range(7):
        (tmp_path / f"goal-{i}.yaml").write_text("format: swapwright goal\n", "utf-8")
    assert beside(tmp_path / "x.yaml", "swapwright goal") == ""


def test_a_file_named_in_several_ways_is_told_once(car: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(car)
    paths = [Path("vehicle.yaml"), car / "vehicle.yaml", Path("../car/vehicle.yaml")]
    with pytest.raises(BadInput) as caught:
        check(paths)
    assert len(caught.value.faults) == 1
    assert check([car, Path("goal.yaml")]).goals == check([car]).goals
