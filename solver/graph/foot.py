"""What stands below the picture: a short legend of what it holds, and the numbered notes."""

from __future__ import annotations

from dataclasses import replace

from .cards import CLASH, INK, PAPER, SOFT, card_drawn, lettered
from .lettering import flowed, width
from .picked import Note
from .placing import Box
from .scene import MARGIN, Card, Scene
from .sketch import LARGE, SMALL

ROW, LINE = 30.0, 15.0
# Paper so wide takes many notes in two columns.
TWO_COLUMNS, MANY = 700.0, 4
_CHANGES = ("CHANGE TOO", "OR CHANGE")


def foot(scene: Scene, top: float) -> tuple[list[str], float]:
    """The drawing below ``top``, and how high it is."""
    found, y = _legend(scene, top + 24)
    if not scene.notes:
        return found, y - top + 22
    y += 38
    found.append(lettered(MARGIN, y, "The numbers in the picture", LARGE, True))
    notes, bottom = _notes(scene, y + 12)
    return [*found, *notes], bottom - top + 12


def _samples(scene: Scene) -> list[Card]:
    """A card of each kind the picture holds, with what it means."""
    statuses = {card.status for card in scene.cards}
    standings = {card.standing for card in scene.cards}
    tags = {tag.split()[0] if tag not in _CHANGES else tag for card in scene.cards for tag in card.tags}
    rows: list[Card] = []

    def add(there: bool, tag: str, status: str, standing: str, says: str, kind: str = "part", step: int = 0) -> None:
        if there:
            box = Box(0, 0, width(tag, SMALL, True) + 34 if tag else 34.0, 25)
            rows.append(Card("", box, (tag,) if tag else (), "", (), status, standing, kind, says, step))

    add("new" in statuses, "NEW", "new", "sound", "another part than now")
    add("altered" in statuses, "ALTERED", "altered", "sound", "another part, cut or welded")
    add("adapter" in statuses, "ADAPTER", "adapter", "sound", "put between, or added")
    add("moved" in statuses, "MOVED", "moved", "sound", "the old part, moved over")
    add("removed" in statuses, "REMOVED", "removed", "sound", "comes off")
    add("missing" in statuses, "MISSING", "missing", "clash", "something is owed here")
    add("CHANGE TOO" in tags or "OR CHANGE" in tags, "CHANGE TOO", "kept", "clash", "must change with it")
    add("OR CHANGE" in tags, "OR CHANGE", "kept", "clash", "one of these would do")
    add("doubt" in standings, "CHECK", "kept", "doubt", "measure before paying")
    add("CLASH" in tags, "CLASH", "kept", "clash", "does not fit")
    add("CONFLICT" in tags, "CONFLICT", "kept", "sound", "part of the conflict of that number")
    add(any(card.kind == "rule" for card in scene.cards), "", "", "sound", "a rule or a goal line", "rule")
    steps = any(card.step == 1 for card in scene.cards)
    add(steps, "", "kept", "sound", "touches it", step=1)
    add(steps, "", "kept", "sound", "two steps away", step=2)
    still = any(card.status == "kept" and not card.tags for card in scene.cards)
    add(still and not steps, "", "kept", "sound", "stays as it is")
    return rows


def _legend(scene: Scene, y: float) -> tuple[list[str], float]:
    """The samples in rows from ``y`` on, and the last row's ``y``."""
    found, x = [], MARGIN
    for card in _samples(scene):
        step = card.box.wide + 8 + width(card.told, SMALL) + 18
        if x + step > scene.wide - MARGIN and x > MARGIN:
            x, y = MARGIN, y + ROW
        placed = replace(card, box=Box(x + card.box.wide / 2, y, card.box.wide, card.box.high))
        found.append(card_drawn(placed).replace('class="box"', 'class="sample"'))
        found.append(lettered(x + card.box.wide + 8, y + 4, card.told, SMALL, False, SOFT))
        x += step
    return found, y


def _notes(scene: Scene, top: float) -> tuple[list[str], float]:
    """The notes below ``top``, and where they end."""
    columns = 2 if scene.wide > TWO_COLUMNS and len(scene.notes) > MANY else 1
    wide = (scene.wide - 2 * MARGIN - 20 * (columns - 1)) / columns
    titles = {card.node: card.title.split(" [")[0] for card in scene.cards}
    laid = [_note(scene.notes[i], i + 1, wide, titles) for i in range(len(scene.notes))]
    heights = [sum(high for _, high in laid[:i]) for i in range(len(laid) + 1)]
    turn = next(i for i, high in enumerate(heights) if high >= heights[-1] / columns)
    found, ends = [], [top]
    for x, some in ((MARGIN, laid[:turn]), (MARGIN + wide + 20, laid[turn:])):
        y = top
        for drawn, high in some:
            found.append(f'<g class="note" transform="translate({x:.1f} {y:.1f})">{drawn}</g>')
            y += high
        ends.append(y)
    return found, max(ends)


def _note(note: Note, number: int, wide: float, titles: dict[str, str]) -> tuple[str, float]:
    """One note with its upper left corner at 0, 0, and how high it is."""
    tag = width(note.tag, SMALL, True) + 8
    before = width(str(number), LARGE, True) + 8
    heads = flowed(note.title, LARGE, wide - before - tag - 8, True)
    at = ", ".join(dict.fromkeys(titles.get(end, end.replace("_", " ")) for end in note.ends))
    about = f"{note.text}. At: {at}" if at and at != note.title else note.text
    lines = flowed(about, SMALL, wide - before)
    high = LINE * (len(heads) + len(lines)) + 8
    back = CLASH if note.tag == "CLASH" else INK
    drawn = [f'<rect class="box" width="{wide:.1f}" height="{high - 2:.1f}" fill="none"/>']
    drawn.append(lettered(0, 13, str(number), LARGE, True))
    drawn.append(f'<rect x="{before:.1f}" y="2" width="{tag:.1f}" height="14" fill="{back}"/>')
    drawn.append(lettered(before + 4, 13, note.tag, SMALL, True, PAPER))
    drawn += [lettered(before + tag + 8, 13 + LINE * i, line, LARGE, True) for i, line in enumerate(heads)]
    first = 13 + LINE * len(heads)
    drawn += [lettered(before, first + LINE * i, line, SMALL) for i, line in enumerate(lines)]
    return "".join(drawn), high
