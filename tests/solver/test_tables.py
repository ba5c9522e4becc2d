"""Tables line up whatever the script, and lose nothing however little room there is."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.tables import LEAST_WIDE, MOST_WIDE, Table

# Letters of one cell and of two, a mark that takes none, what looks like the table itself, and what is unseen.
LETTERS = "ab-. \u00e9\u0301\u5f39\uac01\u202e"
words = st.lists(st.text(LETTERS, max_size=90).map(lambda t: "x" + t), min_size=3, max_size=3)
HEADS = ["one", "two", "three"]


def cells(text: str) -> int:
    """By the Unicode database: wide and fullwidth letters take two cells, marks set over another letter none."""
    return sum(0 if unicodedata.combining(c) else 2 if unicodedata.east_asian_width(c) in "WF" else 1 for c in text)


def clean(text: str) -> str:
    """A cell as it is told: in one line, and what would not be seen written out."""
    return " ".join(text.replace("\u202e", r"\u202e").split())


@given(st.lists(words, min_size=1, max_size=5))
def test_columns_begin_at_the_same_cell_in_every_row(rows: list[list[str]]) -> None:
    marked = [[row[0].replace(" ", "-"), row[1].replace(" ", "-"), "|"] for row in rows]
    lines = Table(["one", "two", "|"], marked).lines()
    assert len({cells(line[: line.rindex("|")]) for line in (lines[0], *lines[2:])}) == 1


def test_the_unseen_takes_the_room_it_is_written_in() -> None:
    lines = Table(["part", "price"], [["a\u200bb", "30"], ["plain", "40"]]).lines()
    assert lines[2:] == [r"  a\u200bb  30", "  plain     40"]


def test_a_long_cell_goes_on_below_in_its_column() -> None:
    """None of it is cut, and a column of names is as wide as the longest of its lines may be."""
    long = "Marram front stops; Lindel long soft coils; Blocks 40 mm; Rear stops 20 mm lower; 225/75R15 102S"
    assert Table(["#", "what is new", "score"], [["1", long, "846"], ["2", "Blocks 40 mm", "850"]]).lines() == [
        "  #  what is new" + " " * (MOST_WIDE - 11) + "  score",
        "  -  " + "-" * MOST_WIDE + "  -----",
        "  1  Marram front stops; Lindel long soft coils; Blocks 40 mm;" + " " * 3 + "  846",
        "     Rear stops 20 mm lower; 225/75R15 102S",
        "  2  Blocks 40 mm" + " " * (MOST_WIDE - 12) + "  850",
    ]


def test_columns_are_narrowed_before_a_table_is_told_in_blocks() -> None:
    table = Table(["part", "donor"], [["New U-bolts for the tube", "Tessaly Lindel 1988-1996 2.6"]])
    assert table.lines(60) == table.lines()
    assert table.lines(2 * LEAST_WIDE + 4) == [
        "  part                  donor",
        "  --------------------  --------------------",
        "  New U-bolts for the   Tessaly Lindel",
        "  tube                  1988-1996 2.6",
    ]
    assert table.lines(2 * LEAST_WIDE + 3) == [
        "  New U-bolts for the tube",
        "    donor: Tessaly Lindel 1988-1996 2.6",
    ]


def test_what_can_be_told_shorter_is_where_it_does_not_fit() -> None:
    table = Table(["rule", "count"], [["a", "1,000,000"]], Table(["rule", "count"], [["a", "10^6"]]))
    assert table.lines() == table.lines(17) and "1,000,000" in table.lines()[2]
    assert table.lines(16)[2] == "  a     10^6"


def test_a_number_longer_than_a_line_goes_on_after_a_comma() -> None:
    assert Table(["rule", "count"], [["arch", "43,200,792,902,612,860,010"]]).lines(24) == [
        "  arch",
        "    count: 43,200,792,",
        "      902,612,860,010",
    ]


@pytest.mark.parametrize("wide", [None, 20, 40, 60, 100])
@given(rows=st.lists(words, min_size=1, max_size=5))
def test_every_cell_is_told_whole(wide: int | None, rows: list[list[str]]) -> None:
    """The words of a cell stand in their column, or after their head, in the order they were given in."""
    lines = Table(HEADS, rows).lines(wide)
    if not lines[0].startswith("  one"):
        told = [w for line in lines for w in line.split() if w not in ("two:", "three:")]
        assert told == [w for row in rows for cell in row for w in clean(cell).split()]
    else:
        starts = [i for i, c in enumerate(lines[1]) if c == "-" and lines[1][i - 1] == " "]
        for column, (a, b) in enumerate(zip(starts, [*starts[1:], None], strict=True)):
            told = [w for line in lines[2:] for w in _between(line, a, b).split()]
            assert told == [w for row in rows for w in clean(row[column]).split()]
    longest = max(cells(w) for row in rows for cell in row for w in clean(cell).split())
    assert wide is None or longest > LEAST_WIDE // 2 or max(map(cells, lines)) <= wide


def _between(line: str, a: int, b: int | None) -> str:
    """What stands in these cells of a line."""
    found, at = "", 0
    for c in line:
        found += c if a <= at and (b is None or at < b) else ""
        at += cells(c)
    return found
