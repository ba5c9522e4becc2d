"""A layout that cannot be right is a fault: what has another measure than its place, ports that never meet."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from knowledge.garage import read_goal
from shared.faults import BadInput

TRAILER = Path(__file__).parents[2] / "data" / "trailer"


@pytest.mark.parametrize(
    ("old", "new", "code", "found", "expected"),
    [
        # 750 kg would have been taken for 750 N, and the trailer would stand 62.5 mm too high.
        ("load: vehicle.load", "load: vehicle.mass", "bad-value", "'vehicle.mass', a mass", "a force"),
        (
            "rate: spring.rate",
            "rate: spring.free_height",
            "bad-value",
            "'spring.free_height', a length",
            "a spring rate",
        ),
        ("rate: spring.rate", "rate: stock.ride_height", "bad-value", "'stock.ride_height', a length", "a spring rate"),
        ("rate: spring.rate", "rate: goal.load_mass", "bad-value", "'goal.load_mass', a mass", "a spring rate"),
        ("rate: spring.rate", "rate: spring.axle.thread", "bad-value", "'spring.axle.thread', a word", "a spring rate"),
        ("of: [lift, wheel_lift]", "of: [lift, vehicle.mass]", "bad-value", "'vehicle.mass', a mass", "a length"),
        ("of: [lift, wheel_lift]", 'of: [lift, "2"]', "bad-value", '"2"', "a length in mm"),
        ("a: wheel.radius, b:", "a: spring.rate, b:", "bad-value", "'spring.rate', a spring rate", "a length"),
        ("from: {formula: total, of: [lift, wheel_lift]}", "from: vehicle.mass", "bad-value", "a mass", "a length"),
        (
            "measure: length\n    about: Height",
            "measure: mass\n    about: Height",
            "bad-value",
            "gives a length",
            "a mass",
        ),
        (
            "measure: length\n    about: Height",
            "measure: lenght\n    about: Height",
            "unknown-word",
            "'lenght'",
            "a measure",
        ),
        (
            "measure: length\n    about: Height",
            "measure: word\n    about: Height",
            "unknown-word",
            "'word'",
            "a measure",
        ),
        ("at_least: vehicle.mass", "at_least: vehicle.load", "bad-value", "'vehicle.load', a force", "a mass"),
        (
            "maker: [vehicle.wheel_nut_torque]",
            "maker: [vehicle.mass]",
            "bad-value",
            "'vehicle.mass', a mass",
            "a torque",
        ),
        ("threads: [spring.axle.thread]", "threads: [spring.axle.spacing]", "bad-value", "a length", "a word"),
        (
            "join: [spring.axle, axle.spring]",
            "join: [spring.axle, axle.spindle]",
            "contradiction",
            "axle.spindle (trailer_spindle) on spring.axle (trailer_perch)",
            "ports of one interface kind",
        ),
        (
            "join: [hub.studs, wheel.face]",
            "join: [wheel.face, wheel.face]",
            "contradiction",
            "wheel.face and wheel.face, both the wheel of a trailer_wheel_bolting",
            "one port of each side",
        ),
    ],
)
def test_what_cannot_stand_there(tmp_path: Path, old: str, new: str, code: str, found: str, expected: str) -> None:
    shutil.copytree(TRAILER, tmp_path / "t")
    file = tmp_path / "t" / "layout" / "trailer.yaml"
    text = file.read_text("utf-8")
    assert text.count(old) == 1
    file.write_text(text.replace(old, new), "utf-8")
    line = text[: text.index(old)].count("\n") + 1
    with pytest.raises(BadInput) as caught:
        read_goal(tmp_path / "t" / "goal.yaml")
    fault = next(f for f in caught.value.faults if f.code == code and found in f.found)
    assert fault.expected.startswith(expected)
    assert abs(fault.line - line) <= 2


def test_of_a_quantity_without_a_measure_nothing_else_is_said(tmp_path: Path) -> None:
    """What is computed from it, and what is asked of it, is not wrong for that."""
    shutil.copytree(TRAILER, tmp_path / "t")
    file = tmp_path / "t" / "layout" / "trailer.yaml"
    text = file.read_text("utf-8")
    for name in ("ride_height", "bed_lift"):
        text = text.replace(f"  {name}:\n    measure: length", f"  {name}:\n    measure: lenght")
    file.write_text(text, "utf-8")
    with pytest.raises(BadInput) as caught:
        read_goal(tmp_path / "t" / "goal.yaml")
    assert [(f.code, f.mend) for f in caught.value.faults] == [("unknown-word", "did you mean 'length'?")] * 2


@pytest.mark.parametrize(
    "old",
    [
        "rate: {measure: spring_rate",
        "load: {measure: force",
        "rating: {measure: mass",
        "circle: {measure: length",
        "thread: {measure: word",
        "mass: {measure: mass",
        "measure: length\n    about: How much higher the bed",
    ],
)
def test_of_an_attribute_without_a_measure_nothing_else_is_said(tmp_path: Path, old: str) -> None:
    """Not where a rule of mating compares it, a formula takes it in, a limit asks for it, or a bolt is of it."""
    shutil.copytree(TRAILER, tmp_path / "t")
    file = tmp_path / "t" / "layout" / "trailer.yaml"
    text = file.read_text("utf-8")
    assert text.count(old) == 1
    text = text.replace(old, old.replace("measure: ", "measure: heft_of_"))
    text = text.replace("    at_most: 60 mm\n", "    at_most: wheel_lift\n")  # a limit that is a quantity itself
    file.write_text(text, "utf-8")
    with pytest.raises(BadInput) as caught:
        read_goal(tmp_path / "t" / "goal.yaml")
    assert [(f.code, f.expected) for f in caught.value.faults] == [("unknown-word", "a measure")]


def test_a_share_may_stand_for_a_ratio(tmp_path: Path) -> None:
    """Both are plain numbers: what is kept in one unit is no mistake."""
    shutil.copytree(TRAILER, tmp_path / "t")
    file = tmp_path / "t" / "layout" / "trailer.yaml"
    more = "  change: {measure: share, about: x, from: {formula: relative_change, value: lift, base: ride_height}}\n"
    twice = "  again: {measure: ratio, about: x, from: change}\n"
    file.write_text(file.read_text("utf-8").replace("requirements:\n", f"{more}{twice}\nrequirements:\n"), "utf-8")
    assert read_goal(tmp_path / "t" / "goal.yaml")
