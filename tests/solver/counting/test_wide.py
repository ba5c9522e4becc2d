"""What a wide rule refuses is counted exactly, or not at all; held against asking it of every combination."""

from __future__ import annotations

from dataclasses import replace
from itertools import product
from random import Random
from typing import Literal

import pytest

from knowledge.garage import Garage, read_goal
from shared.evidence import Evidence, Value
from shared.goal import Goal
from shared.interface import Attribute, PartKind
from shared.layout import Call, Choice, Condition, Input, Layout, Position, Quantity, Requirement
from shared.part import Part
from shared.ranges import Range
from shared.vehicle import Vehicle
from shared.verdict import Verdict
from solver.counting.wide import WideCounts
from solver.demo import demo_goal
from solver.problem import Problem, build_problem
from solver.relations import Relation
from tests.solver.random_problems import random_problem

MUCH = 10_000_000


def listed(problem: Problem, relation: Relation) -> int:
    """How many combinations of its scope a relation refuses, each judged afresh."""
    domains = [problem.domains[at] for at in relation.scope]
    return sum(
        relation.judge(dict(zip(relation.scope, parts, strict=True))) is Verdict.NO for parts in product(*domains)
    )


def rules(problem: Problem) -> list[Relation]:
    """The relations that can be counted along the flow of quantities."""
    return [r for r in problem.hard if r.rule is not None and r.rule.subject is not None and not r.of_effort]


@pytest.mark.parametrize("rows", [1, 6, 10_000])
def test_counts_of_drawn_rules_are_those_of_listing(rows: int) -> None:
    asked = 0
    for seed in range(150):
        problem = random_problem(seed)
        for relation in rules(problem):
            assert WideCounts(problem, rows).refused(relation, MUCH) == listed(problem, relation), (seed, relation.name)
            asked += 1
    assert asked > 250


@pytest.mark.parametrize("seed", range(6))
def test_counts_of_the_demo_with_few_candidates_are_those_of_listing(seed: int) -> None:
    """Every wide rule of the real layout: formulas that turn, words that choose, figures in doubt or unknown."""
    random = Random(seed)
    goal, garage = read_goal(demo_goal("trail"))
    whole = build_problem(goal, garage)
    few = {at: (parts[0], *random.sample(parts[1:], min(len(parts) - 1, 1))) for at, parts in whole.domains.items()}
    problem = replace(whole, domains=few)
    counts = WideCounts(problem, random.choice((1, 8, 1_000)))
    asked = 0
    for relation in rules(problem):
        if 4 < len(relation.scope) < 10:
            assert counts.refused(relation, MUCH) == listed(problem, relation), relation.name
            asked += 1
    assert asked > 20


def _summing(heights: dict[str, list[Value]], most: float, changed: tuple[str, ...] = ()) -> Problem:
    """Parts of these heights at some positions, and a rule that they come to no more than ``most`` together."""
    kind = PartKind("block", "block", {"height": Attribute("height", "length"), "form": Attribute("form", "word")}, {})
    positions = {at: Position(at, "block", at) for at in heights}
    word = Value("low", "low", Evidence.MEASURED)
    parts = {
        f"{at}-{i}": Part(f"{at}-{i}", f"{at} {i}", "block", (at,), {}, {"height": height, "form": word})
        for at, values in heights.items()
        for i, height in enumerate(values)
    }
    total = Call("total", tuple(Input("part", at, "height") for at in heights))
    limit = Input("literal", "most", value=Value(Range.exactly(most), "most", Evidence.MEASURED))
    rule = Requirement("low", "must", "not too high", "test", Condition(changed), Input("quantity", "sum"), None, limit)
    quantity = Quantity("sum", "length", "sum", ((total, "computed"),))
    layout = Layout("blocks", "", {}, {"block": kind}, positions, {}, {}, (), {"sum": quantity}, (rule,), {}, {})
    vehicle = Vehicle("blocks", "blocks", {}, {}, {at: f"{at}-0" for at in heights})
    return build_problem(Goal("blocks"), Garage(layout, vehicle, parts))


def _word(word: str) -> Value:
    return Value(word, word, Evidence.MEASURED)


def _exactly(number: float) -> Value:
    return Value(Range.exactly(number), f"{number:g}", Evidence.MEASURED)


def test_far_more_builds_than_can_be_listed() -> None:
    """Twelve positions with ten heights of 0 to 9 each: how many numbers of twelve digits have digits that sum to more
    than 100 is known by adding up digit by digit."""
    ways = [1]
    for _ in range(12):
        ways = [sum(ways[s - d] for d in range(10) if 0 <= s - d < len(ways)) for s in range(len(ways) + 9)]
    problem = _summing({f"p{i:02}": [_exactly(float(d)) for d in range(10)] for i in range(12)}, 100.0)
    # In three steps, so that there is something to put together.
    flow = problem.garage.layout.quantities
    for n, name in enumerate(("one", "two", "three")):
        own = tuple(Input("part", f"p{i:02}", "height") for i in range(4 * n, 4 * n + 4))
        flow[name] = Quantity(name, "length", name, ((Call("total", own), "computed"),))  # type: ignore[index]
    thirds = Call("total", tuple(Input("quantity", name) for name in ("one", "two", "three")))
    flow["sum"] = replace(flow["sum"], ways=((thirds, "computed"),))  # type: ignore[index]
    problem = build_problem(problem.goal, problem.garage)
    counts = WideCounts(problem, 10_000)
    assert counts.refused(problem.named("low"), MUCH) == sum(ways[101:])


def test_a_figure_in_doubt_refuses_only_where_all_of_it_is_too_much() -> None:
    wide = Value(Range(1.0, 5.0), "1 to 5", Evidence.MEASURED)
    problem = _summing({"a": [_exactly(0.0), wide], "b": [_exactly(3.0), wide, _exactly(9.0)]}, 8.0)
    # 9 with nothing, and 9 with anything from 1 to 5.
    assert WideCounts(problem).refused(problem.named("low"), MUCH) == 2


def test_what_nobody_knows_refuses_nothing() -> None:
    unknown = Value(None, "unknown", Evidence.GUESSED)
    problem = _summing({"a": [_exactly(0.0), unknown], "b": [_exactly(9.0), unknown]}, 8.0)
    assert WideCounts(problem).refused(problem.named("low"), MUCH) == 1


def test_a_rule_that_speaks_when_something_is_changed() -> None:
    heights = {"a": [_exactly(9.0), _exactly(9.0)], "b": [_exactly(9.0), _exactly(0.0)]}
    problem = _summing(heights, 8.0, ("a",))
    assert WideCounts(problem).refused(problem.named("low"), MUCH) == 2


@pytest.mark.parametrize("rows", [1, 100])
@pytest.mark.parametrize("source", ["part", "quantity", "vehicle"])
def test_a_rule_that_speaks_where_a_word_holds(source: Literal["part", "quantity", "vehicle"], rows: int) -> None:
    """The word stands on a part, is a quantity's value (computed ahead or with the box), or is one of the car."""
    heights = {"a": [_exactly(float(i % 3)) for i in range(6)], "b": [_exactly(float(i)) for i in range(6)]}
    plain = _summing(heights, 4.0)
    parts = {
        name: replace(part, properties={**part.properties, "form": _word("low" if name in ("a-1", "a-2") else "high")})
        for name, part in plain.garage.parts.items()
    }
    way = Choice(Input("part", "a", "form"), {w: Input("part", "a", "form") for w in ("low", "high")})
    said = Input(source, "a", "form") if source == "part" else Input(source, "form")
    old = plain.garage.layout
    layout = replace(
        old,
        quantities={**old.quantities, "form": Quantity("form", "word", "form", ((way, "computed"),))},
        requirements=(replace(old.requirements[0], when=Condition(words=((said, ("low",)),))),),
    )
    counted = []
    for word in ("low", "high"):
        vehicle = replace(plain.garage.vehicle, properties={"form": _word(word)})
        problem = build_problem(plain.goal, Garage(layout, vehicle, parts))
        relation = problem.named("low")
        counted.append(WideCounts(problem, rows).refused(relation, MUCH))
        assert counted[-1] == listed(problem, relation)
    # Heights of 1 and 2 with 4 or 5, and with 3, 4 or 5; whichever of all six, twice each, on the car that is so.
    assert counted == ([2 * (1 + 2 + 3), 0] if source == "vehicle" else [2 + 3, 2 + 3])


def test_without_work_nothing_is_counted_rather_than_guessed() -> None:
    heights = {f"p{i:02}": [_exactly(float(d)) for d in range(7)] for i in range(8)}
    problem = _summing(heights, 24.0)
    assert WideCounts(problem, 10).refused(problem.named("low"), 500) is None


def test_a_count_is_the_same_whatever_was_counted_before() -> None:
    goal, garage = read_goal(demo_goal("trail"))
    first, second = (build_problem(goal, garage) for _ in range(2))
    names = [r.name for r in rules(first) if len(r.scope) > 4]
    one, two = WideCounts(first), WideCounts(second)
    forward = {name: one.refused(first.named(name), 2_000) for name in names}
    backward = {name: two.refused(second.named(name), 2_000) for name in reversed(names)}
    assert forward == backward
    assert any(n is None for n in forward.values())
    assert any(forward.values())
