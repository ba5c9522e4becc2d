"""The list of cars standing in a yard today, as somebody typed it: CSV or YAML, messy case, gaps and all.

A field that says nothing (empty, ``?``, ``unknown``, ``-``) is not told, which is not the same as *no*: whether such a
car carries a part has to be looked at.  Columns this place does not know are kept in the notes, so nothing that was
typed is lost; columns that look like a misspelling of a known one are faults, for their content would be overlooked.
Every fault of a list is collected before anything is raised.

CSV is read as RFC 4180 describes it, with a comma, semicolon or tab between the cells, whichever the header uses.
"""

from __future__ import annotations

import csv
import re
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from io import StringIO
from pathlib import Path
from typing import Any

from shared.faults import BadInput, Fault

from .documents import Document, Faults, check_format, parse, read_text

FORMAT = "swapwright cars"
FIELDS = ("make", "model", "year", "engine", "trim", "options", "row", "notes")
MOST_CARS = 5_000
MOST_CELL = 2_000
FIRST_YEAR, LAST_YEAR = 1900, 2099

_HEADERS = {
    "make": ("make", "maker", "brand", "manufacturer"),
    "model": ("model", "type"),
    "year": ("year", "yr", "years", "modelyear", "my"),
    "engine": ("engine", "motor", "enginesize", "displacement", "eng"),
    "trim": ("trim", "trimlevel", "grade", "version"),
    "options": ("options", "option", "opts", "extras", "equipment"),
    "row": ("row", "rowspace", "place", "space", "bay", "spot", "location"),
    "notes": ("notes", "note", "remarks", "remark", "comments", "comment"),
}
_COLUMN = {word: name for name, words in _HEADERS.items() for word in words}
_NOT_TOLD = {"", "?", "??", "???", "-", "--", "n/a", "na", "unknown", "not known", "unk"}
_NONE = {"none", "no", "no options", "standard", "nothing"}
_SEPARATORS = (",", ";", "\t")


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


def read_cars(file: Path) -> tuple[YardCar, ...]:
    """The cars of a list, in the order in which they are written.

    ``.yaml`` and ``.yml`` files are ``swapwright cars`` documents, anything else is CSV.  At most
    :data:`MOST_CARS` cars.  Raises :class:`BadInput` with every fault found.
    """
    faults = Faults()
    name = file.name
    text = _text(file, name, faults)
    rows: list[tuple[int, dict[str, str]]] = []
    if text is not None:
        if file.suffix.lower() in (".yaml", ".yml"):
            rows = list(_yaml_rows(text, name, file, faults))
        else:
            rows = list(_csv_rows(text, name, faults))
        if not rows and not faults.found:
            faults.found.append(
                Fault(name, 0, "missing-key", "no car at all", "one line for each car that stands there")
            )
    if len(rows) > MOST_CARS:
        faults.found.append(
            Fault(name, 0, "too-big", f"{len(rows):,} cars", f"at most {MOST_CARS:,}", "leave out what cannot serve")
        )
        rows = []
    cars = [_car(line, cells, name, faults) for line, cells in rows]
    if faults.found:
        raise BadInput(faults.found)
    return tuple(cars)


def _text(file: Path, name: str, faults: Faults) -> str | None:
    text = read_text(file, name, faults)
    if text is None:
        return None
    if "\0" in text:
        line = text[: text.index("\0")].count("\n") + 1
        faults.found.append(
            Fault(name, line, "not-utf8", "a NUL byte", "plain text", "save the list as UTF-8 text, not as a workbook")
        )
        return None
    return text


def clean(text: str) -> str:
    """One line of text without control and direction marks, which could steer a terminal or hide what is written."""
    return " ".join("".join(" " if unicodedata.category(c) in ("Cc", "Cf", "Zl", "Zp") else c for c in text).split())


# -- CSV


def _csv_rows(text: str, name: str, faults: Faults) -> Iterator[tuple[int, dict[str, str]]]:
    """Each line with its cells by column; faults of the header end it, faults of a line do not."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    separator = max(_SEPARATORS, key=lambda s: (sum(_column(c) is not None for c in first.split(s)), s == ","))
    columns: list[str] | None = None
    for start, cells, problem in _records(text, separator):
        if problem:
            mend = "close the quote, and write a quote inside a text as two"
            faults.found.append(Fault(name, start, "not-csv", problem, "cells as RFC 4180 has them", mend))
            return
        if not any(c.strip() for c in cells):
            continue
        if columns is None:
            columns = _columns(cells, name, start, faults)
            if columns is None:
                return
        elif len(cells) > len(columns) and any(c.strip() for c in cells[len(columns) :]):
            faults.found.append(
                Fault(
                    name,
                    start,
                    "not-csv",
                    f"{len(cells)} cells: {_short(' | '.join(cells))}",
                    f"at most {len(columns)}, as in the first line",
                    f"put a text that holds {_SEPARATOR_WORDS[separator]} in double quotes",
                )
            )
        else:
            yield start, dict(zip(columns, cells, strict=False))


_SEPARATOR_WORDS = {",": "a comma", ";": "a semicolon", "\t": "a tab"}


def _records(text: str, separator: str) -> Iterator[tuple[int, list[str], str]]:
    """Each record with the line it starts in, and what is wrong with it."""
    reader = csv.reader(StringIO(text, newline=""), delimiter=separator, strict=True)
    start = 1
    while True:
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            words = str(error)
            if "end of data" in words:
                words = "a quote that opens here and never closes"
            elif "limit" in words:
                words = "a cell without end: a quote may be open"
            yield start, [], words
            return
        yield start, cells, ""
        start = reader.line_num + 1


def _column(text: str) -> str | None:
    return _COLUMN.get(re.sub(r"[\W_]", "", text.lower()))


def _columns(cells: list[str], name: str, line: int, faults: Faults) -> list[str] | None:
    """The names of the columns: ours where known, the list's own where not; ``None`` and faults if it is no header."""
    expected = f"a first line that names the columns: {','.join(FIELDS)}"
    found = [_column(c) or clean(c) for c in cells]
    if not any(c in FIELDS for c in found):
        mend = "write the names of the columns above the first car"
        faults.found.append(Fault(name, line, "missing-key", _short(",".join(cells)), expected, mend))
        return None
    before = len(faults.found)
    for needed in ("make", "model"):
        if needed not in found:
            faults.found.append(Fault(name, line, "missing-key", f"no column {needed!r}", expected))
    for i, column in enumerate(found):
        if column in FIELDS:
            if column in found[:i]:
                what = f"the column {column!r} a second time ({_short(cells[i])!r})"
                faults.found.append(Fault(name, line, "duplicate-key", what, "each column once"))
        elif close := get_close_matches(column.lower(), [c for c in FIELDS if c not in found], 1, 0.7):
            faults.found.append(
                Fault(
                    name,
                    line,
                    "unknown-key",
                    f"the column {_short(column)!r}",
                    "a column",
                    f"did you mean {close[0]!r}?",
                )
            )
    return found if len(faults.found) == before else None


def _short(text: str) -> str:
    flat = clean(text)
    return flat if len(flat) <= 80 else flat[:77] + "..."


# -- YAML


def _yaml_rows(text: str, name: str, file: Path, faults: Faults) -> Iterator[tuple[int, dict[str, str]]]:
    document = parse(text, name, file, faults)
    if document is None or not check_format(document, FORMAT, faults):
        return
    for key in document.tree:
        if key not in ("format", "version", "about", "cars"):
            close = "".join(get_close_matches(key, ("about", "cars"), 1, 0.6))
            mend = f"did you mean {close!r}?" if close else ""
            faults.add(document, (key,), "unknown-key", f"the key {key!r}", "format, version, about, cars", mend)
    cars = document.tree.get("cars")
    if not isinstance(cars, list):
        faults.add(document, ("cars",), "shape", "no list under 'cars'", "a list of cars")
        return
    for i, tree in enumerate(cars):
        cells = _yaml_cells(tree, document, i, faults)
        if cells is not None:
            yield document.line(("cars", i)), cells


def _yaml_cells(tree: Any, document: Document, i: int, faults: Faults) -> dict[str, str] | None:
    if not isinstance(tree, Mapping):
        faults.add(document, ("cars", i), "shape", "no mapping", "keys and values: make, model, ...")
        return None
    cells = {}
    for key, value in tree.items():
        column = _column(str(key))
        if isinstance(value, list) and column == "options" and all(isinstance(v, str) for v in value):
            value = "; ".join(value) if value else "none"
        if not isinstance(value, str):
            faults.add(document, ("cars", i, key), "shape", "a list or mapping", "one text")
        elif column is None and (close := get_close_matches(str(key).lower(), FIELDS, 1, 0.7)):
            mend = f"did you mean {close[0]!r}?"
            faults.add(document, ("cars", i, key), "unknown-key", f"the key {key!r}", "a key of a car", mend)
        else:
            cells[column or clean(str(key))] = value
    return cells


# -- what the cells say


def _car(line: int, cells: Mapping[str, str], name: str, faults: Faults) -> YardCar:
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
                    repr(_short(told["year"])),
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
