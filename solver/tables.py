"""Plain tables that line up on a terminal, in a file and in a pipe alike."""

from __future__ import annotations

from collections.abc import Sequence

MOST_WIDE = 60


def _clip(text: str) -> str:
    flat = " ".join(text.split())
    return flat if len(flat) <= MOST_WIDE else flat[: MOST_WIDE - 3] + "..."


def table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> list[str]:
    """Lines of a table; columns that are empty throughout are left out."""
    from rich.cells import cell_len

    if not rows:
        return ["  (none)"]
    cells = [[_clip(c) for c in row] for row in rows]
    used = [i for i in range(len(heads)) if any(row[i] for row in cells)]
    wide = [max(cell_len(heads[i]), *(cell_len(row[i]) for row in cells)) for i in used]

    def line(row: Sequence[str]) -> str:
        padded = (row[i] + " " * (w - cell_len(row[i])) for i, w in zip(used, wide, strict=True))
        return ("  " + "  ".join(padded)).rstrip()

    return [line(heads), line([("-" * w) for w in _spread(wide, used, len(heads))]), *(line(row) for row in cells)]


def _spread(wide: Sequence[int], used: Sequence[int], count: int) -> list[int]:
    """Column widths back at the places of all columns."""
    found = [0] * count
    for i, w in zip(used, wide, strict=True):
        found[i] = w
    return found
