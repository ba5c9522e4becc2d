"""The benchmark's catalogues are real files, have so many candidates, and are the same every time."""

from __future__ import annotations

from pathlib import Path

import pytest

from knowledge.garage import read_goal
from solver.problem import build_problem
from tests.benchmarks.catalogues import Recipe, write_catalogue

MONEY = {"loose": None, "tight": 400.0}


def contents(folder: Path) -> dict[str, bytes]:
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*.yaml"))}


@pytest.mark.parametrize("grid", [0.001, 0.0001])
def test_a_catalogue_is_read_without_fault(tmp_path: Path, grid: float) -> None:
    """Every position has as many candidates as asked for; a fault in any file would raise."""
    folder = write_catalogue(tmp_path, Recipe(4, grid), MONEY)
    goal, garage = read_goal(folder / "goal-tight.yaml")
    for at, parts in build_problem(goal, garage).domains.items():
        unaltered = [p for p in parts if p is not None and not p.altered]
        assert len(unaltered) == 4, at
    assert next(limit.at_most for limit in goal.limits if limit.quantity == "price") == 400.0


def test_the_seed_alone_decides(tmp_path: Path) -> None:
    drawn = (("a", 1), ("b", 1), ("c", 2))
    first, again, other = (contents(write_catalogue(tmp_path / name, Recipe(3, seed=seed))) for name, seed in drawn)
    assert first == again
    assert first != other
