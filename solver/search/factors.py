"""Factors: cost tables over variables, and what is done with one of them.

For each tuple of values of its variables a factor holds a cost, or :data:`NEVER` where no build can have that tuple.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import prod

import numpy as np
from numpy.typing import NDArray

Table = NDArray[np.int64]
# The values of a variable in groups, each the numbers of its members.
Group = tuple[int, ...]
Groups = tuple[Group, ...]
NEVER = 1 << 55
CAP = np.int64(NEVER)
# So many costs, none above NEVER, can be added up in 64 bits.
MOST_ADDED = 200
# Cells of a table, and values along an axis of it.
LARGE, SHORT = 1_000, 8


@dataclass(frozen=True, eq=False)
class Factor:
    """A cost table over ``scope`` (variable numbers, ascending); one axis for each variable."""

    scope: tuple[int, ...]
    table: Table

    def __post_init__(self) -> None:
        if self.table.ndim != len(self.scope) or list(self.scope) != sorted(set(self.scope)):
            raise ValueError("a factor has one axis for each variable, in ascending order")


def expanded(factor: Factor, scope: Sequence[int]) -> Table:
    """The factor's table with length-one axes for the variables of ``scope`` it lacks."""
    if len(factor.scope) == len(scope):
        return factor.table
    have = set(factor.scope)
    shape = iter(factor.table.shape)
    return factor.table.reshape([next(shape) if v in have else 1 for v in scope])


def product(factors: Sequence[Factor], scope: Sequence[int], sizes: Sequence[int]) -> Table:
    """The sum of no more than :data:`MOST_ADDED` tables over ``scope``; above :data:`NEVER` where any refuses."""
    table = np.zeros([sizes[v] for v in scope], dtype=np.int64)
    for factor in factors:
        table += expanded(factor, scope)
    return table


def projected(factor: Factor, keep: Sequence[int]) -> Factor:
    """The least cost of any completion of each tuple of the variables ``keep``."""
    return min_out(factor.table, factor.scope, keep)


def min_out(table: Table, scope: tuple[int, ...], keep: Sequence[int]) -> Factor:
    """The least of a table over all variables of its scope but those to ``keep``."""
    axes = [i for i, v in enumerate(scope) if v not in keep]
    return Factor(tuple(v for v in scope if v in keep), _least_along(table, axes) if axes else table)


def _least_along(table: Table, axes: Sequence[int]) -> Table:
    """The least along some axes, ascending.

    Along short axes of a large table numpy's own minimum takes many times as long as a minimum of slices.
    """
    left = list(axes)
    while left and table.size >= LARGE:
        axis = left.pop()
        if table.shape[axis] > SHORT:
            table = table.min(axis=axis)
        else:
            slices = [table[(slice(None),) * axis + (i,)] for i in range(table.shape[axis])]
            table = slices[0].copy()
            for other in slices[1:]:
                np.minimum(table, other, out=table)
    return table.min(axis=tuple(left)) if left else table


def margins(table: Table) -> list[Table]:
    """For each axis of a table the least over all the others.

    Of all axes at once: the first half of them is gone along for the second and the other way round, and each half
    again.

    >>> [m.tolist() for m in margins(np.array([[3, 1, 2], [0, 5, 4]]))]
    [[1, 0], [0, 1, 2]]
    """
    if table.ndim < 2:
        return [table] * table.ndim
    first, second = table.shape[: table.ndim // 2], table.shape[table.ndim // 2 :]
    flat = table.reshape(prod(first), prod(second))
    halves = _least_along(flat, [1]).reshape(first), _least_along(flat, [0]).reshape(second)
    return [margin for half in halves for margin in margins(half)]


def ordered(variables: Sequence[int], table: Table) -> Factor:
    """A factor of variables in any order."""
    order = sorted(range(len(variables)), key=variables.__getitem__)
    return Factor(tuple(variables[i] for i in order), table.transpose(order))


def sliced(factor: Factor, kept: Sequence[NDArray[np.int64]]) -> Factor:
    """A factor over some of the values of its variables: for each variable the numbers of those kept."""
    table = factor.table
    for axis, v in enumerate(factor.scope):
        if len(kept[v]) < table.shape[axis]:
            table = table.take(kept[v], axis)
    return factor if table is factor.table else Factor(factor.scope, table)


def grouped(numbers: NDArray[np.int64]) -> tuple[list[int], Groups]:
    """The different numbers that the values of a variable have, and for each the values that have it.

    >>> grouped(np.array([4, 2, 4]))
    ([4, 2], ((0, 2), (1,)))
    """
    found: dict[int, list[int]] = {}
    for value, number in enumerate(numbers.tolist()):
        found.setdefault(number, []).append(value)
    return list(found), tuple(map(tuple, found.values()))


def spread(table: Table, groups: Sequence[Groups]) -> Table:
    """A table over groups of values as one over the values."""
    where = []
    for own in groups:
        group_of = np.zeros(sum(map(len, own)), dtype=np.int64)
        for number, members in enumerate(own):
            group_of[list(members)] = number
        where.append(group_of)
    return table[np.ix_(*where)]


def gathered(table: NDArray[np.bool_], groups: Sequence[Groups]) -> NDArray[np.bool_]:
    """Of a table over values, for which combinations of groups any combination of members is true."""
    for axis, own in enumerate(groups):
        if len(own) < table.shape[axis]:
            order = np.concatenate([np.array(members) for members in own])
            starts = np.cumsum([0, *(len(members) for members in own[:-1])])
            table = np.logical_or.reduceat(table.take(order, axis), starts, axis)
    return table
