"""Consumables: each thing once, equal things added, fluids with their grade."""

from __future__ import annotations

import pytest

from shared.ranges import Range
from solver.problem import Problem
from solver.work import consumables


def test_equal_things_are_added(problem: Problem) -> None:
    found = {s.name: s for s in consumables(problem.garage.layout, ["oil-front", "oil-rear", "oil-rear", "coils"])}
    oil = found["gear oil"]
    # Written in the layout: 1.5 l at 15 to 22 and 2 l at 20 to 28.
    assert (oil.quantity, oil.unit, oil.amount) == (3.5, "l", "3.5 l")
    assert oil.price == Range(35.0, 50.0)
    assert oil.tasks == ("oil-front", "oil-rear")
    assert found["coil isolators"].amount == "2"


def test_the_sum_is_what_the_plan_pays(problem: Problem) -> None:
    tasks = list(problem.garage.layout.tasks)
    total = sum((s.price for s in consumables(problem.garage.layout, tasks)), Range(0.0, 0.0))
    items = [c for t in problem.garage.layout.tasks.values() for c in t.consumables]
    assert total.lo == pytest.approx(sum(c.low for c in items)) and total.hi == pytest.approx(
        sum(c.high for c in items)
    )


def test_every_fluid_names_its_grade(problem: Problem) -> None:
    fluids = [s for s in consumables(problem.garage.layout, problem.garage.layout.tasks) if s.kind == "fluid"]
    assert len(fluids) >= 4
    assert all(s.grade and s.unit for s in fluids)
