"""The work of one build written down step by step: parts, torques, cautions, checks."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from shared.ranges import Range
from shared.units import System
from shared.work import Fastener, Step

from ..planning import status_of
from ..problem import Problem
from ..relations import Build
from .document import CautionShown, LaterShown, PartAtWork, StepShown, TorqueShown
from .graph import BENCH, Graph, critical_path, fitting, tightened, work_graph
from .ordering import one_by_one
from .showing import check_shown, distance, duration, torque_shown, used
from .torques import torque_of


def desk_for(problem: Problem, build: Build, stands: int = 4, units: System = "metric") -> Desk:
    """The work of a build in one person's order, ready to be written down.

    Raises :class:`shared.faults.BadInput` where ``stands`` cannot do.
    """
    graph = work_graph(problem, build, stands)
    steps = [graph.nodes[n]["step"] for n in one_by_one(graph) if graph.nodes[n]["kind"] != "check"]
    return Desk(problem, build, graph, steps, units)


@dataclass(frozen=True)
class Desk:
    """Writes the steps of one build down."""

    problem: Problem
    build: Build
    graph: Graph
    steps: Sequence[Step]
    units: System

    def shown(self) -> tuple[StepShown, ...]:
        """All steps, numbered in their order."""
        waits = tightened(self.graph)
        critical, parts = set(critical_path(self.graph)[0]), self._parts()
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
                consumables=used(step.consumables),
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

    def torques(self) -> tuple[TorqueShown, ...]:
        """What each of them is tightened to."""
        return tuple(torque_shown(torque_of(f, self.problem, self.build), self.units) for f in self.fasteners)

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
