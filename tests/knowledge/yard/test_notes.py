"""What notes of a car mean for its parts."""

from __future__ import annotations

import pytest

from knowledge.layouts import layouts_folder, read_layout
from knowledge.yard.notes import before_all, note_rules, said_of


def test_every_kind_named_is_a_kind() -> None:
    kinds = read_layout(layouts_folder() / "solid-axle-4x4").kinds
    for rule in note_rules():
        assert rule.sort == "before" or rule.kinds <= set(kinds), rule.kinds - set(kinds)
        assert rule.says and rule.source


@pytest.mark.parametrize(
    ("notes", "kind", "gone"),
    [
        ("no wheels, stands on its drums", "wheel", True),
        ("wheels missing", "wheel", True),
        ("engine out", "injector", True),
        ("Hoses are cut", "brake_hose", True),
        ("without mirrors", "door_mirror", True),
        ("flood line up to the seats", "hub", False),
        ("burnt inside; leave all rubber", "bump_stop", False),
        ("rolled once", "door_mirror", False),
    ],
)
def test_what_is_gone_and_what_is_doubtful(notes: str, kind: str, gone: bool) -> None:
    assert gone in [s.gone for s in said_of(notes) if s.concerns(kind, 0.0)]


@pytest.mark.parametrize(
    "notes",
    [
        "coils and leaves still in",
        "wheels fine",
        "axles and brakes untouched",
        "plate gone",
        "",
        "whitewashed hit list",
    ],
)
def test_notes_that_take_nothing_away(notes: str) -> None:
    assert not [s for s in said_of(notes) if s.gone and s.concerns("coil", 1.3)]
    assert not [s for s in said_of(notes) if s.concerns("rear_axle", -1.3) and "hit" not in notes]


def test_a_hit_in_front_leaves_the_rear_alone() -> None:
    said = said_of("front corner hit on the right, rear whole")
    assert [s for s in said if s.concerns("front_axle", 1.28)]
    assert not [s for s in said if s.concerns("rear_axle", -1.28)]


def test_something_is_said_for_every_car() -> None:
    assert len(before_all()) >= 3
