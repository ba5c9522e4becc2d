"""What somebody measured on certain pieces: the file beside the goal, one JSON line a record.

A record is a reading (of one attribute of one piece of one part), the withdrawal of an earlier line, or a piece put
aside.  Nothing is ever changed in the file: a correction is a further line that says which one it replaces.  The
text of a reading stays as it was read; the tool's tolerance stands beside it, as its own number.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any, Literal

from shared.evidence import EVIDENCE_WORDS, Evidence, Value
from shared.faults import Fault
from shared.interface import WORD, Attribute
from shared.layout import Layout
from shared.part import Part
from shared.ranges import Range

from .condition import WearLimit
from .documents import MOST_BYTES, Document, Faults, Loc
from .journal import Line, append, lines
from .shapes import Shape, nearest, shaped
from .values import evidence_at, quantity_at, value_at

FILE = "measurements.jsonl"
VEHICLE = "vehicle"
# Every record begins so; what begins so and has no end was being written when its writer was stopped.
OPENING = '{"measurement": '
Wear = Mapping[str, tuple[WearLimit, ...]]
_STATED_UNCERTAINTY = re.compile(r"\+/-|±|\+-")


class RecordShape(Shape):
    """One line of the file."""

    measurement: Literal[1]
    at: str
    part: str | None = None
    piece: str = ""
    attribute: str | None = None
    value: str | None = None
    how: str = ""
    tolerance: str = ""
    evidence: str = "measured"
    replaces: int | None = None
    withdraws: int | None = None
    aside: bool = False
    note: str = ""


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

    ``aside`` are the pieces that were left, ``remarks`` what is odd in the file without being wrong: lines never
    finished, and parts that are not in this catalogue.
    """

    readings: tuple[Reading, ...] = ()
    aside: tuple[tuple[str, str], ...] = ()
    remarks: tuple[Fault, ...] = ()


@dataclass
class _AtLine(Document):
    """A record as a document of one line, so that its faults are told like those of every other file."""

    number: int = field(default=0)

    def line(self, loc: Loc) -> int:
        """The number of the record's line, whatever in it is meant."""
        return self.number


def kind_attributes(layout: Layout, kind: str, wear: Wear) -> dict[str, Attribute]:
    """Everything that can be read on a kind of part: properties, ``port.attribute``, and what tells its wear."""
    found = dict(layout.kinds[kind].properties)
    for name, port in layout.kinds[kind].ports.items():
        for attribute in layout.interfaces[port.interface].attributes.values():
            if attribute.on in (None, port.side):
                found[f"{name}.{attribute.name}"] = attribute
    for limit in wear.get(kind, ()):
        found.setdefault(limit.path, limit.attribute)
    return found


def vehicle_attributes(layout: Layout) -> dict[str, Attribute]:
    """Everything that can be read on the car itself: its properties and its body's ``port.attribute``."""
    found = dict(layout.vehicle)
    for name, port in layout.body.items():
        for attribute in layout.interfaces[port.interface].attributes.values():
            if attribute.on in (None, port.side):
                found[f"{name}.{attribute.name}"] = attribute
    return found


def attributes_of(name: str, layout: Layout, parts: Mapping[str, Part], wear: Wear) -> dict[str, Attribute]:
    """Everything that can be read on a part of the catalogue, or on the ``vehicle``."""
    return vehicle_attributes(layout) if name == VEHICLE else kind_attributes(layout, parts[name].kind, wear)


def widened(value: Value, tolerance: Range | None) -> Value:
    """A reading as wide as its tool leaves it; one that states its own uncertainty stays as it is."""
    if tolerance is None or not isinstance(value.value, Range) or _STATED_UNCERTAINTY.search(value.text):
        return value
    wide = Range(value.value.lo - tolerance.hi, value.value.hi + tolerance.hi)
    if value.value.lo >= 0.0 > wide.lo:
        wide = Range(0.0, wide.hi)
    return Value(wide, value.text, value.evidence, value.note)


def states_uncertainty(text: str) -> bool:
    """Whether a reading says itself how well it is known, as ``13.6 +/- 0.1 mm``."""
    return _STATED_UNCERTAINTY.search(text) is not None


@dataclass
class _Reader:
    name: str
    path: Path
    layout: Layout
    parts: Mapping[str, Part]
    wear: Wear
    faults: Faults
    remarks: list[Fault] = field(default_factory=list)
    readings: dict[int, Reading] = field(default_factory=dict)
    aside: dict[tuple[str, str], None] = field(default_factory=dict)

    def line(self, line: Line) -> None:
        tree = self._tree(line)
        if tree is None:
            return
        document = _AtLine(self.name, self.path, tree, None, line.number)
        shape = shaped(RecordShape, tree, document, (), self.faults)
        if shape is None:
            return
        self._time(shape.at, document)
        for key, other in (("replaces", shape.replaces), ("withdraws", shape.withdraws)):
            if other is not None and not 0 < other < line.number:
                self.faults.add(document, (key,), "bad-value", f"{key} {other}", "the number of an earlier line")
        said = [shape.value is not None, shape.withdraws is not None, shape.aside]
        if sum(said) != 1:
            expected = "one of: a value, the line it withdraws, a piece put aside"
            self.faults.add(document, (), "shape", f"{sum(said)} things in one record", expected)
            return
        for other in (shape.replaces, shape.withdraws):
            self.readings.pop(other or 0, None)
        if shape.aside:
            self._put_aside(shape, document)
        elif shape.value is not None:
            self._read(shape, document, line.number)

    def _tree(self, line: Line) -> dict[str, Any] | None:
        try:
            tree = json.loads(line.data.decode("utf-8"))
        except (UnicodeDecodeError, json.JSONDecodeError, RecursionError):
            text = line.data.decode("utf-8", "replace")
            # After a power cut a file system may leave zeros where bytes were promised.
            begun = OPENING.startswith(text[: len(OPENING)]) and not text.rstrip().endswith("}")
            torn = not line.ended or "\0" in text or begun
            if torn or not text.strip():
                self._never_finished(line.number)
                return None
            found, expected = f"{text[:60]!r}", "one record a line, in JSON"
            mend = "take the line out, and measure again"
            self.faults.found.append(Fault(self.name, line.number, "not-json", found, expected, mend))
            return None
        if not isinstance(tree, dict):
            self.faults.found.append(Fault(self.name, line.number, "shape", "no mapping", "keys and values"))
            return None
        return tree

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
        known = attributes_of(part, self.layout, self.parts, self.wear)
        attribute = known.get(shape.attribute)
        if attribute is None:
            what = "an attribute of the car" if part == VEHICLE else f"an attribute of a {self.parts[part].kind}"
            self.faults.add(
                document,
                ("attribute",),
                "unknown-attribute",
                repr(shape.attribute),
                what,
                nearest(shape.attribute, known),
            )
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


def reading_value(attribute: Attribute, shape: RecordShape, document: Document, faults: Faults) -> Value | None:
    """What a record says was read, as wide as its tolerance; ``None`` and faults where that cannot be read."""
    before = len(faults.found)
    evidence = evidence_at(shape.evidence, document, ("evidence",), faults)
    value = value_at(shape.value, attribute, evidence, document, ("value",), faults)
    if len(faults.found) > before:
        return None
    if value.value is None:
        faults.add(document, ("value",), "bad-value", repr(shape.value), f"a reading of {attribute.title}")
        return None
    if not shape.tolerance or attribute.measure == WORD:
        return value
    tolerance = quantity_at(shape.tolerance, attribute.measure, document, ("tolerance",), faults)
    if tolerance is not None and tolerance.lo < 0.0:
        faults.add(document, ("tolerance",), "bad-value", shape.tolerance, "a tolerance each way, 0 or more")
        return None
    return None if tolerance is None else widened(value, tolerance)


def read_book(path: Path, layout: Layout, parts: Mapping[str, Part], wear: Wear, faults: Faults) -> Book:
    """Every reading in force; faults for lines that cannot be read, remarks for lines that do no harm."""
    reader = _Reader(path.name, path, layout, parts, wear, faults)
    try:
        if path.is_file() and path.stat().st_size > MOST_BYTES:
            found, expected = f"{path.stat().st_size} bytes", f"at most {MOST_BYTES} bytes"
            faults.found.append(Fault(path.name, 0, "too-big", found, expected, "put old measurements aside"))
            return Book()
        for line in lines(path):
            reader.line(line)
    except OSError as error:
        expected = "a file that can be read"
        faults.found.append(Fault(path.name, 0, "not-a-file", str(error.strerror), expected))
        return Book()
    return Book(tuple(reader.readings.values()), tuple(reader.aside), tuple(reader.remarks))


def keep(path: Path, record: Mapping[str, object]) -> int:
    """Append one record; answers the number of its line once it is on the disk."""
    return append(path, {"measurement": 1, **{k: v for k, v in record.items() if v not in (None, "", False)}})


def evidence_word(evidence: Evidence) -> str:
    """How a value is known, as the files spell it."""
    return next(word for word, known in EVIDENCE_WORDS.items() if known is evidence)
