"""Lookalikes: nothing but money and work tells them apart, and nothing a build could hold goes with them."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from shared.evidence import Evidence, Value
from shared.part import Part
from shared.ranges import Range
from shared.verdict import Verdict
from solver.problem import Problem, build_problem
from solver.search.openings import candidates_left
from tests.solver.random_problems import builds_of, random_problem
from tests.solver.search.test_interchange import copied


def wholly_copied(seed: int) -> Problem:
    """A drawn problem with further pieces of some parts, at other prices and from other cars."""
    return copied(random_problem(seed), seed)


@pytest.mark.parametrize("seed", range(4200, 4230))
def test_one_in_place_of_another_changes_no_verdict_and_no_value(seed: int) -> None:
    """Judged and computed afresh: what is kept would be the same for candidates that look the same."""
    problem, random = wholly_copied(seed), Random(seed)
    relations = [r for r in problem.relations if not r.of_effort]
    groups = {at: problem.lookalikes.groups(at, parts) for at, parts in problem.domains.items()}
    for _ in range(30):
        build = {at: random.choice(parts) for at, parts in problem.domains.items()}
        at = random.choice(list(problem.domains))
        members = next(m for m in groups[at] if any(p is build[at] for p in m))
        other = {**build, at: random.choice(members)}
        assert [r.judge(build) for r in relations] == [r.judge(other) for r in relations]
        for name in problem.flow.scope:
            assert problem.flow.sharpened(name, build).value == problem.flow.sharpened(name, other).value


def test_to_no_relation_they_look_different() -> None:
    larger = 0
    for seed in range(4200, 4230):
        problem = wholly_copied(seed)
        for at, parts in problem.domains.items():
            for own in problem.lookalikes.groups(at, parts):
                larger += len(own) > 1
                for relation in problem.relations:
                    if at in relation.scope and not relation.of_effort:
                        assert len({relation.alike(at, part) for part in own}) == 1
    assert larger >= 50


@pytest.mark.parametrize("seed", range(60))
def test_what_is_in_some_build_is_left(seed: int) -> None:
    problem = random_problem(seed)
    left = candidates_left(problem)
    for build in builds_of(problem):
        if all(r.verdict(build) is not Verdict.NO for r in problem.hard):
            assert left is not None
            assert all(any(part is other for other in left[at]) for at, part in build.items())


def with_height(part: Part, name: str, value: Range | None) -> Part:
    """A piece of a part under another name, with another height."""
    return replace(part, id=name, properties={"height": Value(value, str(value), Evidence.MEASURED)})


def test_whose_a_figure_is_counts_only_where_it_may_come_in_twice() -> None:
    """Unknown figures are all alike; uncertain ones are, unless the same part may be at another place as well."""
    drawn = next(p for p in map(random_problem, range(99)) if all(r.of_effort or r.looks_at for r in p.relations))
    one, two = list(drawn.domains)[:2]
    part = next(p for p in drawn.domains[one] if p is not None and drawn.effort.is_new(one, p))
    made = [with_height(part, f"unknown-{i}", None) for i in (1, 2)]
    made += [with_height(part, f"doubt-{i}", Range(1.0, 2.0)) for i in (1, 2)]
    made += [replace(with_height(part, f"twice-{i}", Range(1.0, 2.0)), positions=(one, two)) for i in (1, 2)]
    parts = {**drawn.garage.parts, **{p.id: p for p in made}}
    problem = build_problem(drawn.goal, replace(drawn.garage, parts=parts))
    looks, flow = problem.lookalikes, problem.flow
    unknown, doubt, twice = ([looks.key(one, p) for p in made[i : i + 2]] for i in (0, 2, 4))
    assert len(set(unknown)) == len(set(doubt)) == 1
    assert len(set(twice)) == 2
    assert unknown[0] != doubt[0]
    assert [flow.sight(one, p, "height")[2] for p in made] == [None] * 4 + ["twice-1", "twice-2"]
    assert [flow.seen(one, p, "height")[2] for p in made[:3]] == [None, None, "doubt-1"]
