"""A text made to fit a screen: long lines broken between words, tables too wide for it told in blocks."""

from __future__ import annotations

import re
from collections.abc import Iterator

from .tables import in_blocks
from .widths import broken, cells

# What a line begins with that its continuation hangs by.
_MARKED = re.compile(r" *(?:[-!*+] |\[ \] |\d+\.? )?")


def fitted(text: str, wide: int) -> str:
    """The text for a screen of so many columns: long lines are broken between words and hang by what they begin with.

    A word longer than the screen stays whole.

    >>> print(fitted("  - caliper on bared metal", 18))
      - caliper on
        bared metal
    """
    return "\n".join(part for line in in_blocks(text.split("\n"), wide) for part in _folded(line, wide))


def _folded(line: str, wide: int) -> Iterator[str]:
    begin = _MARKED.match(line)
    hang = 0 if begin is None else begin.end()
    if cells(line) <= wide or hang > wide // 2:
        yield line
    else:
        yield from broken(line, wide, hang)
