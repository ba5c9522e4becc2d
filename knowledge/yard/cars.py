"""The list of cars standing in a yard today, as somebody typed it: CSV or YAML, messy case, gaps and all.

Columns this place does not know are kept in the notes, so nothing that was typed is lost; columns that look like a
misspelling of a known one are faults, for their content would be overlooked.  Every fault of a list is collected
before anything is raised.  What the cells of a line say is read in :mod:`knowledge.yard.car`.

CSV is read as RFC 4180 describes it, with a comma, semicolon or tab between the cells, whichever the header uses.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Mapping
from difflib import get_close_matches
from io import StringIO
from pathlib import Path
from typing import Any

from shared.faults import BadInput, Fault

from ..files.documents import Document, Faults, parse, read_text
from ..files.formats import check_format
from .car import FIELDS, YardCar, car_of, clean, short

FORMAT = "swapwright cars"
MOST_CARS = 5_000

# A column that holds make and model both: what is in it is told apart where the car is matched.
_BOTH = ("makemodel", "makeandmodel")
_HEADERS = {
    "make": ("make", "maker", "brand", "manufacturer", *_BOTH),
    "model": ("model", "type"),
    "year": ("year", "yr", "years", "modelyear", "my"),
    "engine": ("engine", "motor", "enginesize", "displacement", "eng"),
    "trim": ("trim", "trimlevel", "grade", "version"),
    "options": ("options", "option", "opts", "extras", "equipment"),
    "row": ("row", "rowspace", "place", "space", "bay", "spot", "location", "where", "lane"),
    "notes": ("notes", "note", "remarks", "remark", "comments", "comment"),
}
_COLUMN = {word: name for name, words in _HEADERS.items() for word in words}
_SEPARATORS = (",", ";", "\t")


def read_cars(file: Path) -> tuple[YardCar, ...]:
    """The cars of a list, in the order in which they are written.

    ``.yaml`` and ``.yml`` files are ``swapwright cars`` documents, anything else is CSV.  At most
    :data:`MOST_CARS` cars.  Raises :class:`BadInput` with every fault found.
    """
    faults = Faults()
    name = str(file)
    text = _text(file, faults)
    rows: list[tuple[int, dict[str, str]]] = []
    if text is not None:
        if file.suffix.lower() in (".yaml", ".yml"):
            rows = list(_yaml_rows(text, file, faults))
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
    cars = [car_of(line, cells, name, faults) for line, cells in rows]
    if faults.found:
        raise BadInput(faults.found)
    return tuple(cars)


def names_cars(text: str) -> bool:
    """Whether a text begins as a list of cars in CSV does: its first line names the make and the model.

    >>> names_cars("Make;Model;Jahr"), names_cars("Make/Model,Year"), names_cars("what,name,price low")
    (True, True, False)
    """
    first, separator = _header(text)
    cells = first.split(separator)
    return {"make", "model"} <= {_column(c) for c in cells} or any(_plain(c) in _BOTH for c in cells)


def _text(file: Path, faults: Faults) -> str | None:
    text = read_text(file, faults)
    if text is None:
        return None
    if "\0" in text:
        line = text[: text.index("\0")].count("\n") + 1
        faults.found.append(
            Fault(str(file), line, "not-utf8", "a NUL byte", "plain text", "save it as UTF-8 text, not as a workbook")
        )
        return None
    return text


# -- CSV


def _csv_rows(text: str, name: str, faults: Faults) -> Iterator[tuple[int, dict[str, str]]]:
    """Each line with its cells by column; faults of the header end it, faults of a line do not."""
    _, separator = _header(text)
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
                    f"{len(cells)} cells: {short(' | '.join(cells))}",
                    f"at most {len(columns)}, as in the first line",
                    f"put a text that holds {_SEPARATOR_WORDS[separator]} in double quotes",
                )
            )
        else:
            yield start, dict(zip(columns, cells, strict=False))


def _header(text: str) -> tuple[str, str]:
    """The first line that is not empty, and what most likely stands between its cells."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    return first, max(_SEPARATORS, key=lambda s: (sum(_column(c) is not None for c in first.split(s)), s == ","))


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


def _plain(text: str) -> str:
    return re.sub(r"[\W_]", "", text.lower())


def _column(text: str) -> str | None:
    return _COLUMN.get(_plain(text))


def _columns(cells: list[str], name: str, line: int, faults: Faults) -> list[str] | None:
    """The names of the columns: ours where known, the list's own where not; ``None`` and faults if it is no header."""
    expected = f"a first line that names the columns: {','.join(FIELDS)}"
    found = [_column(c) or clean(c) for c in cells]
    if not any(c in FIELDS for c in found):
        mend = "write the names of the columns above the first car"
        faults.found.append(Fault(name, line, "missing-key", short(",".join(cells)), expected, mend))
        return None
    before = len(faults.found)
    for needed in ("make", "model"):
        if needed not in found and not any(_plain(c) in _BOTH for c in cells):
            faults.found.append(Fault(name, line, "missing-key", f"no column {needed!r}", expected))
    for i, column in enumerate(found):
        if column in FIELDS:
            if column in found[:i]:
                what = f"the column {column!r} a second time ({short(cells[i])!r})"
                faults.found.append(Fault(name, line, "duplicate-key", what, "each column once"))
        elif close := get_close_matches(column.lower(), [c for c in FIELDS if c not in found], 1, 0.7):
            faults.found.append(
                Fault(
                    name,
                    line,
                    "unknown-key",
                    f"the column {short(column)!r}",
                    "a column",
                    f"did you mean {close[0]!r}?",
                )
            )
    return found if len(faults.found) == before else None


# -- YAML


def _yaml_rows(text: str, file: Path, faults: Faults) -> Iterator[tuple[int, dict[str, str]]]:
    document = parse(text, file.name, file, faults)
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
