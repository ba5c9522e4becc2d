"""The text of a plan: what a number must not be taken for is said under it."""

from __future__ import annotations

from pathlib import Path

import pytest

from shared.plan import PlanDocument
from shared.units import System
from solver import check, demo_goal, plan
from solver.report import check_text, consequence_lines


@pytest.fixture(scope="module", params=["metric", "us"])
def planned(request: pytest.FixtureRequest) -> tuple[System, PlanDocument]:
    return request.param, plan(demo_goal("trail"), most=1, units=request.param)


def test_stopping_distances_are_told_in_metres_or_feet_with_what_they_are_not(
    planned: tuple[System, PlanDocument],
) -> None:
    units, document = planned
    lines = consequence_lines(document.builds[0])
    rows = [line.split() for line in lines if line.strip().startswith("stopping distance")]
    assert [row[2] for row in rows] == ["driver", "laden"]
    unit = {"metric": "m", "us": "ft"}[units]
    for row in rows:
        assert row[4] == row[6] == unit
        assert (40 if units == "metric" else 140) < float(row[3]) < (60 if units == "metric" else 180)
    caution = next(line for line in lines if line.startswith("  !"))
    assert caution.startswith("  ! stopping distance driver, stopping distance laden: ")
    assert "not a test" in caution


def test_check_tells_what_was_read() -> None:
    trailer = Path(__file__).parents[1] / "data" / "trailer"
    found = check([trailer / "goal.yaml"])
    assert found.files == ("catalogue.yaml",)
    assert check_text(found).startswith("No faults: 1 goal, 12 candidate parts from 1 file, 4 positions")
