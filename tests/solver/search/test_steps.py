"""Bounds and classes only save time: with them left out, or with nothing but the enumeration left, nothing changes.

The answers are held against plain enumeration (``test_best`` leaves out the other steps one by one).  The
steps are left out from outside, by putting in their place what does nothing; the search itself has no switches.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import numpy as np
import pytest

import solver.search.model
import solver.search.visits
from shared.verdict import Verdict
from solver.problem import Problem
from solver.relations import Relation
from solver.search.best import best_builds
from solver.search.blur import Blurs
from solver.search.elimination import Bounds
from solver.search.model import Tables
from solver.search.possible import Possible
from solver.search.visits import Ways
from tests.solver.random_problems import builds_of, random_problem

Rank = tuple[bool, int, tuple[str, ...]]
SEEDS = range(5000, 5025)


def without_pruning(patch: pytest.MonkeyPatch) -> None:
    """No candidate goes before the search."""
    patch.setattr(Possible, "left", lambda self, relations, forced=None: dict(self.problem.domains))


def without_tables(patch: pytest.MonkeyPatch) -> None:
    """No relation becomes a table, so that the bounds know prices and tasks alone."""
    patch.setattr(Tables, "take", lambda self, most_cells: False)


def without_bounds(patch: pytest.MonkeyPatch) -> None:
    """Any build may cost nothing."""

    def nothing(tables: Tables, most_cells: int, counted: object = None, rules: bool = True) -> Bounds:
        return Bounds(0, tuple(np.zeros(size, dtype=np.int64) for size in tables.sizes))

    patch.setattr(Tables, "bounds", nothing)


def without_visits(patch: pytest.MonkeyPatch) -> None:
    """The way to a donor costs nothing until a build is scored."""

    def nothing(carriers: Mapping[str, Sequence[object]], worth: int) -> dict[str, list[int]]:
        return {at: [0] * len(donors) for at, donors in carriers.items()}

    patch.setattr(solver.search.model, "visit_shares", nothing)
    patch.setattr(solver.search.visits, "visit_shares", nothing)


def without_ways(patch: pytest.MonkeyPatch) -> None:
    """The fewest donors of what is chosen count only when a build is scored."""
    patch.setattr(Ways, "beyond", lambda self, assignments: 0)


def without_cases(patch: pytest.MonkeyPatch) -> None:
    """Which parts may come from one donor is not gone through."""
    patch.setattr(Tables, "part_ways", lambda self, most_cells, limit: True)


def without_blur(patch: pytest.MonkeyPatch) -> None:
    """What is asked of wide quantities is left to the enumeration."""
    patch.setattr(Blurs, "table", lambda self, *asked: None)


def without_classes(patch: pytest.MonkeyPatch) -> None:
    """Every candidate is judged for itself, and again each time."""
    patch.setattr(Relation, "alike", lambda self, position, part: part)
    patch.setattr(Relation, "verdict", lambda self, build: self.judge(build))


def without_anything(patch: pytest.MonkeyPatch) -> None:
    """Nothing is left but the enumeration."""
    for step in (*STEPS[:-1], without_pruning, without_tables):
        step(patch)


STEPS = (
    without_bounds,
    without_visits,
    without_ways,
    without_cases,
    without_blur,
    without_classes,
    without_anything,
)


def by_enumeration(problem: Problem) -> list[Rank]:
    dearest = problem.dearest
    found = []
    for build in builds_of(problem):
        worst = max((r.verdict(build) for r in problem.hard), default=Verdict.FITS)
        if worst is not Verdict.NO:
            ids = tuple("" if p is None else p.id for p in build.values())
            found.append((worst is Verdict.CHECK, problem.scoring.score(build, dearest), ids))
    return sorted(found)


@pytest.fixture(scope="module")
def expected() -> dict[int, list[Rank]]:
    """Every build of every problem, by plain enumeration, with nothing left out."""
    return {seed: by_enumeration(random_problem(seed)) for seed in SEEDS}


@pytest.mark.parametrize("step", STEPS)
def test_the_answer_is_the_same_without(
    step: Callable[[pytest.MonkeyPatch], None], expected: dict[int, list[Rank]], monkeypatch: pytest.MonkeyPatch
) -> None:
    step(monkeypatch)
    for seed, ranks in expected.items():
        for most in (2, len(ranks) + 1):
            answer = best_builds(random_problem(seed), most)
            assert [f.rank for f in answer.builds] == ranks[:most], seed
            assert answer.complete == (len(ranks) < most)


def test_the_problems_are_worth_it(expected: dict[int, list[Rank]]) -> None:
    """Some have certain builds, some only doubtful ones, some none."""
    kinds = {"none" if not ranks else "doubtful" if ranks[0][0] else "certain" for ranks in expected.values()}
    assert kinds == {"none", "doubtful", "certain"}
