"""One person's order: whatever is free next, staying at the same place as long as there is work at it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import networkx as nx

if TYPE_CHECKING:
    from .graph import Graph


def tails(graph: Graph) -> dict[str, int]:
    """For every node the seconds of the longest chain that starts with it."""
    found: dict[str, int] = {}
    for node in reversed(list(nx.lexicographical_topological_sort(graph))):
        found[node] = graph.nodes[node]["seconds"] + max((found[n] for n in graph.successors(node)), default=0)
    return found


def one_by_one(graph: Graph) -> tuple[str, ...]:
    """All nodes in an order that one person can follow.

    A step's checks come right after it.  Then comes work at the place just worked at; then what the most waits for.
    """
    left = {node: graph.in_degree(node) for node in graph}
    tail = tails(graph)
    free = {node for node, count in left.items() if count == 0}
    place: frozenset[str] = frozenset()
    order: list[str] = []

    def wish(node: str) -> tuple[bool, bool, int, str]:
        data = graph.nodes[node]
        return (data["kind"] != "check", not place & set(data["step"].at), -tail[node], node)

    while free:
        node = min(free, key=wish)
        free.remove(node)
        order.append(node)
        if graph.nodes[node]["kind"] != "check":
            place = frozenset(graph.nodes[node]["step"].at)
        for then in graph.successors(node):
            left[then] -= 1
            if left[then] == 0:
                free.add(then)
    return tuple(order)
