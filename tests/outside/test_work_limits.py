"""The inspection limits that the work's checks show, against the words of the published texts."""

from __future__ import annotations

import pytest

from knowledge.layouts import layouts_folder, read_layout
from knowledge.standards.inspection import inspection_limits
from solver.work.showing import limit_text

# What each text says, in its own unit; None stands for "none allowed".  49 CFR 570: 570.1 to 570.10 are law for
# vehicles up to 10 000 lb, 570.51 to 570.63 above.  Where the text was not read the comment says so.
PUBLISHED = {
    "I-01": (2.0, "in", "max", "570.7"),  # table 1: steering wheel of 16 in or less, lash 2 in
    "I-05": (1 / 4, "in", "max", "570.7"),  # (b): play of the linkage at the tread, one quarter of an inch
    "I-09": (1.5, "ratio", "max", "570.7"),  # (d): toe not greater than 1.5 times the maker's figure
    "I-12": (None, "presence", "max", "570.61"),  # (b): no oil on the housing from a leaking seal
    "I-15": (2 / 32, "in", "min", "570.9"),  # (a): two thirty-seconds; from memory
    "I-18": (1 / 8, "in", "max", "570.10"),  # (b): runout of each bead area, one-eighth of an inch
    "I-19": (None, "count", "max", "570.10"),  # (c): all wheel nuts and bolts in place and tight
    "I-23": (None, "presence", "max", "570.59"),  # (b): drum or rotor within the dimension embossed on it
    "I-24": (80.0, "%", "max", "570.55"),  # (c): at 50 pounds, not more than 80 percent of the travel
    "I-25": (10.0, "s", "min", "570.55"),  # (b): 125 pounds held for 10 seconds
    "I-26": (25.0, "ft", "max", "570.5"),  # (e): 25 feet from 20 mph; from memory
    "I-27": (20.0, "%", "max", "570.5"),  # (e): the two wheels of an axle within 20 percent; from memory
    "I-33": (1 / 3, "of travel", "min", "4501:2-1-08"),  # (B)(2): one third in reserve, one fifth with power
    "I-34": (None, "presence", "max", "570.55"),  # (d): hoses not in contact with body or chassis
}


def shown() -> set[str]:
    layout = read_layout(layouts_folder() / "solid-axle-4x4")
    checks = (c for task in layout.tasks.values() for step in task.steps for c in step.checks)
    return {check.inspection for check in checks if check.inspection}


def test_every_limit_shown_is_checked_here() -> None:
    assert shown() == set(PUBLISHED)


@pytest.mark.parametrize("id", sorted(PUBLISHED))
def test_limits_are_the_texts(id: str) -> None:
    value, unit, kind, text = PUBLISHED[id]
    found = inspection_limits()[id]
    assert found.limit == pytest.approx(value or 0.0, abs=1e-5)
    assert (found.unit, found.kind) == (unit, kind)
    assert text in found.source
    said = limit_text(found, "metric")
    assert found.source in said
    heavy = ("570.55", "570.59", "570.61")
    assert ("law for vehicles above 10 000 lb" in said) == (text in heavy)
    assert ("from memory" in said) == (id in {"I-15", "I-26", "I-27"})


def test_inches_are_shown_in_millimetres_too() -> None:
    # 1/8 in is 3.175 mm; 25 ft is 7.62 m.
    assert "0.125 in (3.17 mm)" in limit_text(inspection_limits()["I-18"], "metric")
    assert "25 ft (7.62 m)" in limit_text(inspection_limits()["I-26"], "metric")
    assert "mm" not in limit_text(inspection_limits()["I-18"], "us")
