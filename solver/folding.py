"""A text made to fit where it goes: long lines broken between words, tables drawn for the room there is."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from .tables import Table
from .unseen import visible
from .widths import broken, cells

# What a text is made of: lines, and tables that are drawn when it is known how much room there is.
Line = str | Table

# What a line begins with that its continuation hangs by.
_MARKED = re.compile(r" *(?:[-!*+] |\[ \] |\d+\. )?")


def fitted(lines: Iterable[Line], wide: int | None = None) -> str:
    """The text for a screen of so many columns: long lines are broken between words and hang by what they begin with.

    Without a screen lines stay whole.  A word longer than the screen stays whole too.

    >>> print(fitted(["  - caliper on bared metal"], 18))
      - caliper on
        bared metal
    """
    return "\n".join(part for line in lines for part in _parts(line, wide))


def _parts(line: Line, wide: int | None) -> Iterator[str]:
    if isinstance(line, Table):
        yield from line.lines(wide)
    elif wide is None:
        yield line
    else:
        for one in visible(line).split("\n"):
            yield from _folded(one, wide)


def _folded(line: str, wide: int) -> Iterator[str]:
    begin = _MARKED.match(line)
    hang = 0 if begin is None else begin.end()
    if cells(line) <= wide or hang > wide // 2:
        yield line
    else:
        yield from broken(line, wide, hang)
