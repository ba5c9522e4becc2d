"""Interchange classes: members differ in nothing but money and donors, and nothing is left out that could count."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from random import Random

import pytest

from knowledge.garage import Garage, read_goal
from shared.part import Donor, Part
from shared.plan import PlanDocument
from shared.ranges import Range
from solver.folding import fitted
from solver.planning import plan_of
from solver.problem import Problem, build_problem
from solver.report import parts_lines
from solver.search.engines import engine
from solver.search.interchange import Interchange, thinned
from tests.solver.random_problems import random_problem

TRAILER = Path(__file__).parent.parent.parent / "data" / "trailer"


def copied(problem: Problem, seed: int) -> Problem:
    """The problem with further pieces of some parts, at other prices and from other cars."""
    random, parts = Random(seed), dict(problem.garage.parts)
    for part in [p for p in parts.values() if p.host is None and not p.brings]:
        for number in range(random.randint(0, 2)):
            price = random.choice([part.price, Range.exactly(float(random.choice((5, 10, 20)))), None])
            donors = (Donor("Make", random.choice(("North", "South", "East"))),)
            copy = replace(part, id=f"{part.id}.{number}", price=price, donors=donors)
            parts[copy.id] = copy
    return build_problem(problem.goal, replace(problem.garage, parts=parts))


@pytest.mark.parametrize("seed", range(4000, 4030))
def test_a_member_in_place_of_another_changes_no_verdict(seed: int) -> None:
    """Over random builds, by asking every relation that does not count effort and every quantity."""
    problem, random = copied(random_problem(seed), seed), Random(seed)
    interchange = Interchange(problem)
    relations = [r for r in problem.relations if not r.of_effort]
    classes = {at: interchange.classes(at) for at in problem.domains}
    for _ in range(30):
        build = {at: random.choice(parts) for at, parts in problem.domains.items()}
        at = random.choice(list(problem.domains))
        members = next(m for m in classes[at] if any(p is build[at] for p in m))
        other = {**build, at: random.choice(members)}
        assert [r.judge(build) for r in relations] == [r.judge(other) for r in relations]
        for name in problem.flow.scope:
            assert problem.flow.sharpened(name, build).value == problem.flow.sharpened(name, other).value


def test_there_are_classes_to_speak_of() -> None:
    """The test above would say little if pieces of one part were never found alike."""
    larger = 0
    for seed in range(4000, 4030):
        problem = copied(random_problem(seed), seed)
        interchange = Interchange(problem)
        larger += any(len(members) > 1 for at in problem.domains for members in interchange.classes(at))
    assert larger >= 25


@pytest.mark.parametrize("seed", range(4100, 4140))
def test_what_is_thinned_out_is_in_none_of_the_best(seed: int) -> None:
    problem = copied(random_problem(seed, most_positions=3), seed)
    for most in (1, 3):
        left = thinned(problem, problem.domains, most)
        expected = [f.rank for f in engine("ours").best(problem, most).builds]
        thin = replace(problem, domains=left)
        found = [f.rank for f in engine("cp-sat").best(thin, most).builds]
        assert found == expected


def trailer_with(*more: Part) -> tuple[Problem, Garage]:
    goal, garage = read_goal(TRAILER / "goal.yaml")
    garage = replace(garage, parts=dict(sorted({**garage.parts, **{p.id: p for p in more}}.items())))
    return build_problem(goal, garage), garage


def exact(part: Part) -> bool:
    """Whether nothing is in doubt about a part."""
    values = [*part.properties.values(), *(v for port in part.ports.values() for v in (port or {}).values())]
    return all(isinstance(v.value, str) or (v.value is not None and v.value.exact) for v in values)


def test_the_plan_says_where_else_the_same_part_comes_from() -> None:
    """A dearer copy, one of unknown price, one bought new; not one with another figure, not one in doubt."""
    problem, garage = trailer_with()
    builds = plan_of(problem, "goal.yaml", most=10).builds
    rank, shown = next(
        (build.rank, p)
        for build in builds
        for p in build.parts
        if p.id is not None and p.status == "new" and p.comes_with is None and exact(garage.parts[p.id])
    )
    assert shown.id is not None
    part = garage.parts[shown.id]
    name, value = next((k, v) for k, v in part.properties.items() if isinstance(v.value, Range))
    assert isinstance(value.value, Range)
    length = value.value.hi
    copies = {
        "z-dear": replace(part, price=Range.exactly(900.0), donors=(Donor("Make", "Barge", 1980, 1990),)),
        "z-unknown": replace(part, price=None, donors=(Donor("Make", "Ark"),)),
        "z-new": replace(part, price=Range.exactly(950.0), donors=(), buy="new"),
    }
    for other, figure in (("z-other", Range.exactly(length * 1.01)), ("z-doubt", Range(length * 0.99, length * 1.01))):
        properties = {**part.properties, name: replace(value, value=figure)}
        copies[other] = replace(part, price=Range.exactly(900.0), properties=properties)
    problem, _ = trailer_with(*(replace(copy, id=name) for name, copy in copies.items()))
    document = plan_of(problem, "goal.yaml", most=10)
    again = next(p for p in document.builds[rank - 1].parts if p.position == shown.position)
    assert again.id == part.id
    assert [same.id for same in again.same] == ["z-dear", "z-new", "z-unknown"]
    text = fitted(parts_lines(document.builds[rank - 1]))
    assert "The same part also from" in text
    assert "Make Barge 1980-1990, 900; bought new, 950; Make Ark, unknown" in text
    assert PlanDocument.model_validate_json(document.model_dump_json()) == document


def test_a_plan_written_before_there_were_classes_is_still_read() -> None:
    problem, _ = trailer_with()
    tree = plan_of(problem, "goal.yaml", most=1).model_dump(mode="json")
    for part in tree["builds"][0]["parts"]:
        del part["same"]
    assert all(p.same == () for p in PlanDocument.model_validate(tree).builds[0].parts)
