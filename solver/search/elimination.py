"""Lower bounds by bucket elimination over cost tables.

Every table is a factor: for each tuple of values of its variables a cost, or :data:`NEVER` where no build can
have that tuple.  Eliminating the variables one after another adds up, exactly, the least cost of any
assignment.  Where a product of tables would grow past ``most_cells`` it is split (a *mini-bucket*): the split
copies a variable, so the result may be too low but never too high.

A second pass back down the same tree gives, for each value of each variable, the least cost of any assignment
through that value.

References: Dechter, "Bucket elimination: a unifying framework for reasoning", Artificial Intelligence 113
(1999); Dechter and Rish, "Mini-buckets: a general scheme for bounded inference", J. ACM 50 (2003).  Both from
memory.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from .factors import CAP, MOST_ADDED, NEVER, Factor, Table, expanded, margins, min_out, product


@dataclass
class _Node:
    """A mini-bucket: the variable eliminated here, its factors, its children's messages, and its parent."""

    variable: int
    scope: tuple[int, ...]
    factors: list[Factor]
    children: list[int] = field(default_factory=list)
    parent: int | None = None
    up: Factor | None = None
    down: Factor | None = None


@dataclass(frozen=True)
class Bounds:
    """``total``: no assignment costs less.  ``through[v][a]``: none that gives ``a`` to ``v`` does."""

    total: int
    through: tuple[Table, ...]


def order_of(sizes: Sequence[int], factors: Sequence[Factor]) -> list[int]:
    """An elimination order: always the variable whose elimination makes the smallest table; settled ones are none."""
    near: dict[int, set[int]] = {v: set() for v, size in enumerate(sizes) if size > 1}
    for factor in factors:
        for v in factor.scope:
            near[v].update(factor.scope)
    for v in near:
        near[v].discard(v)

    def weight(v: int) -> tuple[float, int]:
        cells = float(sizes[v])
        for u in near[v]:
            cells *= sizes[u]
        return cells, v

    weights = {v: weight(v) for v in near}
    order = []
    while weights:
        v = min(weights, key=weights.__getitem__)
        order.append(v)
        del weights[v]
        neighbours = near.pop(v)
        for u in neighbours:
            near[u] |= neighbours
            near[u].discard(u)
            near[u].discard(v)
        for u in neighbours:
            weights[u] = weight(u)
    return order


def _tree(sizes: Sequence[int], factors: Sequence[Factor], order: Sequence[int], most_cells: int) -> list[_Node]:
    """The upward pass: mini-buckets in elimination order, each with the message it sends."""
    rank = {v: i for i, v in enumerate(order)}
    waiting: dict[int, list[tuple[Factor, int | None]]] = {v: [] for v in order}
    for factor in factors:
        if factor.scope:
            waiting[min(factor.scope, key=rank.__getitem__)].append((factor, None))
    nodes: list[_Node] = []
    for v in order:
        pending = sorted(waiting[v], key=lambda item: (-item[0].table.size, item[0].scope))
        groups: list[tuple[set[int], list[tuple[Factor, int | None]]]] = []
        for factor, child in pending:
            for scope, members in groups:
                union = scope | set(factor.scope)
                cells = 1.0
                for u in union:
                    cells *= sizes[u]
                if (cells <= most_cells or union == scope) and len(members) < MOST_ADDED - 1:
                    scope |= set(factor.scope)
                    members.append((factor, child))
                    break
            else:
                groups.append((set(factor.scope), [(factor, child)]))
        for scope, members in groups or [({v}, [])]:
            ordered = tuple(sorted(scope))
            number = len(nodes)
            node = _Node(
                v,
                ordered,
                [f for f, child in members if child is None],
                [child for _, child in members if child is not None],
            )
            for child in node.children:
                nodes[child].parent = number
            table = product([f for f, _ in members], ordered, sizes)
            node.up = _capped(min_out(table, ordered, [u for u in ordered if u != v]))
            nodes.append(node)
            if node.up.scope:
                waiting[min(node.up.scope, key=rank.__getitem__)].append((node.up, number))
    return nodes


def _capped(factor: Factor) -> Factor:
    """The same costs, none above :data:`NEVER`."""
    return Factor(factor.scope, np.minimum(factor.table, CAP))


def _condensed(sizes: Sequence[int], factors: Sequence[Factor]) -> list[Factor]:
    """The same costs in fewer tables: settled variables are left out, tables over the same variables added up."""
    found: dict[tuple[int, ...], Table] = {}
    for factor in factors:
        scope = tuple([v for v in factor.scope if sizes[v] > 1])
        table = factor.table.reshape([sizes[v] for v in scope])
        other = found.get(scope)
        found[scope] = table if other is None else np.minimum(other + table, CAP)
    return [Factor(scope, table) for scope, table in found.items()]


def bounds(sizes: Sequence[int], factors: Sequence[Factor], most_cells: int = 200_000) -> Bounds:
    """Least cost of any assignment, and of any through each value.

    ``sizes`` are the numbers of values (all at least 1).  Costs may not be negative.
    """
    factors = _condensed(sizes, factors)
    constant = sum(int(f.table) for f in factors if not f.scope)
    nodes = _tree(sizes, factors, order_of(sizes, factors), most_cells)
    roots = [i for i, node in enumerate(nodes) if node.parent is None]
    root_costs = {i: int(up.table) for i in roots if (up := nodes[i].up) is not None}
    total = min(constant + sum(root_costs.values()), NEVER)
    # Of a settled variable nothing but the least there is hangs on its value.
    through = [np.full(size, 0 if size > 1 else total, dtype=np.int64) for size in sizes]
    elsewhere: dict[int, int] = {}
    for number in range(len(nodes) - 1, -1, -1):
        node = nodes[number]
        elsewhere[number] = total - root_costs[number] if node.parent is None else elsewhere[node.parent]
        ups = [up for child in node.children if (up := nodes[child].up) is not None]
        mine = [*node.factors, *ups, *([node.down] if node.down is not None else [])]
        belief = product(mine, node.scope, sizes)
        for v, least in zip(node.scope, margins(belief), strict=True):
            np.maximum(through[v], np.minimum(np.minimum(least, CAP) + elsewhere[number], CAP), out=through[v])
        for child in node.children:
            up = nodes[child].up
            assert up is not None
            if up.scope:
                rest = belief - expanded(up, node.scope)
                nodes[child].down = _capped(min_out(rest, node.scope, up.scope))
    return Bounds(total, tuple(through))
