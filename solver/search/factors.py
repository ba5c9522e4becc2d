"""Factors: cost tables over variables, and what is done with one of them.

For each tuple of values of its variables a factor holds a cost, or :data:`NEVER` where no build can have that tuple.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Table = NDArray[np.int64]
# The values of a variable in groups, each the numbers of its members.
Group = tuple[int, ...]
Groups = tuple[Group, ...]
NEVER = 1 << 55
CAP = np.int64(NEVER)


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
    have = set(factor.scope)
    shape = iter(factor.table.shape)
    return factor.table.reshape([next(shape) if v in have else 1 for v in scope])


def product(factors: Sequence[Factor], scope: Sequence[int], sizes: Sequence[int]) -> Table:
    """The sum of all tables over ``scope``, never above :data:`NEVER`."""
    table = np.zeros([sizes[v] for v in scope], dtype=np.int64)
    for factor in factors:
        table += expanded(factor, scope)
        np.minimum(table, CAP, out=table)
    return table


def projected(factor: Factor, keep: Sequence[int]) -> Factor:
    """The least cost of any completion of each tuple of the variables ``keep``."""
    return min_out(factor.table, factor.scope, keep)


def min_out(table: Table, scope: tuple[int, ...], keep: Sequence[int]) -> Factor:
    axes = tuple(i for i, v in enumerate(scope) if v not in keep)
    return Factor(tuple(v for v in scope if v in keep), table.min(axis=axes) if axes else table)


def ordered(variables: Sequence[int], table: Table) -> Factor:
    """A factor of variables in any order."""
    order = sorted(range(len(variables)), key=variables.__getitem__)
    return Factor(tuple(variables[i] for i in order), table.transpose(order))


def sliced(factor: Factor, kept: Sequence[NDArray[np.int64]]) -> Factor:
    """A factor over some of the values of its variables: for each variable the numbers of those kept."""
    return Factor(factor.scope, factor.table[np.ix_(*(kept[v] for v in factor.scope))])


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
