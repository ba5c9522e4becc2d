"""How many builds keep every rule and limit at once: against judging every build, and by hand."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from knowledge.garage import read_goal
from shared.goal import Limit
from solver.counting import combinations_of, counted_whole, joint
from solver.counting.joint import builds_meeting
from solver.demo import demo_goal
from solver.problem import Problem, build_problem
from solver.search.enumeration import LimitReached
from solver.search.usable import usable_candidates
from tests.solver.random_problems import plain_problem, random_problem

MUCH = 100_000_000
LIMITS = [
    Limit("price", None, 40.0, "drawn"),
    Limit("hours", None, 5400.0, "drawn"),
    Limit("skill", None, 2.0, "drawn"),
    Limit("parts_changed", None, 2.0, "drawn"),
]


def limited(problem: Problem, limits: list[Limit]) -> Problem:
    """The problem with these limits on what is spent instead of its own."""
    kept = [r for r in problem.relations if not r.of_effort]
    return replace(problem, relations=(*kept, *(problem.demands.limit(limit) for limit in limits)))


def judged(problem: Problem) -> int:
    """How many builds meet all, every one of them judged."""
    whole = counted_whole(problem, 10**9)
    assert whole is not None
    return whole.meeting


@pytest.mark.parametrize("split", [False, True])
@pytest.mark.parametrize("seed", range(7000, 7120))
def test_drawn_problems(seed: int, split: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    """Joins, requirements, assemblies, tasks; with none, one or several limits, rules as tables and cut in two."""
    if split:
        monkeypatch.setattr(joint, "MOST_LISTED", 0)
        monkeypatch.setattr(joint, "MOST_WHOLE", 0)
    random = Random(seed)
    problem = random_problem(seed, most_positions=5)
    limits = random.sample(LIMITS, random.randrange(len(LIMITS) + 1))
    asked = limited(problem, limits)
    assert builds_meeting(asked, asked.domains, MUCH) == judged(asked), [limit.quantity for limit in limits]


@pytest.mark.parametrize("split", [False, True])
@pytest.mark.parametrize("seed", range(4))
def test_the_demo_with_a_choice_at_few_positions(seed: int, split: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    """The real layout: rules over a dozen positions, figures in doubt, tasks of several jobs, axles that carry."""
    if split:
        monkeypatch.setattr(joint, "MOST_LISTED", 4)
        monkeypatch.setattr(joint, "MOST_WHOLE", 8)
    random = Random(seed)
    goal, garage = read_goal(demo_goal("trail"))
    whole = build_problem(goal, garage)
    carriers = ["front_axle", "rear_axle", "rear_brake", "front_coil", "rear_leaf", "tyre"]
    others = random.sample([at for at in whole.domains if at not in carriers], 7)
    few = {
        at: (parts[0], *random.sample(parts[1:], 1)) if at in (*carriers, *others) else parts[:1]
        for at, parts in whole.domains.items()
    }
    limits = [Limit("price", None, 900.0, "drawn"), Limit("parts_changed", None, 6.0, "drawn")]
    kept = [r for r in whole.relations if r.limit is None or r.limit.quantity == "skill"]
    problem = replace(whole, domains=few, relations=(*kept, *map(whole.demands.limit, limits)))
    found = builds_meeting(problem, problem.domains, MUCH)
    assert found == judged(problem)
    assert found


def test_more_than_can_be_listed() -> None:
    """Forty positions, one part fitted and two others each: with at most two changed 1 + 40 * 2 + C(40, 2) * 4."""
    problem = limited(plain_problem([f"p{i}" for i in range(40)], 3), [Limit("parts_changed", None, 2.0, "two")])
    assert combinations_of(problem) == 3**40
    assert builds_meeting(problem, problem.domains, MUCH) == 1 + 80 + 780 * 4


def test_what_is_no_sum_is_not_counted() -> None:
    problem = limited(plain_problem(["one", "two"], 2), [Limit("donors", None, 1.0, "one car")])
    assert builds_meeting(problem, problem.domains, MUCH) is None


def test_nothing_is_counted_past_the_work_allowed() -> None:
    problem = limited(random_problem(7000), [])
    with pytest.raises(LimitReached):
        builds_meeting(problem, problem.domains, 5)


def test_of_the_demo_the_builds_with_each_bumper_are_all_builds() -> None:
    """Far too many to list; so their number is held against itself, put together another way."""
    problem = build_problem(*read_goal(demo_goal("trail")))
    found = usable_candidates(problem)
    domains = {
        at: tuple(p for p in parts if (at, "" if p is None else p.id) in found)[:3]
        for at, parts in problem.domains.items()
    }
    bumpers = domains["front_bar"]
    assert len(bumpers) > 1
    each = [builds_meeting(problem, {**domains, "front_bar": (bumper,)}, MUCH) for bumper in bumpers]
    assert None not in each
    assert builds_meeting(problem, domains, MUCH) == sum(count or 0 for count in each)
    assert combinations_of(problem) > sum(count or 0 for count in each) > 10**9
