"""From the graph to boxes and lines on paper: what is drawn, how it reads, where it stands.

Seen from above, front at the top.  Everything is near where it sits on the car; what matters most takes its place
first, the rest gives way.  A pair is drawn once: a whole area goes to the side where it has most room and fewest
lines across the car.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import product

from .lettering import width
from .model import Graph
from .picked import in_order, loud, picked, summary
from .placing import GAP, Box, place
from .sketch import SMALL, Sketch, label_words, sketch
from .written import tags

PAGE = 900.0
MARGIN = 16.0
MOST_LABELS = 14
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
    """Everything on paper.  ``high`` is the map's height; ``spans`` is how far down each thing lies that spans it."""

    title: str
    summary: str
    high: float
    spans: tuple[float, ...]
    cards: tuple[Card, ...]
    lines: tuple[Line, ...]
    hidden: int


def scene_of(graph: Graph) -> Scene:
    """Lay out a graph."""
    graph, hidden = picked(graph)
    sketches = [sketch(graph, node) for node in in_order(graph)]
    ground = _Ground.of(graph)
    wanted = _anchors(graph)
    tried = [laid for scale in SCALES if (laid := _lay(graph, sketches, wanted, ground.scaled(scale))) is not None]
    more = 400.0
    while not tried:
        laid = _lay(graph, sketches, wanted, ground.scaled(SCALES[-1], more))
        tried += [] if laid is None else [laid]
        more *= 2
    laid = min(tried, key=lambda one: one.cost)
    spans = tuple(laid.ground.down(float(x)) for x in str(graph.graph.get("spans", "")).split())
    title = str(graph.graph["title"])
    return Scene(title, summary(graph, hidden), laid.ground.high, spans, laid.cards, laid.lines, hidden)


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
    scale: float = 1.0
    more: float = 0.0

    @classmethod
    def of(cls, graph: Graph) -> _Ground:
        """The ground of a whole car, whatever of it is drawn."""
        front, rear, half = (float(graph.graph[k]) for k in ("front", "rear", "half"))
        return cls(front, rear, max(half, 0.6))

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
        return PAGE / 2 - left / self.half * (PAGE / 2 - MARGIN - 90)


@dataclass(frozen=True)
class _Laid:
    cards: tuple[Card, ...]
    lines: tuple[Line, ...]
    cost: float
    ground: _Ground


def _lay(graph: Graph, sketches: list[Sketch], wanted: dict[str, tuple[float, float]], ground: _Ground) -> _Laid | None:
    """Cards, then labels, each in the free place nearest to its own; ``None`` where there is not room for all."""
    room = Box(PAGE / 2, ground.high / 2, PAGE - 2 * MARGIN, ground.high - 36.0)
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
    lines = _lines(graph, boxes, room)
    if lines is None:
        return None
    cost = max(away, default=0.0) + sum(away) / max(1, len(away)) + LENGTH_COSTS * ground.high
    return _Laid(tuple(_card(graph, s, boxes[s.node]) for s in sketches), lines, cost, ground)


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


def _lines(graph: Graph, boxes: dict[str, Box], room: Box) -> tuple[Line, ...] | None:
    order = {"does not fit": 0, "fits if checked": 1, "fits": 2}
    edges = sorted(graph.edges(data=True), key=lambda e: (not e[2]["conflict"], order[e[2]["verdict"]]))
    taken = list(boxes.values())
    found, labels = [], 0
    for one, two, data in edges:
        if one not in boxes or two not in boxes:
            continue
        box, words = None, label_words(data)
        if words and labels < MOST_LABELS:
            labels += 1
            a, b = boxes[one], boxes[two]
            wide = max(width(w, SMALL, i == 0) for i, w in enumerate(words)) + 12
            box = place(Box((a.x + b.x) / 2, (a.y + b.y) / 2, wide, 6 + 14.0 * len(words)), taken, room)
            if box is None:
                return None
            taken.append(box)
        ends = (one, two)
        told = f"{data['relation']}: {data.get('left', '')} / {data.get('right', '')} ({data.get('margin', '')})"
        quiet = data["verdict"] == "fits" and not (loud(graph.nodes[one]) and loud(graph.nodes[two]))
        pulls = bool(data["conflict"]) and data["verdict"] == "fits"
        verdict = "fits" if data.get("could_mend") and not data["decides"] else data["verdict"]
        found.append(Line(ends, verdict, box, tuple(words) if box else (), told, quiet, pulls))
    return tuple(found)
