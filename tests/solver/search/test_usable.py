"""Usability of every candidate at once, against plain enumeration; no step of it changes the answer."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

import solver.search.usable
from solver.problem import Problem
from solver.search.elimination import Bounds
from solver.search.enumeration import LimitReached
from solver.search.factors import NEVER
from solver.search.model import Counted, Tables
from solver.search.possible import Possible
from solver.search.usable import _Search, usable_candidates
from tests.solver.random_problems import Verdicts, plain_problem, random_problem
from tests.solver.search.test_interchange import copied
from tests.solver.search.test_steps import without_classes, without_pruning, without_tables

Step = Callable[[pytest.MonkeyPatch], None]


def without_trying(patch: pytest.MonkeyPatch) -> None:
    """No candidate is put into a build there is: each is searched for."""
    patch.setattr(_Search, "_fits", lambda self, at, i: False)


def without_bounds(patch: pytest.MonkeyPatch) -> None:
    """Any build may cost nothing, and spend nothing of the money."""

    def nothing(tables: Tables, most_cells: int, counted: Counted) -> Bounds:
        return Bounds(-NEVER, tuple(np.full(size, -NEVER, dtype=np.int64) for size in tables.sizes))

    patch.setattr(Tables, "bounds", nothing)


def without_near(patch: pytest.MonkeyPatch) -> None:
    """Nothing is looked for near a position."""
    patch.setattr(_Search, "_near", lambda self, at: [])


def with_everything_put_off(patch: pytest.MonkeyPatch) -> None:
    """No question is answered quickly."""
    patch.setattr(solver.search.usable, "FEW_NODES", 1)


STEPS: tuple[Step, ...] = (
    without_pruning,
    without_tables,
    without_bounds,
    without_classes,
    without_trying,
    without_near,
    with_everything_put_off,
)


def by_enumeration(problem: Problem) -> set[tuple[str, str]]:
    verdicts = Verdicts(problem)
    return {
        (at, "" if part is None else part.id)
        for i in verdicts.meeting(problem.hard)
        for at, part in verdicts.builds[i].items()
    }


@pytest.fixture(scope="module")
def expected() -> dict[int, set[tuple[str, str]]]:
    """The usable candidates of problems in which many candidates are told apart by money alone."""
    return {seed: by_enumeration(copied(random_problem(seed), seed)) for seed in range(7000, 7080)}


def test_the_problems_are_worth_it(expected: dict[int, set[tuple[str, str]]]) -> None:
    """In some nothing is usable, in many a part of it; many allow so much money only."""
    shares, money = [], 0
    for seed, found in expected.items():
        problem = copied(random_problem(seed), seed)
        shares.append(len(found) / sum(map(len, problem.domains.values())))
        money += any(r.limit is not None and r.limit.quantity == "price" for r in problem.hard)
    assert min(shares) == 0.0 and sum(0.0 < share < 1.0 for share in shares) > 15 and money > 10


def test_as_enumeration_says(expected: dict[int, set[tuple[str, str]]]) -> None:
    for seed, found in expected.items():
        assert usable_candidates(copied(random_problem(seed), seed)) == found, seed


@pytest.mark.parametrize("step", STEPS)
def test_the_same_without(
    step: Step, expected: dict[int, set[tuple[str, str]]], monkeypatch: pytest.MonkeyPatch
) -> None:
    step(monkeypatch)
    for seed, found in expected.items():
        assert usable_candidates(copied(random_problem(seed), seed)) == found, seed


def test_where_nothing_refuses_one_build_after_another_is_not_searched(monkeypatch: pytest.MonkeyPatch) -> None:
    """Forty positions of ten candidates: two questions, and the rest is parts put in each other's place."""
    problem = plain_problem([f"p{i}" for i in range(40)], 10)
    asked = []
    ask = Possible.ask
    monkeypatch.setattr(Possible, "ask", lambda self, *question: asked.append(question) or ask(self, *question))
    assert len(usable_candidates(problem)) == 400
    assert len(asked) == 2


def test_what_cannot_be_told_is_never_guessed(monkeypatch: pytest.MonkeyPatch) -> None:
    def wandering(self: Possible, *question: object) -> None:
        raise LimitReached("the search took too many steps")

    monkeypatch.setattr(Possible, "ask", wandering)
    with pytest.raises(LimitReached):
        usable_candidates(plain_problem(["a", "b"], 2))
