"""One record of the measurements: its shape, and the value that was read, as wide as the tool leaves it."""

from __future__ import annotations

from typing import Literal

from shared.evidence import EVIDENCE_WORDS, Evidence, Value
from shared.interface import WORD, Attribute
from shared.ranges import Range

from ..files.documents import Document, Faults
from ..files.shape import Shape
from ..files.values import UNCERTAIN, evidence_at, quantity_at, value_at


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


def widened(value: Value, tolerance: Range | None) -> Value:
    """A reading as wide as its tool leaves it; one that states its own uncertainty stays as it is."""
    if tolerance is None or not isinstance(value.value, Range) or UNCERTAIN.search(value.text):
        return value
    wide = Range(value.value.lo - tolerance.hi, value.value.hi + tolerance.hi)
    if value.value.lo >= 0.0 > wide.lo:
        wide = Range(0.0, wide.hi)
    return Value(wide, value.text, value.evidence, value.note)


def states_uncertainty(text: str) -> bool:
    """Whether a reading says itself how well it is known, as ``13.6 +/- 0.1 mm``."""
    return UNCERTAIN.search(text) is not None


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


def evidence_word(evidence: Evidence) -> str:
    """How a value is known, as the files spell it."""
    return next(word for word, known in EVIDENCE_WORDS.items() if known is evidence)
