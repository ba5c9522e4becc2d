"""The steps of the search change its time, never its answer."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from solver.problem import Problem
from solver.search import best, enumeration, model
from solver.search.enumeration import LimitReached
from solver.search.possible import Possible
from tests.solver.random_problems import random_problem

SEEDS = range(60)


def everything(possible: Possible, relations: object) -> dict[str, tuple[object, ...]]:
    return dict(possible.problem.domains)


def without_prefilter(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(Possible, "left", everything)


def without_limit(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(best, "FIRST_STEP", best.NEVER)


def one_stage(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(best, "STAGES", ((1_000_000, 10_000_000),))
    patch.setattr(best, "USUAL_STAGES", 1)


def without_tables(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(best, "STAGES", ((0, 1),))
    patch.setattr(best, "USUAL_STAGES", 1)


def small_steps(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(best, "FIRST_STEP", 7)
    patch.setattr(best, "FEW_BUILDS", 0)


def short_of_steps(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(best, "FIRST_STEPS", 3)
    patch.setattr(best, "FEW_BUILDS", 0)


def without_completing(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(best._Search, "_completed", lambda *arguments: True)


def one_table_at_a_time(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(model, "MOST_AT_ONCE", -1)


def ties_to_the_end(patch: pytest.MonkeyPatch) -> None:
    patch.setattr(enumeration._Search, "_too_late", lambda self, assignments: False)


def often_too_far(patch: pytest.MonkeyPatch) -> None:
    """Nearer limits are tried before larger tables, however few builds there are; nothing is a table at first."""
    stages = ((0, 20_000), (0, 20_000), *best.STAGES[2:])
    for name, value in (("STAGES", stages), ("USUAL_STAGES", 1), ("MANY_BUILDS", 0), ("NOT_FAR", 300)):
        patch.setattr(best, name, value)


LEFT_OUT = [
    often_too_far,
    one_table_at_a_time,
    ties_to_the_end,
    without_prefilter,
    without_limit,
    one_stage,
    without_tables,
    small_steps,
    short_of_steps,
    without_completing,
]


def answer(problem: Problem) -> tuple[list[object], bool]:
    found = best.best_builds(problem, 4)
    return [b.rank for b in found.builds], found.complete


@pytest.mark.parametrize("leave_out", LEFT_OUT)
def test_a_step_left_out_changes_nothing(
    leave_out: Callable[[pytest.MonkeyPatch], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    expected = [answer(random_problem(seed)) for seed in SEEDS]
    assert sum(bool(builds) for builds, _ in expected) > 10
    leave_out(monkeypatch)
    assert [answer(random_problem(seed)) for seed in SEEDS] == expected


def test_many_problems_run_short_of_so_few_steps(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without that, taking their steps away would show nothing."""
    short: set[int] = set()

    class Wandered(best._Wandered):
        def __init__(self, limit: int) -> None:
            short.add(seed)
            super().__init__(limit)

    short_of_steps(monkeypatch)
    monkeypatch.setattr(best, "_Wandered", Wandered)
    for seed in SEEDS:
        answer(random_problem(seed))
    assert len(short) > 10


def test_the_steps_of_the_enumeration_are_counted() -> None:
    problem = next(p for p in map(random_problem, SEEDS) if best.best_builds(p, 1).builds)
    with pytest.raises(LimitReached):
        best.enumerate_builds(problem, problem.domains, best.NEVER, True, 4, best.StepsBudget(0))


def test_of_few_builds_a_nearer_limit_is_tried_too(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without that, leaving it out would show nothing."""
    tried: set[int] = set()

    class TooFar(best._TooFar):
        def __init__(self) -> None:
            tried.add(seed)

    often_too_far(monkeypatch)
    monkeypatch.setattr(best, "_TooFar", TooFar)
    for seed in SEEDS:
        answer(random_problem(seed))
    assert len(tried) > 3
