"""A wider goal never loses a plan, and the units a plan is printed in change no number."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from knowledge.garage import Garage, read_goal
from shared.goal import Goal, Limit
from shared.plan import PlanDocument
from solver.planning import plan_of
from solver.problem import build_problem

TRAILER = Path(__file__).parent.parent / "data" / "trailer" / "goal.yaml"
ALL = 500


@pytest.fixture(scope="module")
def read() -> tuple[Goal, Garage]:
    return read_goal(TRAILER)


def builds(document: PlanDocument) -> set[tuple[tuple[str, str | None], ...]]:
    assert document.complete
    return {tuple((p.position, p.id) for p in build.parts) for build in document.builds}


def planned(read: tuple[Goal, Garage], **changes: object) -> PlanDocument:
    goal, garage = read
    return plan_of(build_problem(replace(goal, **changes), garage), "goal", ALL)  # type: ignore[arg-type]


def limited(quantity: str, low: float | None, high: float | None) -> Limit:
    return Limit(quantity, low, high, f"{low} to {high}", 1)


@pytest.mark.parametrize(
    ("quantity", "spans"),
    [
        ("bed_lift", [(0.030, 0.040), (0.020, 0.050), (0.010, 0.080), (None, 0.200), (None, None)]),
        ("price", [(None, 20.0), (None, 60.0), (None, 150.0), (None, 1000.0)]),
        ("parts_changed", [(None, 1.0), (None, 2.0), (None, 4.0)]),
    ],
)
def test_a_wider_limit_keeps_every_build(
    read: tuple[Goal, Garage], quantity: str, spans: list[tuple[float | None, float | None]]
) -> None:
    found = [builds(planned(read, limits=(limited(quantity, *span),))) for span in spans]
    for narrow, wide in pairwise(found):
        assert narrow <= wide
    assert len(found[-1]) > len(found[0])


def test_each_thing_asked_takes_builds_away_and_adds_none(read: tuple[Goal, Garage]) -> None:
    free = builds(planned(read, limits=()))
    asked = builds(planned(read))
    kept = builds(planned(read, keep=("axle",)))
    assert asked < free
    assert kept <= asked


def test_the_best_of_a_wider_goal_is_no_worse(read: tuple[Goal, Garage]) -> None:
    scores = [
        planned(read, limits=(limited("bed_lift", 0.015, high),)).builds[0].score for high in (0.05, 0.07, 0.10, 0.5)
    ]
    assert scores == sorted(scores, reverse=True)


def test_units_change_the_words_and_no_number(read: tuple[Goal, Garage]) -> None:
    problem = build_problem(*read)
    metric, us = plan_of(problem, "goal", 3, "metric"), plan_of(problem, "goal", 3, "us")
    for one, other in zip(metric.builds, us.builds, strict=True):
        assert one.score == other.score
        for a, b in zip(one.quantities, other.quantities, strict=True):
            assert (a.new.lo, a.new.hi, a.stock.lo, a.stock.hi) == (b.new.lo, b.new.hi, b.stock.lo, b.stock.hi)
            if a.measure == "length":
                assert a.new.text.endswith("mm") and b.new.text.endswith("in")
