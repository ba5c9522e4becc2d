"""The picture of a graph as SVG: a car seen from above, front at the top, with words for everything colour says.

What is new is dark and says NEW; what is doubtful has pointed ends, a broken outline and says CHECK; what clashes
has cut corners, a heavy double outline and says CLASH, and the line between is a saw.  Read in grey, or without red
and green, it is the same picture.  The SVG holds no script, no link and nothing from elsewhere.
"""

from __future__ import annotations

from math import hypot
from xml.sax.saxutils import escape

from .cards import CLASH, FAINT, INK, PAPER, SOFT, card_drawn, lettered, safe
from .foot import foot
from .lettering import fitted, flowed
from .model import Graph
from .placing import Box
from .scene import MARGIN, PAGE, Line, Scene, scene_of
from .sketch import SMALL

FONT = "Helvetica, Arial, 'Liberation Sans', 'DejaVu Sans', sans-serif"


def svg(graph: Graph, wide: float = PAGE, heading: bool = True) -> str:
    """The picture, so wide [px], or as wide as its widest card needs.

    Without a ``heading`` title and summary are only in the parts read aloud, and what no picture of a build may lack
    is left out: whoever shows it says them.
    """
    scene = scene_of(graph, wide)
    head, top = _heading(scene) if heading else ([], 12.0)
    below, deep = foot(scene, top + scene.high)
    last, more = _closing(str(graph.graph["closing"]), scene.wide, top + scene.high + deep) if heading else ([], 0.0)
    deep += more
    size = f"{scene.wide:.0f} {top + scene.high + deep:.0f}"
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size}" width="{size.split()[0]}" '
        f'height="{size.split()[1]}" role="img" font-family="{escape(FONT)}" font-size="{SMALL:g}" fill="{INK}">',
        f"<title>{safe(scene.title)}</title>",
        f"<desc>{safe(scene.summary)}. Seen from above, front at the top. {safe(str(graph.graph['closing']))}</desc>",
        f'<rect width="{size.split()[0]}" height="{size.split()[1]}" fill="{PAPER}"/>',
        *head,
        f'<g transform="translate(0 {top:g})">',
        *_ground(scene),
        *(_edge(line, scene) for line in reversed(scene.lines)),
        *(card_drawn(card) for card in reversed(scene.cards)),
        *(_label(line) for line in scene.lines if line.label is not None),
        "</g>",
        *below,
        *last,
        "</svg>",
    ]
    return "\n".join(parts) + "\n"


def _heading(scene: Scene) -> tuple[list[str], float]:
    """Title and summary, and how high they are."""
    room = scene.wide - 2 * MARGIN
    titles, lines = flowed(scene.title, 20, room, True), flowed(scene.summary, 14, room)
    if len(titles) > 2:
        titles = [titles[0], fitted(titles[1] + " …", 20, room, True)]
    said = [lettered(MARGIN, 28 + 25 * i, line, 20, True) for i, line in enumerate(titles)]
    said += [lettered(MARGIN, 25 + 25 * len(titles) + 19 * i, line, 14) for i, line in enumerate(lines)]
    return said, 18.0 + 25 * len(titles) + 19 * len(lines)


def _closing(text: str, wide: float, top: float) -> tuple[list[str], float]:
    """The last lines below everything, and how high they are."""
    lines = flowed(text, SMALL, wide - 2 * MARGIN)
    return [lettered(MARGIN, top + 14 + 15 * i, line, SMALL) for i, line in enumerate(lines)], 15.0 * len(lines) + 14


def _ground(scene: Scene) -> list[str]:
    """The car's outline, what spans it, and which end is which."""
    share = scene.wide / PAGE
    left, wide, high = 96.0 * share, scene.wide - 192.0 * share, scene.high
    round_front, round_rear = min(110.0 * share, high / 4), min(46.0 * share, high / 6)
    bow, corner = 130.0 * share, 60.0 * share
    path = (
        f"M{left:g} {round_front + 8:g} Q{left:g} 8 {left + bow:g} 8 H{left + wide - bow:g} "
        f"Q{left + wide:g} 8 {left + wide:g} {round_front + 8:g} V{high - round_rear - 8:g} "
        f"Q{left + wide:g} {high - 8:g} {left + wide - corner:g} {high - 8:g} H{left + corner:g} "
        f"Q{left:g} {high - 8:g} {left:g} {high - round_rear - 8:g} Z"
    )
    found = [f'<path d="{path}" fill="#f7f8f8" stroke="{FAINT}" stroke-width="2"/>']
    tyre = 32.0 * share
    for y in scene.spans:
        found.append(
            f'<rect x="{left - 20 * share:.1f}" y="{y - 6:.1f}" width="{wide + 40 * share:.1f}" height="12" rx="6" '
            f'fill="#e7eaec"/>'
        )
        for x in (left - 46 * share, left + wide + 14 * share):
            found.append(
                f'<rect x="{x:.1f}" y="{y - 44:.1f}" width="{tyre:.1f}" height="88" rx="{9 * share:.1f}" '
                f'fill="#e7eaec"/>'
            )
    middle = ' text-anchor="middle" letter-spacing="3"'
    found.append(lettered(scene.wide / 2, 5, "▲ FRONT", 11, True, SOFT, middle))
    found.append(lettered(scene.wide / 2, high + 4, "REAR", 11, True, SOFT, middle))
    return found


# -- edges


def _edge(line: Line, scene: Scene) -> str:
    boxes = {card.node: card.box for card in scene.cards}
    one, two = (boxes[end] for end in line.ends)
    start, end = _border(one, two), _border(two, one)
    told = f"<title>{safe(line.told)}</title>"
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
        lettered(left + 6, top + 14 + 14 * i, word, SMALL, i == 0, CLASH if bad and i == 0 else INK)
        for i, word in enumerate(line.words)
    )
    return (
        f'<g class="label"><title>{safe(line.told)}</title><rect class="box" x="{left:.1f}" y="{top:.1f}" '
        f'width="{box.wide:.1f}" height="{box.high:.1f}" fill="{PAPER}" {look}/>{words}</g>'
    )
