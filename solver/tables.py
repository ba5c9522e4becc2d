"""Plain tables that line up on a terminal, in a file and in a pipe alike, and the same in blocks for a small screen."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import accumulate, pairwise

from .unseen import visible
from .widths import beginning, broken, cells

MOST_WIDE = 60
MORE = "..."
EDGE = "  "  # before the first column
GAP = "  "  # between two
APART = "   "  # between what is told of one row in one line
_RULE = re.compile(rf"{EDGE}-+(?:{GAP}-+)*")


def _clip(text: str) -> str:
    """A text for a cell of a table: in one line, nothing unseen in it, with dots where there is more."""
    flat = visible(" ".join(text.split()))
    return flat if cells(flat) <= MOST_WIDE else beginning(flat, MOST_WIDE - len(MORE)) + MORE


def table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
    """Lines of a table; columns that are empty throughout are left out."""
    if not rows:
        return ["  (none)"]
    clipped = [[_clip(c) for c in row] for row in rows]
    used = [i for i in range(len(heads)) if any(row[i] for row in clipped)]
    wide = [max(cells(heads[i]), *(cells(row[i]) for row in clipped)) for i in used]

    def line(row: Sequence[str]) -> str:
        padded = (row[i] + " " * (w - cells(row[i])) for i, w in zip(used, wide, strict=True))
        return (EDGE + GAP.join(padded)).rstrip()

    return [line(heads), EDGE + GAP.join("-" * w for w in wide), *(line(row) for row in clipped)]


def in_blocks(lines: Sequence[str], wide: int) -> list[str]:
    """The lines of a text, with every table wider than the screen told row by row: a heading and what belongs to it.

    >>> for line in in_blocks(table(["part", "price", ""], [["Blocks 40 mm", "30 to 40", "new"]]), 28):
    ...     print(line)
      Blocks 40 mm
        price: 30 to 40   new
    """
    found: list[str] = []
    at = 0
    while at < len(lines):
        split = _Columns(lines[at + 1]) if at + 1 < len(lines) and _RULE.fullmatch(lines[at + 1]) else None
        heads = None if split is None else split.row(lines[at])
        if split is None or heads is None:
            found.append(lines[at])
            at += 1
            continue
        rows = list(split.rows(lines[at + 2 :]))
        end = at + 2 + len(rows)
        if max(map(cells, lines[at:end])) <= wide:
            found += lines[at:end]
        else:
            found += [line for row in rows for line in _block(heads, row, wide)]
        at = end
    return found


class _Columns:
    """Where the columns of a table begin and end, by the line of dashes under its heads."""

    def __init__(self, rule: str) -> None:
        wide = [len(dashes) + len(GAP) for dashes in rule[len(EDGE) :].split(GAP)]
        self.starts = list(accumulate(wide, initial=len(EDGE)))

    def row(self, line: str) -> list[str] | None:
        """What stands in each column; ``None`` for a line that is no row of this table."""
        padded = line + " " * (self.starts[-1] - cells(line))
        if not line.strip() or not line.startswith(EDGE) or cells(padded) != self.starts[-1]:
            return None
        found = [padded[a:b] for a, b in pairwise(_at_cells(padded, self.starts))]
        return [cell.strip() for cell in found] if all(cell.endswith(GAP) for cell in found) else None

    def rows(self, lines: Sequence[str]) -> Iterator[list[str]]:
        """The rows at the head of these lines."""
        for line in lines:
            row = self.row(line)
            if row is None:
                return
            yield row


def _at_cells(text: str, places: Sequence[int]) -> Sequence[int]:
    """The letters of a text that begin at these cells of a terminal; its whole width is the last of them."""
    if text.isascii():
        return places
    return [next(i for i in range(len(text) + 1) if cells(text[:i]) >= place) for place in places]


def _block(heads: Sequence[str], row: Sequence[str], wide: int) -> Iterator[str]:
    """One row: its first cell, then the others with their heads, as many on a line as go there."""
    inside = EDGE + GAP
    first = f"{heads[0]} {row[0]}" if row[0][:1].isdigit() else row[0]
    yield from broken(EDGE + first, wide, len(inside))
    line = ""
    for head, cell in zip(heads[1:], row[1:], strict=True):
        if not cell:
            continue
        told = f"{head}: {cell}" if head else cell
        if line and cells(line) + cells(APART + told) <= wide:
            line += APART + told
        else:
            yield from broken(line, wide, len(inside + GAP)) if line else ()
            line = inside + told
    yield from broken(line, wide, len(inside + GAP)) if line else ()
