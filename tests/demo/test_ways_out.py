"""Every change the demo's refused goals are told of, typed into the goal as it is printed and planned again.

A way out is for the whole goal; a mend of a conflict is for that conflict, so that only its lines are kept.  What is
found is a build by a search that knows nothing of the explanation, and certain where certainty was promised.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache
from pathlib import Path

import pytest
from ruamel.yaml import YAML

from knowledge.garage import read_goal
from shared.explained import MendShown, RelaxationShown
from solver import demo_goal, plan, why
from solver.explain.document import WhyDocument
from solver.problem import Problem, build_problem
from solver.search.possible import Possible

NAMES = ("impossible", "clash")


@cache
def answered(name: str) -> WhyDocument:
    return why(demo_goal(name))


def written(name: str, folder: Path, changes: Iterable[tuple[str, str]], lines: set[str] | None = None) -> Path:
    """The goal with changes typed in: by line, the printed limit or that it is given up; only ``lines`` are kept."""
    yaml = YAML(typ="safe")
    goal = yaml.load(demo_goal(name).read_text("utf-8"))
    goal["vehicle"] = str(demo_goal(name).parent / "vehicle.yaml")
    goal["catalogue"] = [str(demo_goal(name).parent / "catalogue")]
    for line, text in changes:
        kind, _, key = line.partition(" ")
        if kind == "want" and "given up" not in text:
            quantity, limit = re.fullmatch(r"(.+?) (at (?:least|most) .+)", text).groups()  # type: ignore[union-attr]
            assert quantity.replace(" ", "_") == key
            goal["want"][key] = limit
        elif kind == "use":
            del goal["use"][key.removeprefix("at ")]
        else:
            raise AssertionError(f"{name} has no line {line}")
    if lines is not None:
        goal["want"] = {key: text for key, text in goal.get("want", {}).items() if f"want {key}" in lines}
        goal["use"] = {key: text for key, text in goal.get("use", {}).items() if f"use at {key}" in lines}
        if "alterations" not in lines:
            goal.pop("alterations", None)
    file = folder / "goal.yaml"
    with file.open("w", encoding="utf-8") as out:
        yaml.dump({key: value for key, value in goal.items() if value not in ({}, [])}, out)
    return file


def met(file: Path, verdict: str) -> Problem:
    """The problem of a goal, some build of which meets it; for certain where the verdict says so."""
    problem = build_problem(*read_goal(file))
    reply = Possible(problem, certain=verdict == "fits").ask(problem.hard)
    assert reply.build is not None
    assert all(relation.verdict(reply.build).value <= (0 if verdict == "fits" else 1) for relation in problem.hard)
    return problem


def ways(name: str) -> list[RelaxationShown]:
    return list(answered(name).relaxations)


@pytest.mark.parametrize("name", NAMES)
def test_every_way_out_is_one(name: str, tmp_path: Path) -> None:
    assert ways(name)
    for way in ways(name):
        met(written(name, tmp_path, [(c.line, c.new) for c in way.changes]), way.verdict)


@pytest.mark.parametrize("name", NAMES)
def test_no_change_of_a_way_out_can_be_spared(name: str, tmp_path: Path) -> None:
    for way in ways(name):
        for spared in way.changes:
            file = written(name, tmp_path, [(c.line, c.new) for c in way.changes if c is not spared])
            problem = build_problem(*read_goal(file))
            assert Possible(problem, certain=way.verdict == "fits").ask(problem.hard).build is None


@pytest.mark.parametrize("name", NAMES)
def test_every_mend_of_a_conflict_settles_it(name: str, tmp_path: Path) -> None:
    tried = 0
    for conflict in answered(name).conflicts:
        lines = {m.name for m in conflict.members if m.kind != "rule"}
        for mend in conflict.mends:
            assert isinstance(mend, MendShown) and mend.line is not None
            met(written(name, tmp_path, [(mend.line, mend.text)], lines), mend.verdict)
            tried += 1
    assert tried >= 4


@pytest.mark.parametrize("name", NAMES)
def test_the_first_way_out_is_planned(name: str, tmp_path: Path) -> None:
    """The plan has a build, and it costs no less than the cheapest the way out tells of."""
    way = ways(name)[0]
    found = plan(written(name, tmp_path, [(c.line, c.new) for c in way.changes]), most=1)
    assert found.builds and found.builds[0].verdict == way.verdict == "fits"
    least, cost = way.price.hi, found.builds[0].price.hi
    assert least is not None and cost is not None and cost >= least - 0.01
