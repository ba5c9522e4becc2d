"""How wide a text is, in the cells of a terminal: a letter of Chinese takes two, a mark set over another none."""

from __future__ import annotations

import re
from collections.abc import Iterator

_WORD = re.compile(r" *(?:[^ ]*\d (?:N m[^ \w]?|[^ \d]{1,4})(?= |$)|[^ ]+)")
_GROUPED = re.compile(r" *\d{1,3}(?:,\d{3})+\D*")


def cells(text: str) -> int:
    r"""How many cells of a terminal a text takes.

    >>> cells("coil"), cells("\u5f39\u7c27"), cells("e\u0301")
    (4, 4, 1)
    """
    from rich.cells import cell_len  # not at the top: help needs no tables

    return cell_len(text)


def broken(line: str, wide: int, hang: int) -> Iterator[str]:
    """One line as several, broken between words after its first ``hang`` letters; the further ones begin so far in.

    None is wider than that but for a single word.  A number keeps its unit, or another short word after it; one longer
    than a line goes on after a comma of its own.

    >>> list(broken("- caliper on bared metal", 16, 2))
    ['- caliper on', '  bared metal']
    >>> list(broken("of 43,200,792,902 builds", 11, 0))
    ['of 43,200,', '792,902', 'builds']
    >>> list(broken("Front stops 20 mm lower", 15, 0))
    ['Front stops', '20 mm lower']
    """
    told = line[:hang]
    for word in _words(line[hang:], wide - hang):
        if told[hang:].strip() and cells(told) + cells(word) > wide:
            yield told
            told = " " * hang + word.lstrip(" ")
        else:
            told += word
    yield told


def _words(text: str, room: int) -> Iterator[str]:
    """Words with the spaces before them, numbers with their units; what has no room in a line in smaller pieces."""
    for word in _WORD.findall(text):
        if cells(word.lstrip(" ")) <= room:
            yield word
        else:
            yield from re.findall(r"[^,]+,?" if _GROUPED.fullmatch(word) else r" *[^ ]+", word)
