"""Two parts from one donor car: cases in which the ways come out nearly as they are.

A share of the way (see ``visits``) is what a part pays if its donor carries as much as it can, which is hardly ever so
where there are many donors and each carries few parts.  A build either has each of its used parts from another donor,
and pays for them all, or two of them from one: one case for every such pair of positions.  In each the shares are those
of the candidates that are then left.

Invariant: a build's score is no less than the least over all cases of what is said of each of its candidates.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import combinations

import numpy as np

from .elimination import Bounds
from .factors import NEVER, Factor, Table
from .members import Member
from .visits import visit_shares

Classes = Sequence[Sequence[Member]]
# For each class of a position what its members cost.
Costs = list[list[int]]


def pairs(domains: Sequence[Classes]) -> list[tuple[str, int, int]]:
    """Every donor that carries candidates of two positions, with their numbers."""
    carried: dict[str, set[int]] = {}
    for v, classes in enumerate(domains):
        for donor in frozenset[str]().union(*(m.donors for own in classes for m in own)):
            carried.setdefault(donor, set()).add(v)
    return [(donor, *two) for donor, at in sorted(carried.items()) for two in combinations(sorted(at), 2)]


def least_by_case(
    domains: Sequence[Classes],
    worth: int,
    cases: Sequence[tuple[str, int, int]],
    bounds: Callable[[list[Factor]], Bounds],
) -> list[Costs]:
    """For each candidate the least score of any build through it.

    ``worth`` is what the way to a donor costs; ``bounds`` are those of the tables, with what candidates cost given.
    """
    least: list[Costs] = [[[NEVER] * len(own) for own in classes] for classes in domains]
    for costs in _each(domains, worth, cases):
        cheapest = [np.array([min(own) for own in classes], dtype=np.int64) for classes in costs]
        if any((own >= NEVER).all() for own in cheapest):
            continue
        through = bounds([Factor((v,), own) for v, own in enumerate(cheapest)]).through
        for found, classes, first, low in zip(least, costs, cheapest, through, strict=False):
            _lower(found, classes, first, low)
    return least


def _lower(found: Costs, costs: Costs, cheapest: Table, through: Table) -> None:
    """Take in what one case says of the candidates of a position."""
    for own, amounts, first, low in zip(found, costs, cheapest.tolist(), through.tolist(), strict=True):
        for i, amount in enumerate(amounts):
            if amount < NEVER and low < NEVER:
                own[i] = min(own[i], low + amount - first)


def _each(domains: Sequence[Classes], worth: int, cases: Sequence[tuple[str, int, int]]) -> Iterator[list[Costs]]:
    """What candidates cost in each case: never, where it leaves them out."""
    yield [[[m.price + (worth if m.donors else 0) for m in own] for own in classes] for classes in domains]
    donors = {str(v): [m.donors for own in classes for m in own] for v, classes in enumerate(domains)}
    for donor, *two in cases:
        apart = {str(v): [d if donor in d else frozenset[str]() for d in donors[str(v)]] for v in two}
        shares = visit_shares({**donors, **apart}, worth)
        found = []
        for v, classes in enumerate(domains):
            ways = iter(shares[str(v)])
            costs = [[m.price + next(ways) for m in own] for own in classes]
            if v in two:
                rows = zip(costs, classes, strict=True)
                costs = [
                    [c if donor in m.donors else NEVER for c, m in zip(row, own, strict=True)] for row, own in rows
                ]
            found.append(costs)
        yield found
