"""Tables told once, as rows of cells, and drawn for the room there is: lined up, narrowed, or row by row in blocks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import zip_longest

from .unseen import visible
from .widths import broken, cells

MOST_WIDE = 60  # cells of a column; what is longer goes on below
LEAST_WIDE = 20  # what a column with much in it is narrowed to before a table comes in blocks
EDGE = "  "  # before the first column
GAP = "  "  # between two
APART = "   "  # between what is told of one row in one line


@dataclass(frozen=True)
class Table:
    """Heads and rows of cells; columns that are empty throughout are left out, and nothing in a cell is.

    ``shorter`` tells the same in fewer letters, for a screen this does not fit on.
    """

    heads: Sequence[str]
    rows: Sequence[Sequence[str]]
    shorter: Table | None = None

    def lines(self, wide: int | None = None) -> list[str]:
        """The table for a screen of so many columns, or for paper.

        >>> for line in Table(["part", "price", ""], [["Blocks 40 mm", "30 to 40", "new"]]).lines(28):
        ...     print(line)
          Blocks 40 mm
            price: 30 to 40   new
        """
        if not self.rows:
            return [f"{EDGE}(none)"]
        told = _Cells(self.heads, self.rows)
        if wide is None or told.wide(MOST_WIDE) <= wide:
            return told.lined_up(MOST_WIDE)
        if self.shorter is not None:
            return self.shorter.lines(wide)
        narrowed = next((most for most in range(MOST_WIDE, LEAST_WIDE - 1, -1) if told.wide(most) <= wide), None)
        return told.in_blocks(wide) if narrowed is None else told.lined_up(narrowed)


class _Cells:
    """The columns with anything in them, every cell in one line and nothing unseen in it."""

    def __init__(self, heads: Sequence[str], rows: Sequence[Sequence[str]]) -> None:
        clean = [[visible(" ".join(cell.split())) for cell in row] for row in rows]
        used = [i for i in range(len(heads)) if any(row[i] for row in clean)]
        self.heads = [heads[i] for i in used]
        self.rows = [[row[i] for i in used] for row in clean]
        columns = [[head, *(row[i] for row in self.rows)] for i, head in enumerate(self.heads)]
        self._longest = [max(map(cells, column)) for column in columns]
        self._longest_word = [max(cells(word) for cell in column for word in cell.split(" ")) for column in columns]

    def _columns(self, most: int) -> list[int]:
        """How wide each column is where none is wider than that but for a single word."""
        pairs = zip(self._longest, self._longest_word, strict=True)
        return [min(longest, max(most, word)) for longest, word in pairs]

    def wide(self, most: int) -> int:
        """How wide all of it is with such columns."""
        return len(EDGE) + sum(self._columns(most)) + len(GAP) * (len(self.heads) - 1)

    def lined_up(self, most: int) -> list[str]:
        """Heads, a line of dashes, and the rows; a cell wider than its column goes on below."""
        columns = self._columns(most)

        def row(told: Sequence[str]) -> Iterator[str]:
            folded = [list(broken(cell, wide, 0)) for cell, wide in zip(told, columns, strict=True)]
            for line in zip_longest(*folded, fillvalue=""):
                padded = (cell + " " * (wide - cells(cell)) for cell, wide in zip(line, columns, strict=True))
                yield (EDGE + GAP.join(padded)).rstrip()

        rule = EDGE + GAP.join("-" * wide for wide in columns)
        return [*row(self.heads), rule, *(line for told in self.rows for line in row(told))]

    def in_blocks(self, wide: int) -> list[str]:
        """Row by row: a heading and what belongs to it."""
        return [line for row in self.rows for line in self._block(row, wide)]

    def _block(self, row: Sequence[str], wide: int) -> Iterator[str]:
        """One row: its first cell, then the others with their heads, as many on a line as go there."""
        inside = EDGE + GAP
        first = f"{self.heads[0]} {row[0]}" if row[0][:1].isdigit() else row[0]
        yield from broken(EDGE + first, wide, len(inside))
        line = ""
        for head, cell in zip(self.heads[1:], row[1:], strict=True):
            if not cell:
                continue
            told = f"{head}: {cell}" if head else cell
            if line and cells(line) + cells(APART + told) <= wide:
                line += APART + told
            else:
                yield from broken(line, wide, len(inside + GAP)) if line else ()
                line = inside + told
        yield from broken(line, wide, len(inside + GAP)) if line else ()
