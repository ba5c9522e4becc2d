"""From a plan's build to its work: steps in order, who does what, what with, and what to check."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import networkx as nx

from shared.ranges import Range
from shared.units import System
from shared.verdict import Verdict

from ..graph.sources import opened
from ..problem import Problem
from ..relations import Build
from ..words import look, shown
from .desk import desk_for
from .document import DriveShown, LookShown, NoWork, SlotShown, TimetableShown, WorkDocument
from .graph import Graph, critical_path, stands_used
from .jobs import SIDES, jobs_of
from .scheduling import timetable
from .showing import duration, supply_shown
from .supplies import consumables


def work(source: Path, build: int = 1, stands: int = 4, units: System = "metric") -> WorkDocument | NoWork:
    """The work of one ``build`` of a plan's JSON, or of a goal, which is planned first.

    ``stands`` is how many axle stands there are.

    Raises :class:`shared.faults.BadInput` with every fault of every file, or where the stands cannot do.
    """
    found = opened(source, build, units)
    if found.build is None:
        return NoWork(goal=found.problem.goal.name, vehicle=found.problem.garage.vehicle.name)
    return work_of(found.problem, found.build, build, stands, units)


def work_of(problem: Problem, build: Build, rank: int = 1, stands: int = 4, units: System = "metric") -> WorkDocument:
    """The work of a build of a problem already read."""
    desk = desk_for(problem, build, stands, units)
    graph, steps = desk.graph, desk.steps
    chain, longest = critical_path(graph)
    held = {r.name: r.verdict(build) for r in problem.hard if r.kind != "goal choice"}
    tasks = problem.effort.tasks(build)
    at_once, for_all = stands_used(steps, problem.garage.layout.apart, stands)
    return WorkDocument(
        goal=problem.goal.name,
        vehicle=problem.garage.vehicle.name,
        layout=problem.garage.layout.name,
        build=rank,
        stands=at_once,
        stands_there=stands,
        stands_for_all=for_all,
        steps=desk.shown(),
        hours=duration(problem.effort.hours(build)),
        longest=duration(Range.exactly(longest)),
        longest_chain=chain,
        two=_two(graph),
        tools=tuple(sorted({tool for step in steps for tool in step.tools})),
        consumables=tuple(supply_shown(s) for s in consumables(problem.garage.layout, (t.id for t in tasks))),
        torques=desk.torques(),
        cautions=desk.cautions(),
        drives=_drives(graph, [step.id for step in steps]),
        later=desk.later(),
        rules_held=sum(verdict is Verdict.FITS for verdict in held.values()),
        rules_to_check=tuple(sorted(name for name, verdict in held.items() if verdict is Verdict.CHECK)),
        to_measure=_to_measure(problem, build),
        rules_broken=tuple(sorted(name for name, verdict in held.items() if verdict is Verdict.NO)),
        looks=_looks(problem, build, units),
    )


def _looks(problem: Problem, build: Build, units: System) -> tuple[LookShown, ...]:
    reasons = (shown(x, r.severity, units) for r in problem.looks for x in r.explain(build))
    told = ((look(reason), reason.source) for reason in reasons)
    return tuple(dict.fromkeys(LookShown(says=says, about=about, source=source) for (says, about), source in told))


def _to_measure(problem: Problem, build: Build) -> tuple[str, ...]:
    """What the rules in doubt hang on, each once."""
    doubtful = [r for r in problem.hard if r.verdict(build) is Verdict.CHECK]
    return tuple(dict.fromkeys(need for r in doubtful for reason in r.explain(build) for need in reason.needs))


def _two(graph: Graph) -> TimetableShown:
    found = timetable(jobs_of(graph))
    slots = []
    for slot in found.slots:
        step, _, side = slot.name.partition(" ")
        people = tuple(p + 1 for p in slot.people)
        slots.append(
            SlotShown(step=step, side=side if side in SIDES else "", start=slot.start, end=slot.end, people=people)
        )
    return TimetableShown(
        hours=duration(Range.exactly(found.seconds)),
        least=duration(Range.exactly(found.bound)),
        proved=found.proved,
        slots=tuple(slots),
    )


def _drives(graph: Graph, order: Sequence[str]) -> tuple[DriveShown, ...]:
    """Every step that moves the car, with the number of checks that come before it."""
    found = []
    for node in order:
        if graph.nodes[node]["kind"] == "drive":
            before = [graph.nodes[n] for n in nx.ancestors(graph, node)]
            checks = sum(len(data["step"].checks) for data in before if data["kind"] == "check")
            found.append(DriveShown(step=node, does=graph.nodes[node]["step"].does, checks=checks))
    return tuple(found)
