"""Tables line up whatever the script, and lose nothing when they are told row by row."""

from __future__ import annotations

import unicodedata

from hypothesis import given
from hypothesis import strategies as st

from solver.tables import in_blocks, table

# Letters of one cell and of two, a mark that takes none, what looks like the table itself, and what is unseen.
LETTERS = "ab-. \u00e9\u0301\u5f39\uac01\u202e"
words = st.lists(st.text(LETTERS, max_size=24).map(lambda t: "x" + t), min_size=3, max_size=3)


def cells(text: str) -> int:
    """By the Unicode database: wide and fullwidth letters take two cells, marks set over another letter none."""
    return sum(0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in text)


@given(st.lists(words, min_size=1, max_size=5))
def test_columns_begin_at_the_same_cell_in_every_row(rows: list[list[str]]) -> None:
    marked = [[*row[:2], "|"] for row in rows]
    lines = table(["one", "two", "|"], marked)
    assert len({cells(line[: line.rindex("|")]) for line in (lines[0], *lines[2:])}) == 1
    assert all(cells(line) <= 2 + 60 + 2 + 60 + 2 + 1 for line in lines)


def test_the_unseen_takes_the_room_it_is_written_in() -> None:
    lines = table(["part", "price"], [["a\u200bb", "30"], ["plain", "40"]])
    assert lines[2:] == [r"  a\u200bb  30", "  plain     40"]


@given(st.lists(words, min_size=1, max_size=5), st.integers(20, 60))
def test_row_by_row_every_cell_is_told_in_its_place(rows: list[list[str]], wide: int) -> None:
    lines = ["before", *table(["one", "two", "three"], rows), "", "after"]
    assert in_blocks(lines, max(map(cells, lines))) == lines
    told = in_blocks(lines, wide)
    if max(map(cells, lines)) > wide:
        shown = [line.split() for line in table(["one"], [[c] for row in rows for c in row])[2:]]
        heads = ["one:", "two:", "three:"]
        assert [w for line in told[1:-2] for w in line.split() if w not in heads] == [w for c in shown for w in c]
    else:
        assert told == lines
    assert (told[0], told[-2:]) == ("before", ["", "after"])
