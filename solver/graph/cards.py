"""The looks of the picture: its letters and colours, and a card's shape, fill and words."""

from __future__ import annotations

from xml.sax.saxutils import escape

from .lettering import width
from .placing import Box
from .scene import Card
from .sketch import LARGE, SMALL

INK, SOFT, FAINT, PAPER = "#1a1a1a", "#5c5c5c", "#d3d6d8", "#ffffff"
# Blue and vermilion are told apart by every common kind of colour blindness (Okabe and Ito, 2008; from memory).
NEW, CLASH, DOUBT, MOVED, RULE = "#0a4a75", "#c24a00", "#fff1a8", "#dce6ee", "#f1ede4"
DEEP_CLASH = "#8a3400"


def safe(text: str) -> str:
    return escape(text, {'"': "&quot;", "'": "&#39;"})


def lettered(
    x: float, y: float, text: str, size: float = SMALL, bold: bool = False, fill: str = "", more: str = ""
) -> str:
    weight = ' font-weight="700"' if bold else ""
    colour = f' fill="{fill}"' if fill else ""
    return f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size:g}"{weight}{colour}{more}>{safe(text)}</text>'


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


def card_drawn(card: Card) -> str:
    fill, ink = _colours(card)
    box = card.box
    found = [f'<g class="card {safe(card.status or card.kind)} {card.standing}"><title>{safe(card.told)}</title>']
    found.append(_frame(card, fill))
    left, top = box.x - box.wide / 2, box.y - box.high / 2
    if not card.tags and not card.lines and card.kind != "rule":
        found.append(lettered(box.x, box.y + 4, card.title, SMALL, False, ink, ' text-anchor="middle"'))
        return "".join([*found, "</g>"])
    x = left + 13
    for tag in card.tags:
        wide = width(tag, SMALL, True) + 8
        back, front = (PAPER, NEW) if ink == PAPER else (INK, PAPER)
        if tag.startswith("CLASH") or tag in ("CHANGE TOO", "OR CHANGE"):
            back, front = (CLASH, PAPER) if ink != PAPER else (PAPER, DEEP_CLASH)
        if tag == "CHECK" and ink == PAPER:
            back, front = DOUBT, INK
        found.append(f'<rect x="{x:.1f}" y="{top + 5.5:.1f}" width="{wide:.1f}" height="14" fill="{back}"/>')
        found.append(lettered(x + 4, top + 16.5, tag, SMALL, True, front))
        x += wide + 6
    struck = ' text-decoration="line-through"' if card.status == "removed" else ""
    found.append(lettered(x, top + 17.5, card.title, LARGE, True, ink, struck))
    found += [lettered(left + 13, top + 32.5 + 15 * i, line, SMALL, False, ink) for i, line in enumerate(card.lines)]
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
