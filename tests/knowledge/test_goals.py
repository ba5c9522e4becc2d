"""Reading a goal: what a load may be, and one figure where one is owed."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from knowledge.formulas import formulas
from knowledge.garage import read_goal
from knowledge.goal_shapes import LOAD
from shared.faults import BadInput, Fault
from shared.goal import Load
from shared.ranges import Range
from shared.reading import read_quantity

TRAILER = Path(__file__).parent.parent / "data" / "trailer"
WINCH = {"mass": "40 kg", "behind_front_axle": "-650 mm", "height": "600 mm"}


def goal(folder: Path, *lines: str) -> Path:
    """The trailer's goal with further lines, the first of them line 5."""
    shutil.copytree(TRAILER, folder, dirs_exist_ok=True)
    file = folder / "goal.yaml"
    file.write_text(file.read_text() + "".join(f"{line}\n" for line in lines))
    return file


def faults(folder: Path, *lines: str) -> tuple[Fault, ...]:
    with pytest.raises(BadInput) as caught:
        read_goal(goal(folder, *lines))
    return caught.value.faults


def load(**stated: str) -> tuple[str, ...]:
    return ("loads:", "  - name: winch", *(f"    {key}: {value}" for key, value in {**WINCH, **stated}.items()))


def test_a_load_is_read_as_it_stands(tmp_path: Path) -> None:
    assert read_goal(goal(tmp_path, *load()))[0].loads == (Load("winch", 40.0, -0.65, 0.6),)


@pytest.mark.parametrize(
    ("key", "text", "mend"),
    [
        ("mass", "4000 kg", "check the number"),
        ("mass", "-40 kg", '"40 kg"'),
        ("behind_front_axle", "-650 m", '"-650 mm"'),
        ("behind_front_axle", "12 m", '"12 mm"'),
        ("behind_front_axle", "6.5 m", '"6.5 mm"'),
        ("height", "600 m", '"600 mm"'),
        ("height", "-600 mm", '"600 mm"'),
    ],
)
def test_a_load_no_car_carries_is_a_fault(tmp_path: Path, key: str, text: str, mend: str) -> None:
    [fault] = faults(tmp_path, *load(**{key: text}))
    assert (Path(fault.file).name, fault.code) == ("goal.yaml", "bad-value")
    assert (tmp_path / "goal.yaml").read_text().splitlines()[fault.line - 1].strip() == f"{key}: {text}"
    assert fault.found == f'"{text}"' and fault.expected.startswith(f"{key.replace('_', ' ')} from ")
    assert mend in fault.mend


@pytest.mark.parametrize("name", ["front_axle_mass_with_load", "rear_axle_mass_with_load", "cg_height_with_mass"])
def test_every_load_a_goal_may_name_can_be_computed_with(name: str) -> None:
    """One that no formula takes would leave nearly every rule of every build in doubt."""
    valid = formulas()[name].valid
    arguments = {"mass": "added_mass", "behind_front_axle": "distance_behind_front", "height": "added_height"}
    for key, (measure, text) in LOAD.items():
        if arguments[key] in valid:
            assert read_quantity(text, measure).value.within(Range(*valid[arguments[key]]))


@pytest.mark.parametrize("key", list(WINCH))
@pytest.mark.parametrize("shape", ["{0} to {1}", "{0} +/- 5 mm"])
def test_a_range_is_not_taken_for_one_of_its_ends(tmp_path: Path, key: str, shape: str) -> None:
    unit, low, high = ("kg", "100", "200 kg") if key == "mass" else ("mm", "100", "200 mm")
    text = shape.format(low, high).replace("mm", unit)
    [fault] = faults(tmp_path, *load(**{key: text}))
    assert fault.found == f'"{text}"' and fault.expected == "one figure"
    assert fault.mend == "give one figure, or make two goals"


@pytest.mark.parametrize(
    ("line", "found", "mend"),
    [
        ("{least: hours, worth: -15 per h}", "'-15 per h'", "write 15 per h, or `most` in place of `least`"),
        ("{near: bed_lift, to: 40 mm, worth: -2 per mm}", "'-2 per mm'", "write 2 per mm"),
        ("{least: hours, worth: 10 to 15 per h}", '"10 to 15"', "give one figure, or make two goals"),
        ("{near: bed_lift, to: 30 to 40 mm, worth: 2 per mm}", '"30 to 40 mm"', "give one figure, or make two goals"),
    ],
)
def test_what_it_is_worth_is_one_figure_of_nothing_or_more(tmp_path: Path, line: str, found: str, mend: str) -> None:
    [fault] = faults(tmp_path, "prefer:", f"  - {line}")
    assert (fault.line, fault.code, fault.found, fault.mend) == (6, "bad-value", found, mend)


def test_what_is_worth_nothing_may_be_said(tmp_path: Path) -> None:
    assert read_goal(goal(tmp_path, "prefer: [{least: hours, worth: 0 per h}]"))[0].prefer[0].worth == 0.0


def test_a_position_there_is_not_is_told_at_its_own_line(tmp_path: Path) -> None:
    [fault] = faults(tmp_path, "keep:", "  - wheel", "  - whele")
    assert (fault.code, fault.found, fault.line) == ("unknown-position", "'whele'", 7)
