"""States: quantities that many relations read, as variables of their own.

The ride height of the front is computed from a handful of positions and read by a score of relations.  A *state*
stands for such a group of positions: its values are the different outcomes the group's quantities can have.
Relations that read the outcome need not look at the positions behind it, and their tables stay small.

Invariant: a state's table names, for every choice at its positions, exactly what the dataflow computes.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import product

from knowledge.dataflow import Dataflow, Result, inputs_of
from shared.part import Part

from ..problem import Problem

MOST_INPUTS = 3000
LEAST_READERS = 4
Domains = Mapping[str, tuple[Part | None, ...]]


@dataclass(frozen=True)
class State:
    """The outcomes of a group of positions.

    ``values`` are the different outcomes, each the results of ``quantities``; ``table`` pairs an index into the
    candidates of ``positions`` with an index into ``values``.
    """

    name: str
    positions: tuple[str, ...]
    quantities: tuple[str, ...]
    values: tuple[Mapping[str, Result], ...]
    table: tuple[tuple[tuple[int, ...], int], ...]


def _readers(problem: Problem) -> dict[str, set[str]]:
    """For every quantity the relations and preferences that read it, directly or through others."""
    flow = problem.flow
    readers: dict[str, set[str]] = {name: set() for name in flow.scope}

    def mark(name: str, reader: str) -> None:
        if name not in readers or reader in readers[name]:
            return
        readers[name].add(reader)
        for item in inputs_of(flow.layout.quantities[name]):
            if item.source == "quantity":
                mark(item.name, reader)

    for relation in (*problem.hard, *problem.advice):
        for item in relation.uses:
            mark(item.name, relation.name)
    for term in problem.scoring.terms:
        mark(term.quantity, f"prefer {term.text}")
    return readers


def _frontier(flow: Dataflow, inside: tuple[str, ...], asked: set[str]) -> tuple[str, ...]:
    """Those of the quantities that something outside the group reads."""
    group = set(inside)
    read = {
        item.name
        for name in flow.scope
        if name not in group
        for item in inputs_of(flow.layout.quantities[name])
        if item.source == "quantity"
    }
    return tuple(name for name in inside if name in read or name in asked)


def states(problem: Problem, domains: Domains) -> list[State]:
    """The states worth having: scopes that many relations read and whose choices can be listed."""
    flow = problem.flow
    readers = _readers(problem)
    asked = {item.name for r in (*problem.hard, *problem.advice) for item in r.uses}
    asked |= {term.quantity for term in problem.scoring.terms}
    by_scope: dict[tuple[str, ...], set[str]] = {}
    for name, scope in flow.scope.items():
        if readers[name]:
            by_scope.setdefault(scope, set()).update(readers[name])
    found = []
    for scope in sorted(by_scope, key=lambda s: (len(s), s)):
        count = 1
        for position in scope:
            count *= len(domains[position])
        opened = sum(len(domains[p]) > 1 for p in scope)
        if opened < 2 or count > MOST_INPUTS or len(by_scope[scope]) < LEAST_READERS:
            continue
        inside = tuple(n for n in flow.scope if flow.scope[n] and set(flow.scope[n]) <= set(scope))
        state = _tabulate(flow, scope, _frontier(flow, inside, asked), domains)
        if len(state.values) < count:
            found.append(state)
    return found


def _tabulate(flow: Dataflow, scope: tuple[str, ...], quantities: tuple[str, ...], domains: Domains) -> State:
    numbers: dict[tuple[Result, ...], int] = {}
    table = []
    for index in product(*(range(len(domains[p])) for p in scope)):
        build: dict[str, Part | None] = {p: domains[p][i] for p, i in zip(scope, index, strict=True)}
        outcome = tuple(flow.value(name, build) for name in quantities)
        table.append((index, numbers.setdefault(outcome, len(numbers))))
    values = tuple(dict(zip(quantities, outcome, strict=True)) for outcome in numbers)
    return State("+".join(scope), scope, quantities, values, tuple(table))
