"""What each card and label of the picture says, and how large that makes it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from .lettering import fitted, width, wrapped
from .model import Graph
from .numbers import off
from .written import tags

SMALL, LARGE = 11.0, 12.0
WIDEST = 206.0
LABEL_WIDEST = 236.0
# So many letters of note numbers stand behind the title of a part that stays; more go on lines of their own.
SHORT = 12


@dataclass(frozen=True)
class Sketch:
    """A card without a place."""

    node: str
    wide: float
    high: float
    tags: tuple[str, ...]
    title: str
    lines: tuple[str, ...]

    @property
    def cut(self) -> bool:
        """Whether not all of it could be said."""
        return any(line.endswith("…") for line in (self.title, *self.lines))


def sketch(graph: Graph, node: str, marks: Sequence[int] = ()) -> Sketch:
    """The words and the size of a node's card; ``marks`` are the numbers of the notes that are about it."""
    data = graph.nodes[node]
    words = tuple(tags(data))
    count = int(data.get("count", 1))
    title = str(data["title"]) + (f" ×{count}" if count > 1 else "")
    mark = ranged(marks)
    if (data["type"] == "body" or (data["type"] == "part" and not words)) and len(mark) <= SHORT:
        after = f" [{mark}]" if mark else ""
        text = fitted(title, SMALL, WIDEST - 12 - width(after, SMALL)) + after
        return Sketch(node, width(text, SMALL) + 12, 19.0, (), text, ())
    before = sum(width(w, SMALL, True) + 14 for w in words)
    title = fitted(title, LARGE, WIDEST, True)
    if data["type"] == "rule":
        lines = wrapped(str(data["says"]), SMALL, WIDEST, 2) + _numbers(data, WIDEST)
    else:
        lines = wrapped(str(data["name"]), SMALL, WIDEST, 2)
        if data.get("mends"):
            first, *others = str(data["mends"]).split("; ")
            lines += wrapped(f"to: {first}", SMALL, WIDEST, 2)
            lines += [f"or {len(others)} other{'s' if len(others) > 1 else ''}"] if others else []
            lines.append(fitted(f"because: {str(data['because']).replace('-', ' ')}", SMALL, WIDEST))
        elif data["status"] in ("new", "altered", "adapter") and data.get("price", "0") != "0":
            lines = _ended(lines, f"price {data['price']}")
    if mark:
        lines += wrapped(f"see {mark}", SMALL, WIDEST, len(mark))
    wide = max(before + width(title, LARGE, True), *(width(line, SMALL) for line in lines)) + 26
    return Sketch(node, wide, 25.0 + 15.0 * len(lines), words, title, tuple(lines))


def ranged(numbers: Sequence[int]) -> str:
    """Numbers as one writes them: 1, 3-5, 8."""
    runs: list[list[int]] = []
    for number in sorted(set(numbers)):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(str(r[0]) if len(r) == 1 else f"{r[0]}-{r[-1]}" for r in runs)


def _ended(lines: list[str], more: str) -> list[str]:
    """Lines with something more at the end of the last one, or on a line of its own."""
    joined = f"{lines[-1]}  ·  {more}" if lines else more
    return [*lines[:-1], joined] if width(joined, SMALL) <= WIDEST else [*lines, more]


def _numbers(data: dict[str, object], room: float) -> list[str]:
    """Both sides on this build, and what else the text of a conflict says of them."""
    more = str(data.get("otherwise", ""))
    return [*_sides(data, room), *(wrapped(more, SMALL, room, 2) if more else [])]


def _sides(data: dict[str, object], room: float) -> list[str]:
    """Both sides, and by how much they miss one another; what to measure where that is not known."""
    gap = off(data)
    left, right = str(data.get("left", "")), str(data.get("right", ""))
    lines = [str(data.get("sides") or ", ".join(x for x in (left, right) if x))]
    if not lines[0] or (data.get("needs") and "unknown" in left):
        lines = wrapped(f"measure: {str(data['needs']).replace('_', ' ')}", SMALL, room, 2) if data.get("needs") else []
    elif width(lines[0], SMALL) > room:
        lines = [line for side in (left, right) for line in wrapped(side, SMALL, room, 2)]
    if not gap:
        return lines
    joined = f"{lines[-1]}: {gap}" if lines else gap
    return [*lines[:-1], joined] if width(joined, SMALL) <= room else [*lines, gap]


def label_words(data: dict[str, object], mark: str = "") -> list[str]:
    """What stands on an edge between two parts that does not plainly fit: what meets, and both numbers."""
    if data["kind"] not in ("mate", "belonging") or (data["verdict"] == "fits" and not data["conflict"]):
        return []
    word = {"does not fit": "CLASH ", "fits if checked": "CHECK ", "fits": ""}[str(data["verdict"])]
    after = f" [{mark}]" if mark else ""
    room = LABEL_WIDEST - width(after, SMALL, True)
    head = fitted(word + str(data["relation"]).replace("-", " "), SMALL, room, True) + after
    return [head, *_numbers(data, LABEL_WIDEST)]
