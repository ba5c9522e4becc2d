"""Jobs for people who work side by side, and the timetable they get."""

from __future__ import annotations

from dataclasses import dataclass

import networkx as nx

from .graph import Graph, shared

SIDES = ("left", "right")


@dataclass(frozen=True)
class Job:
    """One step: its seconds, the people it takes, its places (none: the whole car), and what comes before it."""

    name: str
    seconds: int
    people: int = 1
    places: frozenset[str] = frozenset()
    after: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Slot:
    """When a step is done [s from the start], and by whom (0 is the first person)."""

    name: str
    start: int
    end: int
    people: tuple[int, ...]


@dataclass(frozen=True)
class Timetable:
    """A timetable: its slots in order of start, when it ends [s], and the least any timetable could take [s]."""

    slots: tuple[Slot, ...]
    seconds: int
    bound: int

    @property
    def proved(self) -> bool:
        """Whether no timetable is shorter."""
        return self.bound >= self.seconds


def jobs_of(graph: Graph) -> tuple[Job, ...]:
    """The jobs of a work graph; a step done at both sides alike becomes one for each side, of half the time."""
    ends: dict[str, tuple[str, ...]] = {}
    jobs = []
    for node in nx.lexicographical_topological_sort(graph):
        data = graph.nodes[node]
        step, after = data["step"], frozenset(end for p in graph.predecessors(node) for end in ends[p])
        if data["kind"] == "check":
            jobs.append(Job(node, 0, after=after))
            ends[node] = (node,)
        elif shared(step):
            ends[node] = tuple(f"{node} {side}" for side in SIDES)
            jobs += [
                Job(end, data["least"], 1, frozenset(f"{place} {side}" for place in step.at), after)
                for end, side in zip(ends[node], SIDES, strict=True)
            ]
        else:
            places = frozenset(f"{place} {side}" for place in step.at for side in SIDES)
            jobs.append(Job(node, data["seconds"], step.people, places, after))
            ends[node] = (node,)
    return tuple(jobs)
