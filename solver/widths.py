"""How wide a text is, in the cells of a terminal: a letter of Chinese takes two, a mark set over another none."""

from __future__ import annotations

import re
from collections.abc import Iterator

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

    None is wider than that but for a single word.  A number longer than a line goes on after a comma of its own.

    >>> list(broken("- caliper on bared metal", 16, 2))
    ['- caliper on', '  bared metal']
    >>> list(broken("of 43,200,792,902 builds", 11, 0))
    ['of', '43,200,792,', '902 builds']
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
    """Words with the spaces before them, and numbers that have no room in a line by their groups of digits."""
    for word in re.findall(r" *[^ ]+", text):
        number = _GROUPED.fullmatch(word) if cells(word.lstrip(" ")) > room else None
        if number is None:
            yield word
        else:
            yield from re.findall(r"[^,]+,?", word)
