"""How wide a text is, in the cells of a terminal: a letter of Chinese takes two, a mark set over another none."""

from __future__ import annotations

import re
from collections.abc import Iterator


def cells(text: str) -> int:
    r"""How many cells of a terminal a text takes.

    >>> cells("coil"), cells("\u5f39\u7c27"), cells("e\u0301")
    (4, 4, 1)
    """
    from rich.cells import cell_len  # not at the top: help needs no tables

    return cell_len(text)


def beginning(text: str, most: int) -> str:
    """As much of a text as goes into so many cells.

    >>> beginning("coil", 3)
    'coi'
    """
    return next((text[:i] for i in range(min(len(text), most), 0, -1) if cells(text[:i]) <= most), "")


def broken(line: str, wide: int, hang: int) -> Iterator[str]:
    """One line as several, broken between words after its first ``hang`` letters; the further ones begin so far in.

    None is wider than that but for a single word.

    >>> list(broken("- caliper on bared metal", 16, 2))
    ['- caliper on', '  bared metal']
    """
    told = line[:hang]
    for word in re.findall(r" *[^ ]+", line[hang:]):
        if told[hang:].strip() and cells(told) + cells(word) > wide:
            yield told
            told = " " * hang + word.lstrip(" ")
        else:
            told += word
    yield told
