"""What a rule's bound refuses of many builds at once, against each of these builds."""

from __future__ import annotations

from itertools import product
from random import Random

import pytest

from knowledge.garage import read_goal
from shared.layout import Condition, Input, Requirement
from shared.part import Part
from shared.verdict import Verdict
from solver import demo_goal
from solver.problem import Problem, build_problem
from solver.relations import Relation
from tests.solver.random_problems import random_problem

SEEDS = range(7000, 7150)


def drawn_rules(problem: Problem, random: Random) -> list[Relation]:
    """Rules on a quantity that speak only where something is fitted or changed, and with limits that parts state."""
    names = list(problem.domains)
    found = []
    for name in problem.flow.scope:
        subject = Input("quantity", name)
        stated = Input("part", random.choice(names), "height")
        other = Input("quantity", random.choice(list(problem.flow.scope)))
        for number, end in enumerate((stated, other)):
            when = random.choice(
                (
                    Condition(changed=tuple(random.sample(names, 2))),
                    Condition(fitted=(random.choice(names),)),
                    Condition(words=((Input("part", random.choice(names), "height"), ("round",)),)),
                    Condition(),
                )
            )
            low, high = (end, None) if random.random() < 0.5 else (None, end)
            rule = Requirement(f"{name} {number}", "must", "drawn", "drawn", when, subject, low, high)
            found.append(problem.demands.requirement(rule))
    return found


def refused_at_once(problem: Problem, relation: Relation, random: Random, times: int) -> int:
    """How often a bound refuses random candidates, each build out of which is asked as well."""
    assert relation.bound is not None
    refused = 0
    for _ in range(times):
        opened = {at: tuple(random.sample(problem.domains[at], random.randint(1, 2))) for at in relation.scope}
        if relation.bound(opened) is Verdict.NO:
            refused += 1
            for parts in product(*opened.values()):
                assert relation.verdict(dict(zip(opened, parts, strict=True))) is Verdict.NO, relation.name
    return refused


@pytest.mark.parametrize("seed", SEEDS)
def test_what_a_bound_refuses_no_build_passes(seed: int) -> None:
    random = Random(seed)
    problem = random_problem(seed)
    for relation in drawn_rules(problem, random):
        refused_at_once(problem, relation, random, 20)


def test_bounds_refuse_where_a_rule_speaks_on_a_condition() -> None:
    """Of each kind of condition some are refused at once, so that the test above tests something."""
    kinds = {"changed": 0, "fitted": 0, "a limit of a part": 0, "a limit of a quantity": 0}
    for seed in SEEDS:
        random = Random(seed)
        problem = random_problem(seed)
        for relation in drawn_rules(problem, random):
            rule = relation.rule
            assert rule is not None
            end = rule.at_least or rule.at_most
            refused = refused_at_once(problem, relation, random, 10)
            kinds["changed"] += refused * bool(rule.when.changed)
            kinds["fitted"] += refused * bool(rule.when.fitted)
            kinds["a limit of a part"] += refused * (end is not None and end.source == "part")
            kinds["a limit of a quantity"] += refused * (end is not None and end.source == "quantity")
    assert all(kinds.values()), kinds


def test_a_rule_for_words_is_bounded_where_all_have_the_word() -> None:
    """On the demo: a bound looks only at propshafts of the kind the rule speaks for."""
    problem = build_problem(*read_goal(demo_goal("trail"), "metric"))
    relation = problem.named("front-joints-alike")
    rule = relation.rule
    assert rule is not None and rule.when.words
    item, words = rule.when.words[0]
    fixed = {at: (problem.stock[at],) for at in relation.scope}

    def said(part: Part | None) -> bool:
        return problem.flow.part_value(item.name, part, item.path).value in words

    every = problem.domains[item.name]
    assert problem.demands.surely_speaks(rule.when, {**fixed, item.name: [p for p in every if said(p)]})
    assert not problem.demands.surely_speaks(rule.when, {**fixed, item.name: every})
