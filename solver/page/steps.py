"""The work of a build in order and what it uses up, as the page lists them."""

from __future__ import annotations

import networkx as nx

from shared.ranges import Range
from shared.units import System

from ..problem import Problem
from ..relations import Build
from ..words import number
from .document import StepShown, SupplyShown


def supplies_of(problem: Problem, build: Build, units: System) -> tuple[SupplyShown, ...]:
    """What the tasks of a build use up, in the order of the work."""
    tasks = {task.id: task for task in problem.effort.tasks(build)}
    return tuple(
        SupplyShown(
            key=f"supply:{step.key}:{item.name}",
            name=item.name,
            amount=item.amount,
            price=number(Range(item.low, item.high), "money", units),
            tasks=(step.title,),
        )
        for step in steps_of(problem, build, units)
        for item in tasks[step.key.removeprefix("work:")].consumables
    )


def steps_of(problem: Problem, build: Build, units: System) -> tuple[StepShown, ...]:
    """The tasks of a build, each after those it has to follow, else in the layout's own order."""
    layout = problem.garage.layout
    tasks = {task.id: task for task in problem.effort.tasks(build)}
    order = {name: i for i, name in enumerate(layout.tasks)}
    after = nx.DiGraph()
    after.add_nodes_from(tasks)
    after.add_edges_from((first, name) for name, task in tasks.items() for first in task.after if first in tasks)
    return tuple(
        StepShown(
            key=f"work:{task.id}",
            title=task.title,
            about=task.about,
            hours=number(Range.exactly(task.hours), "time", units).text,
            skill=task.skill,
            tools=task.tools,
            supplies=tuple(f"{item.name}, {item.amount}" for item in task.consumables),
            cautions=tuple(layout.cautions[c] for c in task.cautions),
            checks=task.checks,
        )
        for task in (tasks[n] for n in nx.lexicographical_topological_sort(after, key=lambda n: order[n]))
    )
