"""A plan as a graph: one model, that explanations and pages draw from too, and ways to write it.

``plain``       strangers' text made harmless
``numbers``     both sides of a relation, and the room between
``hanging``     on which positions a verdict hangs
``nodes``, ``model``   the networkx graph of a build
``sources``     which build: a plan's, a goal's best, chosen parts, a refusal
``otherwise``   what the text of a refusal says where the build drawn says something else
``showing``     the part of it that answers one question
``neighbours``  what a part touches, and what would change with it
``written``     GraphML, JSON node-link, DOT, Mermaid
``lettering``, ``picked``, ``sketch``, ``placing``, ``scene``   what is drawn, and where
``cards``, ``foot``, ``picture``, ``raster``   the drawing
``told``        the same in words
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from shared.units import System

from ..also_a_function import also_a_function
from .model import Graph, graph_of_build
from .neighbours import around
from .showing import Show, showing
from .sources import Drawn, drawn

__all__ = ["Drawing", "Drawn", "Format", "Graph", "around", "drawn", "graph", "graph_of", "graph_of_build", "showing"]

Format = Literal["graphml", "dot", "mermaid", "json", "svg", "png"]


@dataclass(frozen=True)
class Drawing:
    """A graph written down: text, or the bytes of a PNG; ``clashes`` counts what does not fit in it."""

    body: str | bytes
    clashes: int


def graph(
    source: Path,
    to: Format = "json",
    *,
    show: Show = "all",
    around: str | None = None,
    build: int = 1,
    parts: Sequence[str] = (),
    units: System = "metric",
) -> Drawing:
    """The graph of a plan's file or of a goal, written in a format.

    ``show`` narrows it to what changes, what is doubtful or what clashes; ``around`` draws what one part touches,
    two steps out; ``build`` picks the plan's build, of a refusal a conflict; ``parts`` (``position=id`` or an id)
    are put into the car as it stands and judged there.  A goal without a build gives its refusal.

    Raises :class:`shared.faults.BadInput` with every fault of every file.

    >>> from solver import demo_goal, graph
    >>> graph(demo_goal("tight"), "graphml", parts=("rear-shafts-31",)).clashes
    1
    """
    found = showing(graph_of(source, around=around, build=build, parts=parts, units=units), show)
    return Drawing(write(found, to), clashes_in(found))


def graph_of(
    source: Path, *, around: str | None = None, build: int = 1, parts: Sequence[str] = (), units: System = "metric"
) -> Graph:
    """The same as a networkx multigraph; see :mod:`solver.graph.model` for what it carries."""
    if around is not None:
        from .neighbours import around as neighbours

        return neighbours(source, around, units, build)
    found = drawn(source, build, parts, units)
    return graph_of_build(found.problem, found.build, units, found.conflicts, found.title, found.wants, found.otherwise)


def write(graph: Graph, to: Format) -> str | bytes:
    """A graph in a format."""
    from . import written

    if to == "svg":
        from .picture import svg

        return svg(graph)
    if to == "png":
        from .picture import svg
        from .raster import png

        return png(svg(graph))
    writers = {"graphml": written.graphml, "dot": written.dot, "mermaid": written.mermaid, "json": written.node_link}
    return writers[to](graph)


def clashes_in(graph: Graph) -> int:
    """How many relations that refuse do so in a graph."""
    said = {d["relation"]: d for _, _, d in graph.edges(data=True)}
    said |= {d["relation"]: d for _, d in graph.nodes(data=True) if d["type"] == "rule"}
    return sum(d["severity"] == "must" and d["verdict"] == "does not fit" for d in said.values())


also_a_function(__name__)
