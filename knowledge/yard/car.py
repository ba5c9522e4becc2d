"""One car standing in a yard, out of the words somebody typed about it.

A field that says nothing (empty, ``?``, ``unknown``, ``-``) is not told, which is not the same as *no*: whether such a
car carries a part has to be looked at.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass

from shared.faults import Fault

from ..files.documents import Faults

FIELDS = ("make", "model", "year", "engine", "trim", "options", "row", "notes")
MOST_CELL = 2_000
FIRST_YEAR, LAST_YEAR = 1900, 2099

_NOT_TOLD = {"", "?", "??", "???", "-", "--", "n/a", "na", "unknown", "not known", "unk"}
_NONE = {"none", "no", "no options", "standard", "nothing"}


@dataclass(frozen=True)
class YardCar:
    """A car in the yard.  An empty text, or ``None`` for ``years`` and ``options``, means *not told*.

    ``years`` are the first and last year it can be of; ``options`` is empty where the list says there are none.
    ``line`` is where it stands in the list, ``row`` where in the yard.
    """

    line: int
    make: str = ""
    model: str = ""
    years: tuple[int, int] | None = None
    engine: str = ""
    trim: str = ""
    options: tuple[str, ...] | None = None
    row: str = ""
    notes: str = ""

    @property
    def name(self) -> str:
        """What the list says of it, in the list's own words."""
        years = ""
        if self.years is not None:
            first, last = self.years
            years = str(first) if first == last else f"{first}-{last}"
        told = [x for x in (self.make, self.model, years, self.engine, self.trim) if x]
        return " ".join(told) if self.make or self.model else " ".join(("a car without make and model", *told))


def walking_key(row: str) -> tuple[object, ...]:
    """Orders rows as one walks them: A2 before A10, cars without a row last."""
    pieces = re.findall(r"\d+|\D+", row.strip().lower())
    return (not pieces, tuple((0, int(p), "") if p.isdigit() else (1, 0, p.strip()) for p in pieces))


def clean(text: str) -> str:
    """One line of text without control and direction marks, which could steer a terminal or hide what is written."""
    return " ".join("".join(" " if unicodedata.category(c) in ("Cc", "Cf", "Zl", "Zp") else c for c in text).split())


def short(text: str) -> str:
    """As much of what was typed as a fault can quote."""
    flat = clean(text)
    return flat if len(flat) <= 80 else flat[:77] + "..."


def car_of(line: int, cells: Mapping[str, str], name: str, faults: Faults) -> YardCar:
    """The car that a line of the list ``name`` tells of, by its cells under the names of their columns.

    Under names other than :data:`FIELDS` they are kept in the notes.
    """
    told: dict[str, str] = {}
    more: list[str] = []
    for column, raw in cells.items():
        text = clean(raw)
        if len(text) > MOST_CELL:
            found = f"{len(text):,} characters under {column!r}"
            faults.found.append(Fault(name, line, "too-big", found, f"at most {MOST_CELL:,}"))
        if text.lower() in _NOT_TOLD:
            continue
        if column in FIELDS:
            told[column] = text
        else:
            more.append(f"{column}: {text}" if column else text)
    years = None
    if "year" in told:
        years, trouble = years_of(told["year"])
        if trouble:
            faults.found.append(
                Fault(
                    name,
                    line,
                    "bad-years",
                    repr(short(told["year"])),
                    "a year as 1997, 97, 1996-1998 or 199?",
                    trouble,
                )
            )
    return YardCar(
        line,
        told.get("make", ""),
        told.get("model", ""),
        years,
        told.get("engine", ""),
        told.get("trim", ""),
        options_of(told["options"]) if "options" in told else None,
        told.get("row", ""),
        "; ".join([*([told["notes"]] if "notes" in told else []), *more]),
    )


_YEAR = r"'?(\d{4}|\d{2})"
_SPAN = re.compile(rf"{_YEAR}\s*(?:-|–|/|to|or)\s*{_YEAR}\Z")
_ONE = re.compile(rf"(?:my\s*)?{_YEAR}(\.0)?\Z")
_DECADE = re.compile(r"(\d{3})[x?*_]\Z|'?(\d)[x?*_]\Z|(\d{3})0s\Z|'?(\d)0s\Z")


def years_of(text: str) -> tuple[tuple[int, int] | None, str]:
    """The first and last year a text can mean, and a mend where it means none.

    Two digits are 1930 to 2029 (common practice, no source).

    >>> years_of("'97"), years_of("199?"), years_of("1996/97")
    (((1997, 1997), ''), ((1990, 1999), ''), ((1996, 1997), ''))
    """
    flat = clean(text).lower().strip(" .")
    if match := _DECADE.match(flat):
        tens = match[1] or match[3] or match[2] or match[4]
        first = _full(tens + "0")
        years = (first, first + 9)
    elif match := _SPAN.match(flat):
        years = (_full(match[1]), _full(match[2]))
    elif match := _ONE.match(flat):
        years = (_full(match[1]), _full(match[1]))
    else:
        return None, "leave it empty if the year is not known; put the rest under notes"
    if years[1] < years[0]:
        return None, f"{years[1]}-{years[0]}"
    if years[0] < FIRST_YEAR or years[1] > LAST_YEAR:
        return None, f"a year from {FIRST_YEAR} to {LAST_YEAR}"
    return years, ""


def _full(digits: str) -> int:
    year = int(digits)
    return year if len(digits) == 4 else year + (2000 if year < 30 else 1900)


def options_of(text: str) -> tuple[str, ...]:
    """The options a text names, separated by comma, semicolon, slash, plus or ``and``; none where it says so."""
    found = [clean(x) for x in re.split(r"[,;/+|]|\band\b", text)]
    if len(found) == 1 and found[0].lower() in _NONE:
        return ()
    return tuple(dict.fromkeys(x for x in found if x and x.lower() not in _NOT_TOLD))
