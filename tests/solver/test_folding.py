"""A text on a small screen: whole words, none lost, tables row by row."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.folding import fitted
from solver.tables import Table


@pytest.mark.parametrize("wide", [30, 40, 60, 100])
def test_a_small_screen_gets_whole_words_and_loses_none(wide: int) -> None:
    text = (
        "To the broken paths: fits; 3 parts off 2 of 25 cars here (B4, C2); 426 to 624 in all and 14.8 h\n\n"
        "- The car stands safely: nothing is taken from one that only leans, or stands on a jack\n"
        "  [ ] Lindel long soft coils for the front coil, both from this car: 30 to 45\n"
    )
    lines = fitted([text], wide).split("\n")
    assert all(len(line) <= wide for line in lines)
    assert " ".join(fitted([text], wide).split()) == " ".join(text.split())
    assert fitted([text], 200) == fitted([text]) == text
    if wide == 60:
        assert lines[3:5] == [
            "- The car stands safely: nothing is taken from one that only",
            "  leans, or stands on a jack",
        ]


def test_a_table_comes_row_by_row_where_it_does_not_fit() -> None:
    """What is told between two tables, and a table that fits, stay as they are."""
    wide = Table(
        ["position", "part", "donor", "price", ""],
        [
            ["rear_block", "Blocks 40 mm", "", "30 to 40", "new"],
            ["tyre", "225/75R15 102S of the tow pack with its wheel", "bought new", "180 to 260", "new"],
        ],
    )
    small = Table(["#", "score"], [["1", "846"], ["2", "850"]])
    text = ["Build 1", "", wide, "  ! tyre: it says so here", "", small]
    assert fitted(text, max(map(len, wide.lines()))) == fitted(text)
    assert fitted(text, 40).split("\n") == [
        "Build 1",
        "",
        "  rear_block",
        "    part: Blocks 40 mm   price: 30 to 40",
        "    new",
        "  tyre",
        "    part: 225/75R15 102S of the tow pack",
        "      with its wheel",
        "    donor: bought new",
        "    price: 180 to 260   new",
        "  ! tyre: it says so here",
        "",
        *small.lines(),
    ]


def test_a_row_known_by_a_number_says_what_number_that_is() -> None:
    lines = fitted([Table(["line", "part"], [["12", "a longer word " * 3]])], 27).split("\n")
    assert lines == ["  line 12", "    part: a longer word a", "      longer word a longer", "      word"]


def test_a_number_keeps_its_unit() -> None:
    text = "Track bar: 75 N m, 20 mm lower, 12 km/h and 7 of 8; 5 x 125"
    for wide in range(12, 60):
        lines = fitted([text], wide).split("\n")
        assert " ".join(" ".join(lines).split()) == text and max(map(len, lines)) <= wide
        assert all(any(pair in line for line in lines) for pair in ("75 N m,", "20 mm", "12 km/h", "7 of", "5 x"))


@given(st.lists(st.lists(st.text("abc,.-", min_size=1, max_size=12), max_size=14), max_size=6), st.integers(20, 80))
def test_breaking_loses_nothing(lines: list[list[str]], columns: int) -> None:
    text = "\n".join(" ".join(words) for words in lines)
    out = fitted([text], columns)
    assert out.split() == text.split()
    assert all(len(line) <= columns or len(line.split()) == 1 for line in out.split("\n"))
