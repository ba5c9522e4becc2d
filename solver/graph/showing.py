"""Parts of the graph that answer one question: what changes, what is doubtful, where the clash is."""

from __future__ import annotations

from typing import Literal

from .model import BODY, CHANGED, Graph

Show = Literal["all", "changed", "doubtful", "conflict"]
SHOWS: tuple[Show, ...] = ("all", "changed", "doubtful", "conflict")


def showing(graph: Graph, show: Show) -> Graph:
    """The nodes and edges that answer a question; a new graph with the same attributes."""
    if show == "all":
        return graph.copy()
    if show == "changed":
        seeds = {n for n, d in graph.nodes(data=True) if d.get("status") in (*CHANGED, "missing")}
        edges = [e for e in graph.edges(keys=True, data=True) if _speaks(e[3]) and seeds & {e[0], e[1]}]
        edges += [e for e in graph.edges(keys=True, data=True) if e[0] in seeds and e[1] in seeds and _mate(e[3])]
        edges += [e for e in graph.edges(keys=True, data=True) if BODY in e[:2] and seeds & {*e[:2]} and _mate(e[3])]
    else:
        wanted = "fits if checked" if show == "doubtful" else "does not fit"
        refused = show == "conflict" and any(d.get("conflict") for _, _, d in graph.edges(data=True))

        def asked(data: dict[str, object]) -> bool:
            """With a refusal only its own members count; what else the drawn build breaks is beside the point.

            In doubt are also advice that may not be followed, and whatever somebody is sent to look at.
            """
            if show == "doubtful" and data["severity"] == "check":
                return data["verdict"] != "fits"
            if data["severity"] == "must" and refused:
                return bool(data["conflict"])
            return data["verdict"] == wanted and (data["severity"] == "must" or show == "doubtful")

        edges = [e for e in graph.edges(keys=True, data=True) if e[3]["decides"] and asked(e[3])]
        seeds = {n for n, d in graph.nodes(data=True) if d["type"] == "rule" and asked(d)}
    return _part_of(graph, seeds, edges)


def _mate(data: dict[str, object]) -> bool:
    return data["kind"] in ("mate", "belonging")


def _speaks(data: dict[str, object]) -> bool:
    """Whether an edge says anything but *fits*, and hangs on what it ends at."""
    return bool(data["decides"]) and (data["verdict"] != "fits" or bool(data["conflict"]))


def _part_of(graph: Graph, seeds: set[str], edges: list[tuple[str, str, str, dict[str, object]]]) -> Graph:
    nodes = seeds | {node for edge in edges for node in edge[:2]}
    found: Graph = graph.__class__(**graph.graph)
    found.add_nodes_from((n, dict(d)) for n, d in graph.nodes(data=True) if n in nodes)
    kept = {(one, two, key) for one, two, key, _ in edges}
    found.add_edges_from(
        (one, two, key, dict(data))
        for one, two, key, data in graph.edges(keys=True, data=True)
        if (one, two, key) in kept
    )
    return found
