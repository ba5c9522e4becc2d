"""Where somebody has to work: at what is new, and at what moves to a new host; not at what comes mounted."""

from __future__ import annotations

from pathlib import Path

import pytest

from knowledge.garage import read_goal
from solver.effort import Handling
from solver.problem import Problem, build_problem

TRAILER = Path(__file__).parent.parent / "data" / "trailer"


@pytest.fixture(scope="module")
def problem() -> Problem:
    return build_problem(*read_goal(TRAILER / "goal.yaml"))


@pytest.mark.parametrize(
    ("chosen", "touched"),
    [
        ({}, []),
        ({"wheel": "wheel-five"}, ["wheel"]),
        ({"hub": "hub-big"}, ["hub"]),  # bought alone; the wheel is no part of the hub's own list, and stays
        ({"axle": "axle-big"}, ["axle", "hub"]),  # the old hub moves over
        ({"axle": "axle-big", "hub": "hub-big@axle-big"}, ["axle"]),
        ({"axle": "axle-big", "hub": "hub-big"}, ["axle", "hub"]),
        ({"axle": "axle-big", "hub": None}, ["axle", "hub"]),  # the old one has to come off
    ],
)
def test_where_somebody_works(problem: Problem, chosen: dict[str, str | None], touched: list[str]) -> None:
    parts = problem.garage.parts
    build = {**problem.stock, **{at: None if name is None else parts[name] for at, name in chosen.items()}}
    assert list(problem.effort.touched(build)) == touched
    for at in problem.garage.layout.positions:
        assert problem.effort.is_touched(at, build) == (at in touched)


def test_nothing_on_a_new_host_is_no_work() -> None:
    """A place that was empty and stays so."""
    empty = Handling(new=False, mounted=False, bare=True)
    assert not empty.touched(new_host=True)
    assert Handling(new=False, mounted=False, bare=False).touched(new_host=True)
