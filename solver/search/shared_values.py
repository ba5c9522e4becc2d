"""Quantities that several relations read, as variables of their own.

The lift of the front is computed from a handful of positions and read by a score of relations.  As a variable
with the values it can take, it lets each of those relations be a small table of its own.

Invariant: a shared value's table names, for every choice of its inputs, exactly what the dataflow computes.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from knowledge.dataflow import Dataflow, Result
from shared.layout import Input
from shared.part import Part

from ..problem import Problem

MOST_INPUTS = 3000
MOST_VALUES = 250
Domains = Mapping[str, tuple[Part | None, ...]]


@dataclass(frozen=True)
class SharedValue:
    """A quantity with the values it can take, and which inputs give which.

    ``table`` pairs an index into the candidates of ``positions`` and the values of ``quantities`` with an
    index into ``results``.
    """

    quantity: str
    positions: tuple[str, ...]
    quantities: tuple[str, ...]
    results: tuple[Result, ...]
    table: tuple[tuple[tuple[int, ...], int], ...]


def _readers(problem: Problem) -> dict[str, set[str]]:
    """For every quantity the relations and preferences that read it, directly or through others."""
    flow = problem.flow
    readers: dict[str, set[str]] = {name: set() for name in flow.scope}

    def mark(name: str, reader: str) -> None:
        if name not in readers or reader in readers[name]:
            return
        readers[name].add(reader)
        for item in _inputs(flow, name):
            if item.source == "quantity":
                mark(item.name, reader)

    for relation in (*problem.hard, *problem.advice):
        for item in relation.uses:
            mark(item.name, relation.name)
    for term in problem.scoring.terms:
        mark(term.quantity, f"prefer {term.text}")
    return readers


def _inputs(flow: Dataflow, name: str) -> Sequence[Input]:
    from knowledge.dataflow import inputs_of

    return list(inputs_of(flow.layout.quantities[name]))


def shared_values(problem: Problem, domains: Domains) -> list[SharedValue]:
    """The shared values of a problem, each after those it is computed from."""
    flow = problem.flow
    readers = _readers(problem)
    names = [
        name
        for name in flow.scope
        if len(readers[name]) >= 2 and sum(len(domains[p]) > 1 for p in flow.scope[name]) >= 2
    ]
    found: dict[str, SharedValue] = {}
    for name in sorted(names, key=lambda n: (len(flow.scope[n]), n)):
        positions, quantities = flow.cut_scope(name, frozenset(found))
        sizes = [len(domains[p]) for p in positions] + [len(found[q].results) for q in quantities]
        count = 1
        for size in sizes:
            count *= size
        if count > MOST_INPUTS or (not quantities and len([s for s in sizes if s > 1]) < 2):
            continue
        value = _tabulate(flow, name, positions, quantities, domains, found)
        if len(value.results) <= MOST_VALUES:
            found[name] = value
    return list(found.values())


def _tabulate(
    flow: Dataflow,
    name: str,
    positions: tuple[str, ...],
    quantities: tuple[str, ...],
    domains: Domains,
    found: Mapping[str, SharedValue],
) -> SharedValue:
    numbers: dict[Result, int] = {}
    table = []
    item = Input("quantity", name)
    ranges = [range(len(domains[p])) for p in positions] + [range(len(found[q].results)) for q in quantities]
    for index in product(*ranges):
        build: dict[str, Part | None] = {p: domains[p][i] for p, i in zip(positions, index, strict=False)}
        known = {q: found[q].results[i] for q, i in zip(quantities, index[len(positions) :], strict=True)}
        result = flow.input_given(item, build, known) if known else flow.input(item, build)
        table.append((index, numbers.setdefault(result, len(numbers))))
    return SharedValue(name, positions, quantities, tuple(numbers), tuple(table))
