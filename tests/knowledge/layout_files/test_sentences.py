"""Numbers quoted in sentences: told in the units asked for, refused where they cannot be read, none forgotten."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from knowledge.layout_files.sentences import in_units, said
from knowledge.layouts import layouts_folder, read_layout
from shared.faults import BadInput
from shared.layout import Layout
from shared.units import System
from solver import demo_goal, plan, work
from solver.report import plan_text
from solver.work.text import work_text

TRAILER = Path(__file__).parents[2] / "data" / "trailer"


@pytest.mark.parametrize(
    ("sentence", "metric", "us"),
    [  # by hand: 50 / 25.4 = 1.97; 500 / 4.448 = 112.4; 6.43 / 0.3048 = 21.1; 4 / 1.609 = 2.49; 559 and 1372 / 25.4
        ("above {50 mm} it", "above 50 mm it", "above 1.97 in it"),
        ("{6.43 m/s2} at {65 to 500 N}", "6.43 m/s2 at 65 to 500 N", "21.1 ft/s2 at 15 to 112 lbf"),
        ("{559 to 1372 mm} up", "559 to 1372 mm up", "22.01 to 54.02 in up"),
        ("{4 km/h} too much", "4 km/h too much", "2.5 mph too much"),
        ("a step of {0.1 mm}", "a step of 0.1 mm", "a step of 0.004 in"),
        ("from {25 ft}", "from 7.6 m", "from 25 ft"),
        ("{0.2 deg} and {5 min}", "0.2 deg and 5 min", "0.2 deg and 5 min"),
        ("{80 km | 50 miles} on", "80 km on", "50 miles on"),
        ("M12 and 3/8 in", "M12 and 3/8 in", "M12 and 3/8 in"),
    ],
)
def test_a_sentence_in_either_units(sentence: str, metric: str, us: str) -> None:
    assert (said(sentence, "metric"), said(sentence, "us")) == (metric, us)


def _sentences(layout: Layout) -> list[str]:
    found = [text for r in layout.requirements for text in (r.says, r.measure_first)]
    found += [rule.why for kind in layout.interfaces.values() for rule in kind.rules]
    found += [text for kind in layout.kinds.values() for text in kind.leave_when]
    found += [caution.says for caution in layout.cautions.values()]
    found += [limit.says for limits in layout.wear.values() for limit in limits]
    for task in layout.tasks.values():
        for step in task.steps:
            found += [step.does, *(c.says for c in step.checks), *(x.says for x in step.later)]
    return found


SIZES = re.compile(r"\b(10|12|12\.7|18|114\.3) mm\b")


def _compares(text: str) -> bool:
    """Whether a sentence is about sizes that are nearly the same."""
    return "apart" in text or "must pass" in text or "share holes" in text


@pytest.mark.parametrize("units", ["metric", "us"])
def test_no_number_of_the_other_units_is_left(units: System) -> None:
    """But for sizes that are names (a bolt of 3/8 in, one of 12 mm beside it), told by the words about them."""
    layout = in_units(read_layout(layouts_folder() / "solid-axle-4x4"), units)
    other = {
        "metric": r"\d (ft|lbf|mph|miles|ft/s2|psi)\b",
        "us": r"\d (mm|N|km/h|km|m/s2|kg|bar|MPa|m)\b",
    }[units]
    left = [text for text in _sentences(layout) if re.search(other, SIZES.sub("", text) if _compares(text) else text)]
    assert not left
    assert not [text for text in _sentences(layout) if "{" in text or "|" in text]


@pytest.mark.parametrize("quote", ["{50}", "{about 50 mm}", "{50 mm |}", "{}"])
def test_a_number_that_cannot_be_read_is_a_fault_of_the_layout(tmp_path: Path, quote: str) -> None:
    folder = Path(shutil.copytree(TRAILER / "layout", tmp_path / "layout"))
    text = (folder / "trailer.yaml").read_text()
    bad = text.replace("says: the bed does not stand too high", f'says: "the bed is below {quote}"')
    (folder / "trailer.yaml").write_text(bad)
    with pytest.raises(BadInput) as caught:
        read_layout(folder)
    [fault] = caught.value.faults
    assert fault.code == "bad-value" and "{50 mm}" in fault.expected
    assert fault.line == 1 + bad.splitlines().index(next(x for x in bad.splitlines() if quote in x and "says" in x))


def test_answers_are_told_in_the_units_asked_for() -> None:
    goal = demo_goal("trail")
    for units, angle in (("metric", "50 mm of bump"), ("us", "1.97 in of bump")):
        document = plan(goal, most=1, units=units)  # type: ignore[arg-type]
        assert document.ledger is not None
        assert "{" not in plan_text(document)
        assert any(r.says.endswith(angle) for r in document.ledger.rules)
        told = work_text(work(goal, units=units))  # type: ignore[arg-type]
        assert ("1372 mm above the road" in told) is (units == "metric")
        assert ("54.02 in above the road" in told) is (units == "us")
