"""The work of a build in order and what it uses up, as the page lists them."""

from __future__ import annotations

from shared.units import System

from ..problem import Problem
from ..relations import Build
from ..words import money
from ..work import consumables
from ..work.desk import desk_for
from ..work.text import part_line, torque_line
from .document import StepShown, SupplyShown


def supplies_of(problem: Problem, build: Build) -> tuple[SupplyShown, ...]:
    """What the tasks of a build use up, equal things added together."""
    layout = problem.garage.layout
    return tuple(
        SupplyShown(
            key=f"supply:{item.kind}:{item.name}:{item.grade}:{item.unit}",
            name=item.name,
            amount=f"{item.amount}, {item.grade}" if item.grade else item.amount,
            price=money(item.price),
            tasks=tuple(layout.tasks[name].title for name in item.tasks),
        )
        for item in consumables(layout, (task.id for task in problem.effort.tasks(build)))
    )


def steps_of(problem: Problem, build: Build, units: System) -> tuple[StepShown, ...]:
    """The steps of a build in one person's order; a caution stands at the first step it belongs to."""
    desk = desk_for(problem, build, units=units)
    torques = {torque.id: torque_line(torque) for torque in desk.torques()}
    cautions = {caution.id: caution for caution in desk.cautions()}
    return tuple(
        StepShown(
            key=f"work:{step.id}",
            title=step.does,
            about="; ".join([*map(part_line, step.parts), *(torques[name] for name in step.torques)]),
            hours=step.hours.text,
            skill=step.skill,
            tools=step.tools,
            supplies=tuple(f"{item.name}, {item.text}" for item in step.consumables),
            cautions=tuple(cautions[name].says for name in step.cautions if cautions[name].first == step.id),
            checks=tuple(f"{check.says} ({check.limit})" if check.limit else check.says for check in step.checks),
        )
        for step in desk.shown()
    )
