"""What people write of a car: its years, its options, where it stands."""

from __future__ import annotations

import pytest

from knowledge.yard.car import options_of, walking_key, years_of


@pytest.mark.parametrize(
    ("text", "years"),
    [
        ("1997", (1997, 1997)),
        ("97", (1997, 1997)),
        ("'97", (1997, 1997)),
        ("05", (2005, 2005)),
        ("MY1998", (1998, 1998)),
        ("1996-1998", (1996, 1998)),
        ("1996/97", (1996, 1997)),
        ("98 to 02", (1998, 2002)),
        ("199?", (1990, 1999)),
        ("199x", (1990, 1999)),
        ("90s", (1990, 1999)),
        ("1997.0", (1997, 1997)),
    ],
)
def test_years_as_people_write_them(text: str, years: tuple[int, int]) -> None:
    assert years_of(text) == (years, "")


def test_options_as_people_separate_them() -> None:
    assert options_of("tow pack; limited slip + alloy and sunroof") == ("tow pack", "limited slip", "alloy", "sunroof")
    assert options_of("None") == ()


def test_rows_are_walked_in_the_order_of_their_numbers() -> None:
    rows = ["", "B1", "A10", "a2", "A2b", "12", "2", "A2"]
    assert sorted(rows, key=walking_key) == ["2", "12", "a2", "A2", "A2b", "A10", "B1", ""]
