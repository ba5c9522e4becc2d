"""From a plan's build to its work: steps in order, who does what, what with, and what to check."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from shared.faults import BadInput, Fault
from shared.ranges import Range
from shared.units import System
from shared.verdict import Verdict
from shared.work import Fastener, Step

from ..graph.sources import build_of, goal_of, is_plan, read_plan
from ..planning import status_of
from ..problem import Problem, build_problem
from ..relations import Build
from ..search.best import best_builds
from .document import (
    CautionShown,
    DriveShown,
    LaterShown,
    LookShown,
    NoWork,
    PartAtWork,
    SlotShown,
    StepShown,
    TimetableShown,
    WorkDocument,
)
from .graph import BENCH, Graph, critical_path, fitting, stands_used, tightened, work_graph
from .ordering import one_by_one
from .scheduling import SIDES, jobs_of, timetable
from .showing import check_shown, distance, duration, supply_shown, torque_shown, used
from .supplies import consumables
from .torques import torque_of


def work(source: Path, build: int = 1, stands: int = 4, units: System = "metric") -> WorkDocument | NoWork:
    """The work of one ``build`` of a plan's JSON, or of a goal, which is planned first.

    ``stands`` is how many axle stands there are.

    Raises :class:`shared.faults.BadInput` with every fault of every file, or where the stands cannot do.
    """
    from knowledge.garage import read_goal

    document = read_plan(source) if is_plan(source) else None
    problem = build_problem(*read_goal(source if document is None else goal_of(document, source)))
    if document is None:
        found = [b.build for b in best_builds(problem, build).builds]
    else:
        found = [build_of(problem, shown, source) for shown in document.builds[:build]]
    if not found:
        return NoWork(goal=problem.goal.name, vehicle=problem.garage.vehicle.name)
    if len(found) < build:
        raise BadInput([Fault(source.name, 0, "bad-value", f"build {build}", f"1 to {len(found)}")])
    return work_of(problem, found[build - 1], build, stands, units)


def work_of(problem: Problem, build: Build, rank: int = 1, stands: int = 4, units: System = "metric") -> WorkDocument:
    """The work of a build of a problem already read."""
    graph = work_graph(problem, build, stands)
    order = one_by_one(graph)
    steps = [graph.nodes[node]["step"] for node in order if graph.nodes[node]["kind"] != "check"]
    desk = _Desk(problem, build, graph, steps, units)
    chain, longest = critical_path(graph)
    held = {r.name: r.verdict(build) for r in problem.hard}
    tasks = problem.effort.tasks(build)
    return WorkDocument(
        goal=problem.goal.name,
        vehicle=problem.garage.vehicle.name,
        layout=problem.garage.layout.name,
        build=rank,
        stands=stands_used(steps, problem.garage.layout.apart, stands),
        steps=desk.shown(chain),
        hours=duration(problem.effort.hours(build)),
        longest=duration(Range.exactly(longest)),
        longest_chain=chain,
        two=_two(graph),
        tools=tuple(sorted({tool for step in steps for tool in step.tools})),
        consumables=tuple(supply_shown(s, units) for s in consumables(problem.garage.layout, (t.id for t in tasks))),
        torques=tuple(torque_shown(torque_of(f, problem, build), units) for f in desk.fasteners),
        cautions=desk.cautions(),
        drives=_drives(graph, order),
        later=desk.later(),
        rules_held=sum(verdict is Verdict.FITS for verdict in held.values()),
        rules_to_check=tuple(sorted(name for name, verdict in held.items() if verdict is Verdict.CHECK)),
        rules_broken=tuple(sorted(name for name, verdict in held.items() if verdict is Verdict.NO)),
        looks=tuple(
            dict.fromkeys(LookShown(says=x.says, source=x.source) for r in problem.looks for x in r.explain(build))
        ),
    )


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
    import networkx as nx

    found = []
    for node in order:
        if graph.nodes[node]["kind"] == "drive":
            before = [graph.nodes[n] for n in nx.ancestors(graph, node)]
            checks = sum(len(data["step"].checks) for data in before if data["kind"] == "check")
            found.append(DriveShown(step=node, does=graph.nodes[node]["step"].does, checks=checks))
    return tuple(found)


@dataclass(frozen=True)
class _Desk:
    """Writes the steps of one build down."""

    problem: Problem
    build: Build
    graph: Graph
    steps: Sequence[Step]
    units: System

    def shown(self, chain: Iterable[str]) -> tuple[StepShown, ...]:
        """All steps, numbered in their order."""
        waits = tightened(self.graph)
        critical, parts = set(chain), self._parts()
        return tuple(
            StepShown(
                id=step.id,
                number=i,
                task=step.task,
                kind="drive" if step.drives else "work",
                does=step.does,
                hours=duration(Range.exactly(step.hours)),
                skill=self._skill(step),
                people=step.people,
                at=step.at,
                after=tuple(sorted(waits.predecessors(step.id))),
                critical=step.id in critical,
                takes_apart=tuple(self._about(step.takes_apart)),
                puts_together=tuple(self._about(step.puts_together)),
                parts=parts.get(step.id, ()),
                tools=step.tools,
                torques=tuple(f.id for f in self._tightened(step)),
                consumables=used(step.consumables, self.units),
                cautions=tuple(self._cautions_at(step, parts)),
                checks=tuple(check_shown(c, self.units) for c in step.checks),
            )
            for i, step in enumerate(self.steps, 1)
        )

    def _about(self, things: Iterable[str]) -> list[str]:
        return [self.problem.garage.layout.apart[thing].about for thing in things]

    def _skill(self, step: Step) -> int:
        if step.task == BENCH:
            part = self.build[step.id.partition(".")[2]]
            return 1 if part is None else part.skill
        return self.problem.garage.layout.tasks[step.task].skill

    def _parts(self) -> Mapping[str, tuple[PartAtWork, ...]]:
        """For every step the parts it fits, moves over or leaves out."""
        found: dict[str, tuple[PartAtWork, ...]] = {}
        words = {"new": "in", "moved": "over", "removed": "out"}
        for at, steps in sorted(fitting(self.problem, self.steps).items()):
            what = words.get(status_of(self.problem, at, self.build))
            part = self.build[at]
            if what is None or (part is not None and part.host is not None):
                continue
            shown = part or self.problem.stock[at]
            if shown is not None:
                made = PartAtWork.model_validate({"position": at, "id": shown.id, "name": shown.name, "what": what})
                for step in steps:
                    found[step] = (*found.get(step, ()), made)
        return found

    @property
    def fasteners(self) -> tuple[Fastener, ...]:
        """Every fastener that is tightened, in the order of the steps."""
        return tuple({f.id: f for step in self.steps for f in self._tightened(step)}.values())

    def _tightened(self, step: Step) -> list[Fastener]:
        """The fasteners of a step that were undone in this build."""
        tasks = {s.task for s in self.steps}
        touched = set(self.problem.effort.touched(self.build))
        found = []
        for name in step.fasteners:
            fastener = self.problem.garage.layout.fasteners[name]
            asked = (*fastener.undone_by, *fastener.undone_with)
            if not asked or tasks & set(fastener.undone_by) or touched & set(fastener.undone_with):
                found.append(fastener)
        return found

    def _cautions_at(self, step: Step, parts: Mapping[str, tuple[PartAtWork, ...]]) -> list[str]:
        """The ids of a step's cautions; those of the parts worked at are named by the part."""
        return [*step.cautions, *(id for id, _ in self._of_parts(step, parts))]

    def _of_parts(self, step: Step, parts: Mapping[str, tuple[PartAtWork, ...]]) -> list[tuple[str, str]]:
        """Cautions of the parts themselves: with the work on the bench if there is any, else where they go on."""
        bench = {s.id.partition(".")[2] for s in self.steps if s.task == BENCH}
        here = [step.id.partition(".")[2]] if step.task == BENCH else []
        here += [p.position for p in parts.get(step.id, ()) if p.what == "in" and p.position not in bench]
        found = []
        for at in here:
            part = self.build[at]
            said = () if part is None else part.cautions
            found += [(f"{at}-{i}", text) for i, text in enumerate(said, 1)]
        return found

    def cautions(self) -> tuple[CautionShown, ...]:
        """Every caution once, with the step it is first said at."""
        parts = self._parts()
        found: dict[str, CautionShown] = {}
        for step in self.steps:
            said = [(c, self.problem.garage.layout.cautions[c]) for c in step.cautions]
            for name, caution in said:
                found.setdefault(name, CautionShown(id=name, says=caution.says, source=caution.source, first=step.id))
            for name, text in self._of_parts(step, parts):
                found.setdefault(name, CautionShown(id=name, says=text, source="the catalogue", first=step.id))
        return tuple(found.values())

    def later(self) -> tuple[LaterShown, ...]:
        """What is due after each distance, nearest first."""
        due: dict[tuple[float, float], tuple[list[str], list[str]]] = {}
        for fastener in self.fasteners:
            for along in fastener.again:
                due.setdefault((along.lo, along.hi), ([], []))[0].append(fastener.id)
        for step in self.steps:
            for item in step.later:
                due.setdefault((item.distance.lo, item.distance.hi), ([], []))[1].append(item.says)
        return tuple(
            LaterShown(distance=distance(Range(*ends), self.units), torques=tuple(names), says=tuple(says))
            for ends, (names, says) in sorted(due.items())
        )
