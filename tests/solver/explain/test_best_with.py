"""The build shown for a part that can be used, and whether any certain build exists, against plain enumeration."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from shared.verdict import Verdict
from solver import demo_goal, why
from solver.explain.one_part import best_with
from solver.explain.text import why_text
from solver.problem import Problem
from solver.relations import Build
from solver.search.certainty import no_certain_build, none_certain
from solver.search.possible import Possible
from tests.solver.random_problems import builds_of, random_problem, wishing


def a_build(problem: Problem) -> Build:
    """The first build that may hold."""
    return next(b for b in builds_of(problem) if all(r.verdict(b) is not Verdict.NO for r in problem.hard))


def levels(problem: Problem) -> tuple[list[int], list[int]]:
    """The scores of every build that certainly fits, and of every one that fits if checked."""
    dearest = problem.dearest
    found: tuple[list[int], list[int]] = ([], [])
    for build in builds_of(problem):
        worst = max((r.verdict(build) for r in problem.hard), default=Verdict.FITS)
        if worst is not Verdict.NO:
            found[worst is Verdict.CHECK].append(problem.scoring.score(build, dearest))
    return found


def test_every_way_of_ending_is_met() -> None:
    """Hurried, some are proved and some not; where tables are not given the steps, questions tell nearly all."""
    problems = [p for p in map(random_problem, range(5000, 5200)) if any(levels(p))]
    assert {best_with(p, a_build(p), Possible(p), 1, 1, 1)[1] for p in problems} == {True, False}
    assert all(best_with(p, a_build(p), Possible(p), 1, 4_000, 1)[1] for p in problems)


@pytest.mark.parametrize("draw", [random_problem, wishing])
@pytest.mark.parametrize("seed", range(5000, 5120))
def test_it_is_the_best_and_hurried_not_called_the_best_unless_it_is(seed: int, draw: Callable[[int], Problem]) -> None:
    problem = draw(seed)
    certain, doubtful = levels(problem)
    assert no_certain_build(problem) is (not certain)
    if not certain and not doubtful:
        return
    expected = min(certain or doubtful)
    for steps in ((1_000, 4_000, 40_000), (1, 4_000, 1), (1, 3, 1), (1, 1, 1)):
        found, proved = best_with(problem, a_build(problem), Possible(problem), *steps)
        assert found.doubtful is (not certain)
        assert found.score in (certain or doubtful)
        assert found.score == problem.scoring.score(found.build, problem.dearest)
        assert found.score == expected or not proved
    found, proved = best_with(problem, a_build(problem), Possible(problem))
    assert proved


@pytest.mark.parametrize("seed", range(5000, 5060))
def test_a_problem_told_that_nothing_is_certain_has_the_same_doubtful_builds(seed: int) -> None:
    problem = random_problem(seed)
    certain, doubtful = levels(problem)
    told = levels(none_certain(problem))
    assert not told[0] and sorted(told[1]) == sorted([*certain, *doubtful])


def test_a_part_in_doubtful_builds_only_is_told_with_what_was_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    """With few steps the build shown is not called the best where that is not told."""
    answer = why(demo_goal("trail"), ["leaf-hearsay"])
    assert answer.answer == "yes if checked" and answer.best is not None and answer.best_proved
    assert "the best build with it costs" in answer.headline
    assert "The best build with it" in why_text(answer)
    monkeypatch.setattr(best_with, "__defaults__", (1, 1, 1))
    hurried = why(demo_goal("yard"), ["booster-van"])
    assert hurried.answer == "yes if checked" and hurried.best is not None and not hurried.best_proved
    assert any(p.id == "booster-van" for p in hurried.best.parts)
    assert "whether one is better could not be told" in hurried.headline
    assert "The best build with it" not in why_text(hurried)
