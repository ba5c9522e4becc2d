"""What is read of candidates: rows of numbers, shapes, and one part whose figures hold those of several."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest

from shared.layout import Input
from shared.ranges import Range
from solver.problem import Problem
from solver.search.figures import Figures
from tests.solver.random_problems import random_problem


def read(problem: Problem, at: str) -> Figures:
    """Everything any quantity reads at a position."""
    paths = problem.flow.paths([Input("quantity", name) for name in problem.flow.scope])
    return Figures(problem.flow, at, paths.get(at, ()))


@pytest.mark.parametrize("seed", range(30))
def test_candidates_of_one_shape_are_blurred_into_a_part_that_holds_them_all(seed: int) -> None:
    problem, random = random_problem(seed), Random(seed)
    for at, parts in problem.domains.items():
        figures = read(problem, at)
        sheet = figures.sheet(parts)
        for shape in set(sheet.shapes.tolist()):
            same = np.flatnonzero(sheet.shapes == shape)
            members = np.array(sorted(random.sample(same.tolist(), random.randint(1, len(same)))))
            whole = figures.blurred(sheet, members)
            for path in figures.paths:
                found = problem.flow.part_value(at, whole, path).value
                said = [problem.flow.part_value(at, parts[m], path).value for m in members]
                if isinstance(found, Range):
                    assert all(isinstance(v, Range) and v.within(found) for v in said)
                else:
                    assert set(said) == {found}


@pytest.mark.parametrize("seed", range(30))
def test_one_figure_alone_goes_as_far_as_it_does_among_the_members(seed: int) -> None:
    problem = random_problem(seed)
    for at, parts in problem.domains.items():
        figures = read(problem, at)
        sheet = figures.sheet(tuple(part for part in parts if part is not None))
        for shape in set(sheet.shapes.tolist()):
            members = np.flatnonzero(sheet.shapes == shape)
            middle = sheet.parts[members[len(members) // 2]]
            assert middle is not None
            for column, path in enumerate(figures.paths):
                moved = figures.moved(sheet, members, column)
                assert moved is not None
                for other in figures.paths:
                    value = middle.attribute(other).value
                    if other == path and isinstance(value, Range):
                        ends = [v for m in members if isinstance(v := sheet.parts[m].attribute(path).value, Range)]  # type: ignore[union-attr]
                        value = Range(min(v.lo for v in ends), max(v.hi for v in ends))
                    assert moved.attribute(other).value == value


def test_what_is_read_again_is_the_same_row() -> None:
    problem = random_problem(1)
    at, parts = next((at, parts) for at, parts in problem.domains.items() if len(parts) > 1)
    figures = read(problem, at)
    first, again = figures.sheet(parts), figures.sheet(parts[::-1])
    assert first.shapes.tolist() == again.shapes.tolist()[::-1]
    assert (first.low == again.low[::-1]).all() and (first.high == again.high[::-1]).all()
