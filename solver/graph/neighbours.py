"""What a part touches, and what would have to change with it, two steps out.

The part is put into the car as it stands (or into a plan's build).  Its neighbours are what it mates with.  Where a
relation is broken by it, each position that could mend it by itself is asked for its candidates.  The one that mends
most, then the cheapest, is taken as if it were done; what *that* breaks is the second step.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from shared.part import Part
from shared.units import System
from shared.verdict import Verdict

from ..problem import Problem
from ..relations import Build, Relation
from ..words import money
from .hanging import deciding_positions, helping
from .model import BODY, Graph, graph_of_build
from .plain import plain
from .sources import broken, drawn, goal_of, is_plan, put, read_plan, resolve

MOST_MENDS = 3


def around(goal: Path, part: str, units: System = "metric", build: int = 1) -> Graph:
    """The graph two steps around a part: an id, ``position=id``, or a position for what is there now.

    ``goal`` may also be a plan's file; the part is then put into that plan's build.  Nodes carry ``steps`` (0 for
    the part itself) and, where something else would have to come there, ``change`` (*must*, or *one of* where several
    positions could mend the same), ``mends`` (what would do, cheapest first) and ``because``.

    Raises :class:`shared.faults.BadInput`.
    """
    if is_plan(goal) and read_plan(goal).builds:
        start = drawn(goal, build, units=units)
        problem, base = start.problem, start.build
    else:
        from knowledge.garage import read_goal

        from ..problem import build_problem

        goal_file = goal_of(read_plan(goal), goal) if is_plan(goal) else goal
        problem = build_problem(*read_goal(goal_file, units))
        base = problem.stock
    at, chosen = resolve(problem, part, goal)
    return around_in(problem, base, at, chosen, units)


@dataclass(frozen=True)
class Change:
    """Something else would have to come to a position: what would do, best first, and which relation says so."""

    at: str
    choices: tuple[Part | None, ...]
    alone: bool
    because: tuple[str, ...]


def around_in(problem: Problem, base: Build, at: str, part: Part | None, units: System = "metric") -> Graph:
    """The same in a problem already built, on a build already chosen."""
    trial = dict(base) if part is None else put(problem, base, at, part)
    put_in = {p for p in trial if trial[p] is not base[p]} | {at}
    steps = dict.fromkeys(sorted(put_in), 0)
    old = {r.name for r in broken(problem, base)}
    changes = changes_of(problem, trial, [r for r in broken(problem, trial) if r.name not in old], put_in)
    _reach(problem, trial, steps, 1, changes)
    known = {r.name for r in broken(problem, trial)}
    for change in tuple(changes.values()):
        then = _with(problem, trial, change.at, change.choices[0])
        new = [r for r in broken(problem, then) if r.name not in known]
        for place, further in changes_of(problem, then, new, put_in | {change.at}).items():
            changes.setdefault(place, further)
    _reach(problem, trial, steps, 2, changes)
    soft = (r for r in problem.relations if r.severity != "must" and r.kind == "requirement")
    told = {r.name for r in soft if r.verdict(base) is Verdict.FITS and r.verdict(trial) is not Verdict.FITS}
    return _marked(problem, trial, at, steps, changes, told, units)


def changes_of(problem: Problem, build: Build, relations: Sequence[Relation], fixed: set[str]) -> dict[str, Change]:
    """For every position not ``fixed`` that could mend a broken relation by itself: with what."""
    mending: dict[str, dict[str, list[Part | None]]] = {}
    for relation in relations:
        for at in _could_mend(problem, build, relation):
            if at in fixed:
                continue
            found = [
                p
                for p in problem.domains[at]
                if p is not build[at]
                and (p is None or p.host is None)
                and relation.verdict(_with(problem, build, at, p)) is not Verdict.NO
            ]
            if found:
                mending.setdefault(relation.name, {})[at] = found
    changes = {}
    for at in problem.garage.layout.positions:
        because = tuple(name for name, places in mending.items() if at in places)
        if because:
            mended = {name: {id(p) for p in mending[name][at]} for name in because}
            every = dict.fromkeys(p for name in because for p in mending[name][at])

            def rank(p: Part | None, mended: dict[str, set[int]] = mended) -> tuple[int, float, str]:
                price = 0.0 if p is None else float("inf") if p.price is None else p.price.hi
                return -sum(id(p) in ids for ids in mended.values()), price, "" if p is None else p.id

            alone = any(len(mending[name]) == 1 for name in because)
            changes[at] = Change(at, tuple(sorted(every, key=rank)[:MOST_MENDS]), alone, because)
    return changes


def _with(problem: Problem, build: Build, at: str, part: Part | None) -> Build:
    return {**build, at: None} if part is None else put(problem, build, at, part)


def _could_mend(problem: Problem, build: Build, relation: Relation) -> tuple[str, ...]:
    if relation.kind != "requirement":
        return relation.scope
    return tuple(dict.fromkeys((*helping(problem, relation), *deciding_positions(problem, relation, build))))


def _touching(problem: Problem, build: Build, at: str) -> set[str]:
    """The positions that meet the part at one position."""
    found: set[str] = set()
    for join in problem.garage.layout.joins:
        if at in join.positions:
            for meeting in problem.mating.meetings(join, build):
                ends = {meeting.left.place, meeting.right.place}
                found |= ends if at in ends else set()
    return found - {at, BODY}


def _reach(problem: Problem, build: Build, steps: dict[str, int], step: int, more: Iterable[str]) -> None:
    """Give this step to everything that meets what is one step nearer, and to ``more``."""
    near = [p for p, s in steps.items() if s == step - 1]
    found = set(more).union(*(_touching(problem, build, p) for p in near))
    for place in problem.garage.layout.positions:
        if place in found:
            steps.setdefault(place, step)


def _marked(
    problem: Problem,
    build: Build,
    at: str,
    steps: dict[str, int],
    changes: dict[str, Change],
    told: set[str],
    units: System,
) -> Graph:
    """The graph of a build cut down to what was reached, with the changes written on the nodes.

    ``told`` names advice and things to look into that the part brings with it.
    """
    part = build[at]
    title = f"Around {at.replace('_', ' ')}" + ("" if part is None else f": {part.name}")
    whole = graph_of_build(problem, build, units, title=title, wants=False)
    whole.graph["around"] = at
    rules = {
        n
        for n, d in whole.nodes(data=True)
        if d["type"] == "rule"
        and ((d["severity"] == "must" and d["verdict"] != "fits") or d["relation"] in told)
        and any(e["decides"] and other in steps for _, other, e in whole.edges(n, data=True))
    }
    found: Graph = whole.copy()  # not a subgraph: of a small one networkx gives the nodes in the order of a set
    found.remove_nodes_from([n for n in whole if n not in {*steps, *rules, BODY}])
    for place, step in steps.items():
        found.nodes[place]["steps"] = step
    for place, change in changes.items():
        found.nodes[place]["change"] = "must" if change.alone else "one of"
        found.nodes[place]["because"] = plain("; ".join(change.because))
        for name in change.because:
            if f"rule:{name}" in found:
                key = f"{name}/{place}"
                if not found.has_edge(f"rule:{name}", place, key):
                    facts = {
                        k: v for k, v in found.nodes[f"rule:{name}"].items() if k not in ("type", "title", "standing")
                    }
                    found.add_edge(f"rule:{name}", place, key=key, **{**facts, "decides": False})
                found.edges[f"rule:{name}", place, key]["could_mend"] = True
        found.nodes[place]["mends"] = plain("; ".join(_named(p) for p in change.choices))
    return found


def _named(part: Part | None) -> str:
    if part is None:
        return "nothing there"
    price = money(part.price).text
    return f"{plain(part.name, 80)} (price {price})"
