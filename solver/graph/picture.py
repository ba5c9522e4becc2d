"""The picture of a graph as SVG: a car seen from above, front at the top, with words for everything colour says.

What is new is dark and says NEW; what is doubtful has pointed ends, a broken outline and says CHECK; what clashes
has cut corners, a heavy double outline and says CLASH, and the line between is a saw.  Read in grey, or without red
and green, it is the same picture.  The SVG holds no script, no link and nothing from elsewhere.
"""

from __future__ import annotations

from dataclasses import replace
from math import hypot
from xml.sax.saxutils import escape

from .lettering import fitted, width
from .model import Graph
from .placing import Box
from .scene import MARGIN, PAGE, Card, Line, Scene, scene_of
from .sketch import LARGE, SMALL

HEAD = 62.0
INK, SOFT, FAINT, PAPER = "#1a1a1a", "#5c5c5c", "#d3d6d8", "#ffffff"
# Blue and vermilion are told apart by every common kind of colour blindness (Okabe and Ito, 2008; from memory).
NEW, CLASH, DOUBT, MOVED, RULE = "#0a4a75", "#c24a00", "#fff1a8", "#dce6ee", "#f1ede4"
FONT = "Helvetica, Arial, 'Liberation Sans', 'DejaVu Sans', sans-serif"


def svg(graph: Graph) -> str:
    """The picture, 900 px wide."""
    scene = scene_of(graph)
    legend, foot = _legend(scene, HEAD + scene.high)
    high = HEAD + scene.high + foot
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {PAGE:.0f} {high:.0f}" width="{PAGE:.0f}" '
        f'height="{high:.0f}" role="img" font-family="{escape(FONT)}" font-size="{SMALL:g}" fill="{INK}">',
        f"<title>{_safe(scene.title)}</title>",
        f"<desc>{_safe(scene.summary)}. Seen from above, front at the top.</desc>",
        f'<rect width="{PAGE:.0f}" height="{high:.0f}" fill="{PAPER}"/>',
        _heading(scene),
        f'<g transform="translate(0 {HEAD:g})">',
        *_ground(scene),
        *(_edge(line, scene) for line in reversed(scene.lines)),
        *(_card(card) for card in reversed(scene.cards)),
        *(_label(line) for line in scene.lines if line.label is not None),
        "</g>",
        *legend,
        "</svg>",
    ]
    return "\n".join(parts) + "\n"


def _safe(text: str) -> str:
    return escape(text, {'"': "&quot;", "'": "&#39;"})


def _text(
    x: float, y: float, text: str, size: float = SMALL, bold: bool = False, fill: str = "", more: str = ""
) -> str:
    weight = ' font-weight="700"' if bold else ""
    colour = f' fill="{fill}"' if fill else ""
    return f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size:g}"{weight}{colour}{more}>{_safe(text)}</text>'


def _heading(scene: Scene) -> str:
    title = fitted(scene.title, 20, PAGE - 2 * MARGIN, True)
    return _text(MARGIN, 28, title, 20, True) + _text(MARGIN, 50, fitted(scene.summary, 14, PAGE - 2 * MARGIN), 14)


def _ground(scene: Scene) -> list[str]:
    """The car's outline, what spans it, and which end is which."""
    left, wide, high = 96.0, PAGE - 192.0, scene.high
    round_front, round_rear = min(110.0, high / 4), min(46.0, high / 6)
    path = (
        f"M{left:g} {round_front + 8:g} Q{left:g} 8 {left + 130:g} 8 H{left + wide - 130:g} "
        f"Q{left + wide:g} 8 {left + wide:g} {round_front + 8:g} V{high - round_rear - 8:g} "
        f"Q{left + wide:g} {high - 8:g} {left + wide - 60:g} {high - 8:g} H{left + 60:g} "
        f"Q{left:g} {high - 8:g} {left:g} {high - round_rear - 8:g} Z"
    )
    found = [f'<path d="{path}" fill="#f7f8f8" stroke="{FAINT}" stroke-width="2"/>']
    for y in scene.spans:
        found.append(
            f'<rect x="{left - 20:g}" y="{y - 6:.1f}" width="{wide + 40:g}" height="12" rx="6" fill="#e7eaec"/>'
        )
        for x in (left - 46, left + wide + 14):
            found.append(f'<rect x="{x:g}" y="{y - 44:.1f}" width="32" height="88" rx="9" fill="#e7eaec"/>')
    middle = ' text-anchor="middle" letter-spacing="3"'
    found.append(_text(PAGE / 2, 5, "▲ FRONT", 11, True, SOFT, middle))
    found.append(_text(PAGE / 2, high + 4, "REAR", 11, True, SOFT, middle))
    return found


# -- edges


def _edge(line: Line, scene: Scene) -> str:
    boxes = {card.node: card.box for card in scene.cards}
    one, two = (boxes[end] for end in line.ends)
    start, end = _border(one, two), _border(two, one)
    told = f"<title>{_safe(line.told)}</title>"
    if line.pulls:
        body = (
            f'<path d="M{start[0]:.1f} {start[1]:.1f} L{end[0]:.1f} {end[1]:.1f}" stroke="{INK}" stroke-width="2.4"/>'
        )
    elif line.verdict == "fits":
        stroke = f'stroke="{FAINT}" stroke-width="1.2"' if line.quiet else f'stroke="{SOFT}" stroke-width="1.6"'
        body = f'<path d="M{one.x:.1f} {one.y:.1f} L{two.x:.1f} {two.y:.1f}" {stroke} fill="none"/>'
    elif line.verdict == "fits if checked":
        body = (
            f'<path d="M{start[0]:.1f} {start[1]:.1f} L{end[0]:.1f} {end[1]:.1f}" stroke="{INK}" stroke-width="2.2" '
            f'stroke-dasharray="7 5" fill="none"/>'
        )
    else:
        body = f'<path d="{_saw(start, end)}" stroke="{CLASH}" stroke-width="3" stroke-linejoin="miter" fill="none"/>'
    if line.label is not None:
        x, y = (start[0] + end[0]) / 2, (start[1] + end[1]) / 2
        body += f'<path d="M{x:.1f} {y:.1f} L{line.label.x:.1f} {line.label.y:.1f}" stroke="{INK}" stroke-width="1"/>'
    return f'<g class="edge {_word(line.verdict)}">{told}{body}</g>'


def _word(verdict: str) -> str:
    return {"fits": "fits", "fits if checked": "check", "does not fit": "clash"}[verdict]


def _border(one: Box, two: Box) -> tuple[float, float]:
    """Where the line from the middle of one box to the other's leaves the first."""
    dx, dy = two.x - one.x, two.y - one.y
    if dx == 0 and dy == 0:
        return one.x, one.y
    share = min((one.wide / 2) / abs(dx) if dx else float("inf"), (one.high / 2) / abs(dy) if dy else float("inf"), 0.5)
    return one.x + dx * share, one.y + dy * share


def _saw(start: tuple[float, float], end: tuple[float, float]) -> str:
    """A toothed line."""
    long = hypot(end[0] - start[0], end[1] - start[1])
    teeth = max(2, int(long / 7))
    if long == 0:
        return f"M{start[0]:.1f} {start[1]:.1f}"
    ux, uy = (end[0] - start[0]) / long, (end[1] - start[1]) / long
    points = [start]
    for i in range(1, teeth):
        far, off = long * i / teeth, 5.0 if i % 2 else -5.0
        points.append((start[0] + ux * far - uy * off, start[1] + uy * far + ux * off))
    points.append(end)
    return "M" + " L".join(f"{x:.1f} {y:.1f}" for x, y in points)


def _label(line: Line) -> str:
    box = line.label
    assert box is not None
    left, top = box.x - box.wide / 2, box.y - box.high / 2
    bad = line.verdict == "does not fit"
    look = f'stroke="{CLASH}" stroke-width="2"' if bad else f'stroke="{INK}" stroke-width="1.2"'
    if line.verdict == "fits if checked":
        look += ' stroke-dasharray="5 3"'
    words = "".join(
        _text(left + 6, top + 14 + 14 * i, word, SMALL, i == 0, CLASH if bad and i == 0 else INK)
        for i, word in enumerate(line.words)
    )
    return (
        f'<g class="label"><title>{_safe(line.told)}</title><rect class="box" x="{left:.1f}" y="{top:.1f}" '
        f'width="{box.wide:.1f}" height="{box.high:.1f}" fill="{PAPER}" {look}/>{words}</g>'
    )


# -- cards


def _outline(box: Box, card: Card, inset: float = 0.0) -> str:
    """The card's shape: plain, pointed where doubtful, cut where it clashes, a pennant for a rule."""
    left, right = box.x - box.wide / 2 + inset, box.x + box.wide / 2 - inset
    top, bottom = box.y - box.high / 2 + inset, box.y + box.high / 2 - inset
    if card.kind == "rule":
        points = [(left, top), (right - 9, top), (right, box.y), (right - 9, bottom), (left, bottom)]
    elif card.standing == "doubt":
        points = [(left, box.y), (left + 9, top), (right - 9, top), (right, box.y), (right - 9, bottom)]
        points.append((left + 9, bottom))
    elif card.standing == "clash":
        cut = 8.0
        points = [(left + cut, top), (right - cut, top), (right, top + cut), (right, bottom - cut)]
        points += [(right - cut, bottom), (left + cut, bottom), (left, bottom - cut), (left, top + cut)]
    else:
        points = [(left, top), (right, top), (right, bottom), (left, bottom)]
    return "M" + " L".join(f"{x:.1f} {y:.1f}" for x, y in points) + " Z"


def _colours(card: Card) -> tuple[str, str]:
    """Fill and ink."""
    if card.status in ("new", "altered", "adapter"):
        return NEW, PAPER
    if card.standing == "doubt":
        return DOUBT, INK
    if card.kind == "rule":
        return RULE, INK
    if card.status == "moved":
        return MOVED, INK
    return PAPER, INK if card.tags or card.step == 1 else SOFT


def _card(card: Card) -> str:
    fill, ink = _colours(card)
    box = card.box
    found = [f'<g class="card {_safe(card.status or card.kind)} {card.standing}"><title>{_safe(card.told)}</title>']
    found.append(_frame(card, fill))
    left, top = box.x - box.wide / 2, box.y - box.high / 2
    if not card.tags and card.kind != "rule":
        found.append(_text(box.x, box.y + 4, card.title, SMALL, False, ink, ' text-anchor="middle"'))
        return "".join([*found, "</g>"])
    x = left + 13
    for tag in card.tags:
        wide = width(tag, SMALL, True) + 8
        back, front = (PAPER, NEW) if ink == PAPER else (INK, PAPER)
        if tag in ("CLASH", "CHANGE TOO", "OR CHANGE"):
            back, front = (CLASH, PAPER) if ink != PAPER else (PAPER, "#8a3400")
        if tag == "CHECK" and ink == PAPER:
            back, front = DOUBT, INK
        found.append(f'<rect x="{x:.1f}" y="{top + 5.5:.1f}" width="{wide:.1f}" height="14" fill="{back}"/>')
        found.append(_text(x + 4, top + 16.5, tag, SMALL, True, front))
        x += wide + 6
    struck = ' text-decoration="line-through"' if card.status == "removed" else ""
    found.append(_text(x, top + 17.5, card.title, LARGE, True, ink, struck))
    found += [_text(left + 13, top + 32.5 + 15 * i, line, SMALL, False, ink) for i, line in enumerate(card.lines)]
    return "".join([*found, "</g>"])


def _frame(card: Card, fill: str) -> str:
    box = card.box
    left, top = box.x - box.wide / 2, box.y - box.high / 2
    hold = (
        f'<rect class="box" x="{left:.1f}" y="{top:.1f}" width="{box.wide:.1f}" height="{box.high:.1f}" '
        f'fill="none" stroke="none"/>'
    )
    if card.standing == "clash":
        return (
            f'{hold}<path d="{_outline(box, card)}" fill="{fill}" stroke="{CLASH}" stroke-width="5"/>'
            f'<path d="{_outline(box, card, 1.0)}" fill="none" stroke="{PAPER}" stroke-width="1.4"/>'
        )
    if card.standing == "doubt" and fill == NEW:
        return (
            f'{hold}<path d="{_outline(box, card)}" fill="{DOUBT}" stroke="{INK}" stroke-width="2" '
            f'stroke-dasharray="6 4"/><path d="{_outline(box, card, 4.0)}" fill="{fill}"/>'
        )
    if card.standing == "doubt":
        look = f'stroke="{INK}" stroke-width="2" stroke-dasharray="6 4"'
    elif card.status in ("missing", "empty"):
        look = f'stroke="{INK}" stroke-width="1.6" stroke-dasharray="2 3"'
    elif card.status == "removed":
        look = f'stroke="{SOFT}" stroke-width="1.2" stroke-dasharray="9 4"'
    else:
        strong = card.tags or card.step == 1
        look = f'stroke="{INK if strong else "#9aa0a4"}" stroke-width="{1.4 if strong else 1}"'
    return f'{hold}<path d="{_outline(box, card)}" fill="{fill}" {look}/>'


# -- legend


def _legend(scene: Scene, top: float) -> tuple[list[str], float]:
    """Only what the picture holds, and how high that is."""
    statuses = {card.status for card in scene.cards}
    standings = {card.standing for card in scene.cards}
    rows: list[tuple[Card, str]] = []

    def add(tag: str, status: str, standing: str, kind: str, says: str, step: int = 0) -> None:
        wide = width(tag, SMALL, True) + 34 if tag else 34.0
        box = Box(0, 0, wide, 25)
        rows.append((Card("", box, (tag,) if tag else (), "", (), status, standing, kind, says, step), says))

    if statuses & {"new", "altered", "adapter"}:
        add("NEW", "new", "sound", "part", "another part than now")
    if "moved" in statuses:
        add("MOVED", "moved", "sound", "part", "the old part, moved over")
    if any(card.tags[-1:] in (("CHANGE TOO",), ("OR CHANGE",)) for card in scene.cards):
        add("CHANGE TOO", "kept", "clash", "part", "must change with it")
    if any(card.tags[-1:] == ("OR CHANGE",) for card in scene.cards):
        add("OR CHANGE", "kept", "clash", "part", "one of these would do")
    if "doubt" in standings:
        add("CHECK", "kept", "doubt", "part", "measure before paying")
    if any("CLASH" in card.tags for card in scene.cards):
        add("CLASH", "kept", "clash", "part", "does not fit")
    if any(card.kind == "rule" for card in scene.cards):
        add("", "", "sound", "rule", "a rule or a goal line")
    if any(card.step == 1 for card in scene.cards):
        add("", "kept", "sound", "part", "touches it", 1)
        add("", "kept", "sound", "part", "two steps away", 2)
    elif any(card.status == "kept" and card.standing == "sound" for card in scene.cards):
        add("", "kept", "sound", "part", "stays as it is")
    found, x, y = [], MARGIN, top + 24
    for card, says in rows:
        step = card.box.wide + 8 + width(says, SMALL) + 18
        if x + step > PAGE - MARGIN and x > MARGIN:
            x, y = MARGIN, y + 30
        placed = replace(card, box=Box(x + card.box.wide / 2, y, card.box.wide, card.box.high))
        found.append(_card(placed).replace('class="box"', 'class="sample"'))
        found.append(_text(x + card.box.wide + 8, y + 4, says, SMALL, False, SOFT))
        x += step
    return found, y - top + 22
