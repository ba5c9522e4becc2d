"""What builds spend of one thing, as a sum in whole numbers: what each part spends, and what each task spends once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import floor, gcd

from shared.goal import Limit
from shared.part import Part
from shared.work import Task

from ..problem import Problem

# Whole numbers of these are what is added up: cents, seconds, single parts.
UNITS = {"price": 100.0, "hours": 1.0, "skill": 1.0, "parts_changed": 1.0}
_NEAR = 1e-6


@dataclass(frozen=True)
class Sum:
    """At most ``most`` may be spent.

    ``parts`` has for each position what its candidates spend by themselves, in their order; ``jobs`` what tasks spend,
    by the numbers of the positions of which work at any calls for them.
    """

    most: int
    parts: Mapping[str, tuple[int, ...]]
    jobs: Mapping[frozenset[int], int]


def sum_of(problem: Problem, limit: Limit) -> Sum | None:
    """The sum that an upper limit is on; ``None`` where it is on none, or on one not in whole cents or seconds.

    A price nobody knows counts as nothing.  Of skill what is too much is counted, of which there may be none.
    """
    name, most = limit.quantity, limit.at_most
    if name not in UNITS or most is None or limit.at_least is not None:
        return None
    unit = UNITS[name]
    parts = {
        at: [_part(problem, name, most, at, part) * unit for part in domain] for at, domain in problem.domains.items()
    }
    jobs = {calling: cost * unit for calling, cost in _jobs(problem, name, most).items()}
    spent = [*(cost for costs in parts.values() for cost in costs), *jobs.values()]
    if any(abs(cost - round(cost)) > _NEAR for cost in spent):
        return None
    step = gcd(*(round(cost) for cost in spent)) or 1
    return Sum(
        floor((0.0 if name == "skill" else most * unit) / step + _NEAR),
        {at: tuple(round(cost) // step for cost in costs) for at, costs in parts.items()},
        {calling: round(cost) // step for calling, cost in jobs.items()},
    )


def _part(problem: Problem, name: str, most: float, at: str, part: Part | None) -> float:
    """What a candidate spends by itself."""
    if not problem.effort.is_new(at, part):
        return 0.0
    if name == "parts_changed":
        return 1.0
    if part is None:
        return 0.0
    if name == "price":
        return 0.0 if part.price is None else part.price.lo
    return part.hours.lo if name == "hours" else float(part.skill > most)


def _task(name: str, most: float, task: Task) -> float:
    """What a task spends once."""
    if name == "price":
        return sum(item.low for item in task.consumables)
    if name == "hours":
        return task.hours
    return float(task.skill > most) if name == "skill" else 0.0


def _jobs(problem: Problem, name: str, most: float) -> dict[frozenset[int], float]:
    """What tasks spend, by the positions of which work at any calls for them."""
    number = {at: v for v, at in enumerate(problem.domains)}
    found: dict[frozenset[int], float] = {}
    for task_name, positions in problem.effort.callers.items():
        task = problem.garage.layout.tasks[task_name]
        calling = frozenset(number[at] for at in positions)
        if calling and (spent := _task(name, most, task)):
            found[calling] = found.get(calling, 0.0) + spent
    return found
