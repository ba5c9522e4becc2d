"""The work of one build as a graph: steps, their checks, and what waits for what."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise, permutations
from typing import Literal, TypeAlias

import networkx as nx

from knowledge.layout_files.work_order import Before, orders
from shared.faults import BadInput, Fault
from shared.part import Part
from shared.work import Apart, Step

from ..problem import Problem
from ..relations import Build

Graph: TypeAlias = nx.DiGraph
Kind = Literal["work", "check", "drive"]

BENCH = "bench"
MOST_ORDERS = 5  # ends of a car; more than this many lifts are taken in the order of their names


def check_id(step: str) -> str:
    """The node of a step's checks."""
    return f"{step}/check"


def shared(step: Step) -> bool:
    """Whether two people can do a step in half the time, each at his side."""
    return step.sides and step.people == 1


def bench_step(position: str, part: Part) -> Step:
    """The work a part needs by itself before it goes on."""
    what = " and ".join(part.altered) or "make ready"
    return Step(f"{BENCH}.{position}", BENCH, f"Bench: {part.name}: {what}", part.hours.hi, at=(BENCH,))


def steps_of(problem: Problem, build: Build) -> tuple[Step, ...]:
    """The steps a build calls for, and one on the bench for each new part that needs work by itself."""
    effort = problem.effort
    tasks = effort.tasks(build)
    bench = [
        bench_step(at, part)
        for at, part in sorted(build.items())
        if part is not None and effort.is_new(at, part) and effort.part_hours(at, part).hi > 0
    ]
    return (*(step for task in tasks for step in task.steps), *bench)


def fitting(problem: Problem, steps: Iterable[Step]) -> Mapping[str, tuple[str, ...]]:
    """For every position the steps its part goes on in; a part that comes mounted goes on with its host."""
    direct: dict[str, tuple[str, ...]] = {}
    for step in steps:
        for at in step.fits:
            direct[at] = (*direct.get(at, ()), step.id)
    found = dict(direct)
    for at in problem.garage.layout.positions:
        host: str | None = at
        while host is not None and host not in direct:
            host = problem.garage.layout.positions[host].host
        if host is not None:
            found[at] = direct[host]
    return found


def work_graph(problem: Problem, build: Build, stands: int = 4) -> Graph:
    """The graph of a build's work.

    Nodes carry ``kind`` (work, check, drive), ``step``, its ``seconds`` for one person and the ``least`` it can take
    however many help; an edge means *before*.  Checks stand between
    their step and whatever follows it.  Nothing drives before every check that does not itself need driving.  With
    fewer ``stands`` than the work would use at once, one end of the car is finished before the other goes up.

    Raises :class:`BadInput` where ``stands`` are too few for any order.
    """
    layout = problem.garage.layout
    steps = steps_of(problem, build)
    every = [step for task in layout.tasks.values() for step in task.steps]
    return graph_of_steps(steps, every, layout.apart, fitting(problem, steps), stands)


def graph_of_steps(
    steps: Sequence[Step],
    every: Sequence[Step],
    apart: Mapping[str, Apart],
    fitted: Mapping[str, tuple[str, ...]],
    stands: int,
) -> Graph:
    """The graph of ``steps``, which are some of ``every`` step there is; ``fitted`` tells where parts go on."""
    graph: Graph = nx.DiGraph()
    for step in sorted(steps, key=lambda s: s.id):
        seconds = round(step.hours)
        kind = "drive" if step.drives else "work"
        graph.add_node(
            step.id, kind=kind, step=step, seconds=seconds, least=-(-seconds // 2) if shared(step) else seconds
        )
        if step.checks:
            graph.add_node(check_id(step.id), kind="check", step=step, seconds=0, least=0)
            graph.add_edge(step.id, check_id(step.id))
    here = {step.id for step in steps}
    said = orders(every)
    for first, then in _carried_over(said, here):
        graph.add_edge(_done(graph, first), then)
    for step in steps:
        if step.task == BENCH:
            position = step.id.partition(".")[2]
            graph.add_edges_from((step.id, then) for then in fitted.get(position, ()))
    _lifts(graph, steps, apart, stands)
    for wish in said:
        if not wish.firm and {wish.first, wish.then} <= here:
            first = _done(graph, wish.first)
            if not nx.has_path(graph, wish.then, first):
                graph.add_edge(first, wish.then)
    _gates(graph)
    return graph


def _done(graph: Graph, step: str) -> str:
    """The node at which a step is done: its checks, if it has any."""
    return check_id(step) if check_id(step) in graph else step


def _carried_over(said: Iterable[Before], here: set[str]) -> list[tuple[str, str]]:
    """The firm orders among the steps that are here; one that went through absent steps is kept."""
    before: dict[str, set[str]] = {}
    for order in said:
        if order.firm:
            before.setdefault(order.then, set()).add(order.first)
    found = []
    for then in sorted(here):
        ahead, seen = sorted(before.get(then, ())), set()
        while ahead:
            name = ahead.pop()
            if name in seen:
                continue
            seen.add(name)
            if name in here:
                found.append((name, then))
            else:
                ahead += sorted(before.get(name, ()))
    return found


def stands_used(steps: Iterable[Step], apart: Mapping[str, Apart], stands: int) -> tuple[int, int]:
    """How many stands are under the car at once, of ``stands`` there are; and how many all lifts at once would take."""
    needed = [apart[thing].stands for step in steps for thing in step.takes_apart]
    return sum(needed) if sum(needed) <= stands else max(needed, default=0), sum(needed)


def _lifts(graph: Graph, steps: Sequence[Step], apart: Mapping[str, Apart], stands: int) -> None:
    """Where the stands do not suffice for all at once: one lift after the other."""
    up = {thing: step.id for step in steps for thing in step.takes_apart if apart[thing].stands}
    down = {thing: step.id for step in steps for thing in step.puts_together}
    needed = {thing: apart[thing].stands for thing in sorted(up) if thing in down}
    if not needed or sum(needed.values()) <= stands:
        return
    most = max(needed.values())
    if most > stands:
        raise BadInput([Fault("stands", 0, "bad-value", f"{stands} stands", f"at least {most}")])
    lifts = sorted(needed)
    tried = permutations(lifts) if len(lifts) <= MOST_ORDERS else iter([tuple(lifts)])
    for order in tried:
        edges = [(_done(graph, down[a]), up[b]) for a, b in pairwise(order)]
        graph.add_edges_from(edges)
        if nx.is_directed_acyclic_graph(graph):
            return
        graph.remove_edges_from(edges)
    total = sum(needed.values())
    expected = f"{total}: something has to lie apart at both ends at once"
    raise BadInput([Fault("stands", 0, "bad-value", f"{stands} stands", expected)])


def _gates(graph: Graph) -> None:
    """Every check and step that can be before a drive is before it."""
    order = list(nx.lexicographical_topological_sort(graph))
    drives = [node for node in order if graph.nodes[node]["kind"] == "drive"]
    for i, drive in enumerate(drives):
        later: set[str] = {drive, *nx.descendants(graph, drive)}
        for other in drives[i + 1 :]:
            later |= {other, *nx.descendants(graph, other)}
        graph.add_edges_from((node, drive) for node in order if node not in later)


def tightened(graph: Graph) -> Graph:
    """The same order with no edge that follows from others."""
    reduced: Graph = nx.transitive_reduction(graph)
    reduced.add_nodes_from(graph.nodes(data=True))
    return reduced


def critical_path(graph: Graph) -> tuple[tuple[str, ...], int]:
    """The longest chain of steps that wait for one another, and the seconds it takes however many people help."""
    best: dict[str, tuple[int, str | None]] = {}
    for node in nx.lexicographical_topological_sort(graph):
        before = max(((best[p][0], p) for p in sorted(graph.predecessors(node))), default=(0, None), key=lambda x: x[0])
        best[node] = (before[0] + graph.nodes[node]["least"], before[1])
    if not best:
        return (), 0
    last: str | None = max(sorted(best), key=lambda n: best[n][0])
    seconds = best[last][0] if last is not None else 0
    chain: list[str] = []
    while last is not None:
        chain.append(last)
        last = best[last][1]
    return tuple(node for node in reversed(chain) if graph.nodes[node]["seconds"]), seconds
