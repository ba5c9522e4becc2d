"""Dropping what is beyond a limit, where bounds that are not tight leave a position nothing."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from knowledge.garage import read_goal
from solver.problem import build_problem
from solver.search.elimination import Bounds
from solver.search.model import Tables

TRAILER = Path(__file__).parents[2] / "data" / "trailer"


def test_a_position_without_any_value_within_the_limit_means_nothing_is_within_it() -> None:
    problem = build_problem(*read_goal(TRAILER / "goal.yaml"))
    tables = Tables(problem, problem.domains, True)
    sizes = list(tables.sizes)
    through = tuple(np.full(size, 10 if v == 0 else 3, dtype=np.int64) for v, size in enumerate(sizes))
    found = tables.keep(Bounds(3, through), 5)
    assert found.total > 5
    assert tables.sizes == sizes
