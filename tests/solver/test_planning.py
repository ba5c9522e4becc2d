"""Consequences as they come out: every room is the difference of the numbers printed beside it."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest

from knowledge.garage import read_goal
from shared.units import System, unit_of
from solver.demo import demo_goal
from solver.planning import consequences
from solver.problem import Problem, build_problem

CHANGES = (
    {},
    {"front_coil": "coil-lindel-long", "rear_block": "block-40", "tyre": "tyre-225"},
    {"front_coil": "coil-hearsay", "tyre": "tyre-235"},
)


@pytest.fixture(scope="module", params=["metric", "us"])
def demo(request: pytest.FixtureRequest) -> tuple[Problem, System]:
    return build_problem(*read_goal(demo_goal(), request.param)), request.param


def numbers(text: str, unit: str) -> list[Fraction]:
    return [Fraction(n) for n in re.findall(r"-?\d+\.\d+|-?\d+", text.replace(unit, "") if unit else text)]


@pytest.mark.parametrize("changes", CHANGES, ids=["as it is", "raised", "in doubt"])
def test_every_room_is_what_lies_between_the_printed_numbers(
    demo: tuple[Problem, System], changes: dict[str, str]
) -> None:
    problem, units = demo
    build = problem.stock | {at: problem.garage.parts[part] for at, part in changes.items()}
    rows = [row for row in consequences(problem, build, units) if row.margin is not None]
    assert len(rows) > 30
    for row in rows:
        assert row.margin is not None and row.margin.lo is not None
        unit = unit_of(row.measure, units)
        value, limits, [room] = (numbers(text, unit) for text in (row.new.text, row.limits, row.margin.text))
        rooms = [] if row.limits.startswith("at most") else [value[0] - limits[0]]
        rooms += [] if row.limits.startswith("at least") else [limits[-1] - value[-1]]
        assert room == min(rooms), row
        assert abs(row.margin.lo) < 1e-6 or (room > 0) == (row.margin.lo > 0), row
