"""What somebody measured on certain pieces: the file beside the goal, one JSON line a record.

A record is a reading (of one attribute of one piece of one part), the withdrawal of an earlier line, or a piece put
aside.  Nothing is ever changed in the file: a correction is a further line that says which one it replaces.  The
text of a reading stays as it was read; the tool's tolerance stands beside it, as its own number.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from shared.evidence import Value
from shared.faults import Fault
from shared.layout import Layout
from shared.part import Part

from ..files.documents import MOST_BYTES, Document, Faults, Loc
from ..files.shape import nearest, shaped, unknown_name
from .journal import Line, append, lines
from .readable import VEHICLE, attributes_of
from .recorded import RecordShape, reading_value

FILE = "measurements.jsonl"
# Every record begins so; what begins so and has no end was being written when its writer was stopped.
OPENING = '{"measurement": '


@dataclass(frozen=True)
class Reading:
    """One reading in force; ``value`` is what was read, as wide as the tool's tolerance makes it."""

    line: int
    at: str
    part: str
    piece: str
    attribute: str
    value: Value
    how: str = ""
    tolerance: str = ""
    note: str = ""


@dataclass(frozen=True)
class Book:
    """The readings in force, in the order they were made.

    ``aside`` are the pieces that were left; ``records`` gives for every line in force, whatever it says, the part it
    is about; ``remarks`` is what is odd in the file without being wrong: lines never finished, and parts that are
    not in this catalogue.
    """

    readings: tuple[Reading, ...] = ()
    aside: tuple[tuple[str, str], ...] = ()
    records: Mapping[int, str] = field(default_factory=dict)
    remarks: tuple[Fault, ...] = ()


@dataclass
class _AtLine(Document):
    """A record as a document of one line, so that its faults are told like those of every other file."""

    number: int = field(default=0)

    def line(self, loc: Loc) -> int:
        """The number of the record's line, whatever in it is meant."""
        return self.number


def _tree(line: Line) -> Any:
    """What a line holds; ``None`` where it is no JSON."""
    try:
        return json.loads(line.data.decode("utf-8"))
    except (UnicodeDecodeError, json.JSONDecodeError, RecursionError):
        return None


def _was_torn(line: Line) -> bool:
    """Whether a line that is no JSON is what a stopped writer leaves, and not a record somebody spoiled by hand.

    It has no end, or it begins as a record does and does not close; after a power cut a file system may leave zeros
    where bytes were promised.
    """
    text = line.data.decode("utf-8", "replace")
    begun = OPENING.startswith(text[: len(OPENING)]) and not text.rstrip().endswith("}")
    return not line.ended or "\0" in text or begun or not text.strip()


def taken_back(trees: Mapping[int, Any]) -> set[int]:
    """The lines that a later record withdraws or replaces, unless it was itself taken back by one still later."""
    gone: set[int] = set()
    for number in sorted(trees, reverse=True):
        tree = trees[number]
        if number not in gone and isinstance(tree, dict):
            targets = [tree.get(key) for key in ("withdraws", "replaces")]
            gone.update(t for t in targets if type(t) is int and 0 < t < number)
    return gone


@dataclass
class _Reader:
    """Reads the records of one file in order, for one car and catalogue."""

    name: str
    path: Path
    layout: Layout
    parts: Mapping[str, Part]
    faults: Faults
    remarks: list[Fault] = field(default_factory=list)
    readings: dict[int, Reading] = field(default_factory=dict)
    aside: dict[tuple[str, str], None] = field(default_factory=dict)
    records: dict[int, str] = field(default_factory=dict)

    def book(self, found: list[Line]) -> Book:
        """Every record that was not taken back."""
        trees = {line.number: _tree(line) for line in found}
        gone = taken_back(trees)
        for line in found:
            if line.number not in gone:
                before = len(self.faults.found)
                self.line(line, trees[line.number])
                self._mendable(before, line.number)
        return Book(tuple(self.readings.values()), tuple(self.aside), self.records, tuple(self.remarks))

    def _mendable(self, before: int, number: int) -> None:
        """Say of every fault of a record how to be rid of it."""
        back = f"take the line back: swapwright measure --withdraw {number}"
        for i, fault in enumerate(self.faults.found[before:], before):
            self.faults.found[i] = replace(fault, mend=f"{fault.mend}; or {back}" if fault.mend else back)

    def line(self, line: Line, tree: Any) -> None:
        """One record; faults and remarks are noted."""
        if tree is None and _was_torn(line):
            self._never_finished(line.number)
        elif not isinstance(tree, dict):
            code = "not-json" if tree is None else "shape"
            found = repr(line.data.decode("utf-8", "replace")[:60])
            self.faults.found.append(Fault(str(self.path), line.number, code, found, "one record a line, in JSON"))
        else:
            self._record(_AtLine(self.name, self.path, tree, None, number=line.number))

    def _record(self, document: _AtLine) -> None:
        before = len(self.faults.found)
        shape = shaped(RecordShape, document.tree, document, (), self.faults)
        if shape is None or len(self.faults.found) > before:  # what is left out would be missed below
            return
        self._time(shape.at, document)
        for key, other in (("replaces", shape.replaces), ("withdraws", shape.withdraws)):
            if other is not None and not 0 < other < document.number:
                self.faults.add(document, (key,), "bad-value", f"{key} {other}", "the number of an earlier line")
        said = [shape.value is not None, shape.withdraws is not None, shape.aside]
        if sum(said) != 1:
            expected = "one of: a value, the line it withdraws, a piece put aside"
            self.faults.add(document, (), "shape", f"{sum(said)} things in one record", expected)
            return
        self.records[document.number] = shape.part or ""
        if shape.aside:
            self._put_aside(shape, document)
        elif shape.value is not None:
            self._read(shape, document, document.number)

    def _never_finished(self, number: int) -> None:
        self.remarks.append(
            Fault(
                self.name,
                number,
                "unfinished",
                "a record that was never finished, and never acknowledged",
                "whole records",
                "measure that once more; the line does no harm",
            )
        )

    def _time(self, text: str, document: Document) -> None:
        try:
            datetime.fromisoformat(text)
        except ValueError:
            self.faults.add(document, ("at",), "bad-value", repr(text), "a day or a time, as 2026-03-07 or with T11:20")

    def _known_part(self, shape: RecordShape, document: Document) -> str | None:
        if shape.part is None:
            self.faults.add(document, (), "missing-key", "no 'part' here", "the key 'part'")
        elif shape.part == VEHICLE or shape.part in self.parts:
            return shape.part
        else:
            self.remarks.append(
                Fault(
                    self.name,
                    document.line(()),
                    "unknown-part",
                    repr(shape.part),
                    "the id of a part of this goal's catalogue",
                    nearest(shape.part, self.parts) or "the reading is passed over",
                )
            )
        return None

    def _put_aside(self, shape: RecordShape, document: Document) -> None:
        part = self._known_part(shape, document)
        if part is not None:
            self.aside[(part, shape.piece)] = None
            for number in [n for n, r in self.readings.items() if (r.part, r.piece) == (part, shape.piece)]:
                del self.readings[number]

    def _read(self, shape: RecordShape, document: Document, number: int) -> None:
        part = self._known_part(shape, document)
        if part is None:
            return
        if shape.attribute is None:
            self.faults.add(document, (), "missing-key", "no 'attribute' here", "the key 'attribute'")
            return
        known = attributes_of(part, self.layout, self.parts)
        attribute = known.get(shape.attribute)
        if attribute is None:
            what = "an attribute of the car" if part == VEHICLE else f"an attribute of a {self.parts[part].kind}"
            unknown_name(shape.attribute, known, "unknown-attribute", what, document, ("attribute",), self.faults)
            return
        value = reading_value(attribute, shape, document, self.faults)
        if value is not None:
            self.aside.pop((part, shape.piece), None)
            self.readings[number] = Reading(
                number,
                shape.at,
                part,
                shape.piece,
                shape.attribute,
                value,
                shape.how,
                shape.tolerance,
                shape.note,
            )


def read_book(path: Path, layout: Layout, parts: Mapping[str, Part], faults: Faults) -> Book:
    """Every reading in force; faults for lines that cannot be read, remarks for lines that do no harm."""
    reader = _Reader(path.name, path, layout, parts, faults)
    try:
        if path.is_file() and path.stat().st_size > MOST_BYTES:
            found, expected = f"{path.stat().st_size} bytes", f"at most {MOST_BYTES} bytes"
            faults.found.append(Fault(str(path), 0, "too-big", found, expected, "put old measurements aside"))
            return Book()
        return reader.book(lines(path))
    except OSError as error:
        expected = "a file that can be read"
        faults.found.append(Fault(str(path), 0, "not-a-file", str(error.strerror), expected))
        return Book()


def lines_of(path: Path) -> tuple[int, ...]:
    """The lines that were not taken back, whatever is in them: those that still can be."""
    found = lines(path)
    gone = taken_back({line.number: _tree(line) for line in found})
    return tuple(line.number for line in found if line.number not in gone)


def keep(path: Path, record: Mapping[str, object]) -> int:
    """Append one record; answers the number of its line once it is on the disk."""
    return append(path, {"measurement": 1, **{k: v for k, v in record.items() if v not in (None, "", False)}})
