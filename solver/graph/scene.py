"""From the graph to boxes and lines on paper: what is drawn, how it reads, where it stands.

Seen from above, front at the top.  Everything is near where it sits on the car; what matters most takes its place
first, the rest gives way.  A pair is drawn once: a whole area goes to the side where it has most room and fewest
lines across the car.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import product
from typing import Any, TypeAlias

from .lettering import width
from .model import Graph
from .picked import NOTE_ORDER, Note, card_note, in_order, loud, note_of, picked
from .placing import GAP, Box, place
from .sketch import SMALL, Sketch, label_words, sketch
from .written import tags

Edge: TypeAlias = tuple[str, str, dict[str, Any]]
# The words of an edge's label by its ends and its relation.
Words: TypeAlias = dict[tuple[str, str, str], list[str]]

PAGE = 900.0
MARGIN = 16.0
MOST_LABELS = 14
NARROW, MOST_LABELS_NARROW = 500.0, 6
# Few loud cards stand further apart, so that the lines between them are seen.
WIDE_GAP, FEW = 18.0, 14
# Pixels a metre of the car's length.  A long page is worth it only where it keeps cards near their places.
SCALES = (110.0, 135.0, 165.0, 200.0, 240.0, 290.0, 350.0)
LENGTH_COSTS = 0.25


@dataclass(frozen=True)
class Card:
    """One node on paper: its box, its words, and what it looks like."""

    node: str
    box: Box
    tags: tuple[str, ...]
    title: str
    lines: tuple[str, ...]
    status: str
    standing: str
    kind: str
    told: str
    step: int


@dataclass(frozen=True)
class Line:
    """One edge on paper; ``label`` is its text box, if it says something."""

    ends: tuple[str, str]
    verdict: str
    label: Box | None
    words: tuple[str, ...]
    told: str
    quiet: bool
    pulls: bool


@dataclass(frozen=True)
class Scene:
    """Everything on paper.

    ``wide`` and ``high`` are the map's; ``spans`` is how far down each thing lies that spans it; ``notes`` are told
    beside it, numbered from 1.
    """

    title: str
    summary: str
    wide: float
    high: float
    spans: tuple[float, ...]
    cards: tuple[Card, ...]
    lines: tuple[Line, ...]
    notes: tuple[Note, ...]


def scene_of(graph: Graph, wide: float = PAGE) -> Scene:
    """Lay out a graph on paper so wide [px], or a little wider where a card would not fit on it."""
    chosen = picked(graph)
    graph = chosen.graph
    most = MOST_LABELS if wide > NARROW else MOST_LABELS_NARROW
    order = in_order(graph)
    short = [node for node in order if _untold(graph, node)]
    notes = [*chosen.notes, *(card_note(graph, node) for node in short)]
    notes.sort(key=lambda note: NOTE_ORDER.index(note.tag))
    marks: dict[str, list[int]] = {}
    for number, note in enumerate(notes, 1):
        for end in note.ends:
            marks.setdefault(end, []).append(number)
    words: Words = {}
    for one, two, data in _by_weight(graph):
        if said := label_words(data):
            crowded = len(words) >= most
            if crowded or any(line.endswith("…") for line in said):
                notes.append(note_of(data, (one, two)))
                said = [str(len(notes))] if crowded else label_words(data, str(len(notes)))
            words[one, two, data["relation"]] = said
    sketches = [sketch(graph, node, marks.get(node, ())) for node in order]
    widest = [one.wide for one in sketches] + [width(w, SMALL, True) + 12 for some in words.values() for w in some]
    wide = max(wide, max(widest, default=0.0) + 2 * MARGIN)
    ground = _Ground.of(graph, wide)
    wanted = _anchors(graph)
    tried = [
        laid for scale in SCALES if (laid := _lay(graph, sketches, wanted, words, ground.scaled(scale))) is not None
    ]
    more = 400.0
    while not tried:
        laid = _lay(graph, sketches, wanted, words, ground.scaled(SCALES[-1], more))
        tried += [] if laid is None else [laid]
        more *= 2
    laid = min(tried, key=lambda one: one.cost)
    spans = tuple(laid.ground.down(float(x)) for x in str(graph.graph.get("spans", "")).split())
    title = str(graph.graph["title"])
    return Scene(title, chosen.summary, wide, laid.ground.high, spans, laid.cards, laid.lines, tuple(notes))


def _untold(graph: Graph, node: str) -> bool:
    """Whether a card leaves out something that no note tells yet."""
    data = graph.nodes[node]
    return "members" not in data and (sketch(graph, node).cut or "; " in str(data.get("mends", "")))


# -- places


def _anchors(graph: Graph) -> dict[str, tuple[float, float]]:
    """For every node (forward, left) in metres, pairs on the side of their area."""
    sides = _sides(graph)
    found: dict[str, tuple[float, float]] = {}
    for node, data in graph.nodes(data=True):
        if data["type"] == "part":
            side = sides.get(str(data["area"]), 1.0) if _paired(data) else 1.0
            found[node] = (data["forward"], data["left"] * side)
    for node, data in graph.nodes(data=True):
        if data["type"] != "part":
            ends = [found[n] for n in graph.neighbors(node) if n in found] or [(0.0, 0.0)]
            found[node] = (sum(e[0] for e in ends) / len(ends), sum(e[1] for e in ends) / len(ends))
    return found


def _paired(data: dict[str, object]) -> bool:
    return int(str(data["count"])) % 2 == 0 and abs(float(str(data["left"]))) >= 0.2


def _sides(graph: Graph) -> dict[str, float]:
    """The side for the pairs of each area: even sides, few lines across; tried out whole."""
    weight: dict[str, int] = {}
    for _, data in graph.nodes(data=True):
        if data["type"] == "part" and _paired(data):
            weight[str(data["area"])] = weight.get(str(data["area"]), 0) + (3 if tags(data) else 1)
    areas = sorted(weight)
    if not areas or len(areas) > 12:
        return {}
    across: dict[tuple[str, str], int] = {}
    for one, two, edge in graph.edges(data=True):
        ends = [graph.nodes[n] for n in (one, two)]
        if all(d["type"] == "part" and _paired(d) for d in ends):
            names = sorted(str(d["area"]) for d in ends)
            across[names[0], names[1]] = across.get((names[0], names[1]), 0) + (1 if edge["verdict"] == "fits" else 6)
    fixed = sum(
        (1 if d["left"] > 0 else -1)
        for _, d in graph.nodes(data=True)
        if d["type"] == "part" and not _paired(d) and abs(d["left"]) >= 0.2
    )

    def cost(signs: tuple[float, ...]) -> float:
        side = dict(zip(areas, signs, strict=True))
        uneven = abs(fixed + sum(weight[a] * side[a] for a in areas))
        return uneven + sum(n for (a, b), n in across.items() if side[a] != side[b])

    best = min(product((1.0, -1.0), repeat=len(areas)), key=cost)
    return dict(zip(areas, best, strict=True))


@dataclass(frozen=True)
class _Ground:
    """The car on paper: from metres to pixels."""

    front: float
    rear: float
    half: float
    wide: float
    scale: float = 1.0
    more: float = 0.0

    @classmethod
    def of(cls, graph: Graph, wide: float) -> _Ground:
        """The ground of a whole car, whatever of it is drawn."""
        front, rear, half = (float(graph.graph[k]) for k in ("front", "rear", "half"))
        return cls(front, rear, max(half, 0.6), wide)

    def scaled(self, scale: float, more: float = 0.0) -> _Ground:
        return replace(self, scale=scale, more=more)

    @property
    def edge(self) -> float:
        """From the map's upper end to what sits foremost."""
        return 34.0 + self.scale * 0.06

    @property
    def high(self) -> float:
        return (self.front - self.rear) * self.scale + 2 * self.edge + self.more

    def down(self, forward: float) -> float:
        return self.edge + (self.front - forward) * self.scale

    def across(self, left: float) -> float:
        return self.wide / 2 - left / self.half * (self.wide / 2 - MARGIN - 90)


@dataclass(frozen=True)
class _Laid:
    cards: tuple[Card, ...]
    lines: tuple[Line, ...]
    cost: float
    ground: _Ground


def _lay(
    graph: Graph,
    sketches: list[Sketch],
    wanted: dict[str, tuple[float, float]],
    words: Words,
    ground: _Ground,
) -> _Laid | None:
    """Cards, then labels, each in the free place nearest to its own; ``None`` where there is not room for all."""
    room = Box(ground.wide / 2, ground.high / 2, ground.wide - 2 * MARGIN, ground.high - 36.0)
    many = sum(loud(graph.nodes[s.node]) for s in sketches)
    gap = WIDE_GAP if many <= FEW else GAP
    boxes: dict[str, Box] = {}
    away = []
    for one in sketches:
        forward, left = wanted[one.node]
        at = Box(ground.across(left), ground.down(forward), one.wide, one.high)
        box = place(at, list(boxes.values()), room, gap if loud(graph.nodes[one.node]) else GAP)
        if box is None:
            return None
        boxes[one.node] = box
        if graph.nodes[one.node]["type"] == "part":
            away.append(((box.x - at.x) ** 2 * 0.5 + (box.y - at.y) ** 2) ** 0.5)
    lines = _lines(graph, boxes, words, room)
    if lines is None:
        return None
    cost = max(away, default=0.0) + sum(away) / max(1, len(away)) + LENGTH_COSTS * ground.high
    return _Laid(tuple(_card(graph, s, boxes[s.node]) for s in sketches), lines, cost, ground)


def _best_laid(tried: Iterable[_Laid | None]) -> _Laid | None:
    return min((laid for laid in tried if laid is not None), key=lambda laid: laid.cost, default=None)


def _card(graph: Graph, sketch: Sketch, box: Box) -> Card:
    data = graph.nodes[sketch.node]
    told = [str(data["title"]), str(data.get("name") or data.get("says") or "")]
    told += [f"{k.replace('_', ' ')}: {data[k]}" for k in ("donor", "price", "mends", "because") if data.get(k)]
    return Card(
        sketch.node,
        box,
        sketch.tags,
        sketch.title,
        sketch.lines,
        str(data.get("status", "")),
        str(data["standing"]),
        str(data["type"]),
        "\n".join(told),
        int(data.get("steps", 0)),
    )


def _by_weight(graph: Graph) -> list[Edge]:
    """Edges by how much they matter: those of a conflict, clashes, doubts, the rest."""
    order = {"does not fit": 0, "fits if checked": 1, "fits": 2}
    return sorted(graph.edges(data=True), key=lambda e: (not e[2]["conflict"], order[e[2]["verdict"]]))


def _lines(graph: Graph, boxes: dict[str, Box], words: Words, room: Box) -> tuple[Line, ...] | None:
    taken = list(boxes.values())
    found = []
    for one, two, data in _by_weight(graph):
        box, said = None, words.get((one, two, data["relation"]), [])
        if said:
            a, b = boxes[one], boxes[two]
            wide = max(width(w, SMALL, i == 0) for i, w in enumerate(said)) + 12
            box = place(Box((a.x + b.x) / 2, (a.y + b.y) / 2, wide, 6 + 14.0 * len(said)), taken, room)
            if box is None:
                return None
            taken.append(box)
        told = f"{data['relation']}: {data.get('left', '')} / {data.get('right', '')}"
        told += f" ({data['margin']})" if data.get("margin") else ""
        quiet = data["verdict"] == "fits" and not (loud(graph.nodes[one]) and loud(graph.nodes[two]))
        pulls = bool(data["conflict"]) and data["verdict"] == "fits"
        verdict = "fits" if data.get("could_mend") and not data["decides"] else data["verdict"]
        found.append(Line((one, two), verdict, box, tuple(said), told, quiet, pulls))
    return tuple(found)
