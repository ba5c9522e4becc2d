"""The walk in words: which answer to a reading is good enough."""

from __future__ import annotations

import pytest

from solver.yard.document import ReadingShown
from solver.yard.text import _reading_lines


@pytest.mark.parametrize(
    ("now", "good", "told"),
    [
        ("480.0 mm", "467.8 mm to 500.6 mm", "free length: 467.8 mm to 500.6 mm is good enough, 480.0 mm expected"),
        ("31", "31", "free length: has to be 31"),
        # Whatever it reads will do: it is read to tell the part from its look-alikes.
        ("480.0 mm", "", "free length: 480.0 mm expected"),
    ],
)
def test_the_answer_that_is_good_enough(now: str, good: str, told: str) -> None:
    reading = ReadingShown(part="Coils", what="free length", how="Tape", now=now, good=good, doubtful=False)
    assert _reading_lines([reading], "Coils") == ["      measure", f"      1. {told}", "         Tape"]
    hanging = reading.model_copy(update={"doubtful": True})
    assert _reading_lines([hanging], "Coils")[1].endswith("; the plan hangs on it")
