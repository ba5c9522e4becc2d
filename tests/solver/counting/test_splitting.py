"""A rule split at a quantity, against asking it of every combination."""

from __future__ import annotations

from itertools import product
from random import Random

import pytest

from knowledge.garage import read_goal
from solver.counting.splitting import cut_of, kinds
from solver.demo import demo_goal
from solver.problem import Problem, build_problem


@pytest.fixture(scope="module")
def problem() -> Problem:
    return build_problem(*read_goal(demo_goal("trail")))


RULES = ["front-first-driver", "rear-torsional", "rear-joints-alike", "rear-slip-bump", "pedal-travel", "headlamps"]


@pytest.mark.parametrize("name", RULES)
def test_kinds_are_what_the_rule_says_of_each_combination(name: str, problem: Problem) -> None:
    random = Random(name)
    relation = problem.named(name)
    few = {
        at: random.sample(parts, min(2, len(parts))) if at in relation.scope else parts[:1]
        for at, parts in problem.domains.items()
    }
    cut = cut_of(relation, problem.flow, {at: len(parts) for at, parts in few.items()})
    assert cut is not None
    settled = {at: parts[0] for at, parts in few.items() if at in relation.scope and len(parts) == 1}
    behind = [settled | dict(zip(cut.behind, parts, strict=True)) for parts in product(*(few[at] for at in cut.behind))]
    others = [dict(zip(cut.others, parts, strict=True)) for parts in product(*(few[at] for at in cut.others))]
    asked = 0

    def count() -> None:
        nonlocal asked
        asked += 1

    found = kinds(relation, problem.flow, cut, behind, others, count)
    for bits, build in zip(found, behind, strict=True):
        for i, other in enumerate(others):
            assert bool(bits >> i & 1) == relation.holds(build | other)
    assert asked


def test_a_cut_parts_the_positions_with_a_choice(problem: Problem) -> None:
    relation = problem.named("front-first-driver")
    cut = cut_of(relation, problem.flow, {at: min(3, len(parts)) for at, parts in problem.domains.items()})
    assert cut is not None
    assert not set(cut.behind).intersection(cut.others)
    assert {*cut.behind, *cut.others} == {at for at in relation.scope if len(problem.domains[at]) > 1}
    assert set(cut.beside) <= set(cut.behind)


def test_what_looks_at_one_figure_has_no_cut(problem: Problem) -> None:
    sizes = {at: len(parts) for at, parts in problem.domains.items()}
    assert cut_of(problem.named("want price"), problem.flow, sizes) is None
    assert cut_of(problem.named("rear-shafts-in-carrier"), problem.flow, sizes) is None
