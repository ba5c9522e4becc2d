"""Making a record of what a person says: every fault found before anything is written."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime
from difflib import SequenceMatcher
from pathlib import Path

from knowledge.files.documents import Document, Faults
from knowledge.files.shape import nearest, nearest_part
from knowledge.garage import Garage
from knowledge.measured.measurements import lines_of
from knowledge.measured.readable import VEHICLE, attributes_of
from knowledge.measured.recorded import RecordShape, evidence_word, reading_value, states_uncertainty
from knowledge.standards.measuring_tools import measuring_tools, tool_for, tools_of
from shared.errors import SwapwrightError
from shared.evidence import Evidence
from shared.faults import BadInput, Fault
from shared.interface import WORD, Attribute
from shared.ranges import Range
from shared.units import measures, to_system

ASKED = "measure"


@dataclass(frozen=True)
class Said:
    """What a person says of a reading, as they say it."""

    value: str
    piece: str = ""
    how: str = ""
    tolerance: str = ""
    at: str = ""
    note: str = ""
    replaces: int | None = None


def _bad(code: str, found: str, expected: str, mend: str = "") -> BadInput:
    return BadInput([Fault(ASKED, 0, code, found, expected, mend)])


def no_half_characters(*texts: str | None) -> None:
    """See that what a person says can be written down: a terminal may hand on bytes that are no text.

    Raises :class:`BadInput` for what cannot.
    """
    for text in texts:
        if text is not None and any("\ud800" <= c <= "\udfff" for c in text):
            raise _bad("bad-value", repr(text), "text in UTF-8", "type it anew")


def known_part(garage: Garage, name: str) -> str:
    """The id of the part a person names, ``vehicle`` for the car itself.

    Raises :class:`BadInput` for a name that is none, with the nearest that is.
    """
    if name in garage.parts or name == VEHICLE:
        return name
    if name in garage.layout.positions:
        fitted = garage.vehicle.fitted.get(name)
        mend = f"the part fitted there now is {fitted!r}" if fitted else "nothing is fitted there now"
        raise _bad("unknown-part", repr(name), "the id of a part, not a position", mend)
    mend = nearest(name, [VEHICLE]) if name.casefold() == VEHICLE else nearest_part(name, garage.parts)
    raise _bad("unknown-part", repr(name), "the id of a part, or vehicle", mend)


def known_attribute(garage: Garage, part: str, path: str) -> Attribute:
    """The attribute a person names on a part; a port may be left out where only one has it.

    Raises :class:`BadInput` for a name that is none, or that several ports have.
    """
    known = attributes_of(part, garage.layout, garage.parts)
    if path in known:
        return known[path]
    what = "an attribute of the car" if part == VEHICLE else f"an attribute of a {garage.parts[part].kind}"
    alike = sorted(p for p in known if p.partition(".")[2] == path)
    mend = f"did you mean {' or '.join(alike)}?" if alike else nearest(path.lower(), known)
    raise _bad("unknown-attribute", repr(path), what, mend or f"one of: {', '.join(sorted(known))}")


def tolerance_text(attribute: Attribute, said: Said) -> tuple[str, Evidence]:
    """The tolerance of a reading as text (empty where it has none), and how well the value is known by that tool.

    What the person states counts first; then, for the tool an attribute is usually read with, the attribute's own
    uncertainty, which knows the surface and the place; then the tool's.
    """
    measure = attribute.measure
    if said.how:
        tool = tool_for(said.how, measure)
        if tool is None:
            names = tools_of(measure)
            known = said.how in measuring_tools()
            found = f"{said.how!r} for {attribute.title}" if known else repr(said.how)
            raise _bad("unknown-word", found, f"what it was read with: {', '.join(names)}", nearest(said.how, names))
        evidence, number, share = tool.evidence, tool.tolerance, tool.share
        named = re.search(rf"\b{re.escape(said.how)}\b", attribute.read.lower()) is not None
        if named and evidence is Evidence.MEASURED and attribute.uncertainty > 0.0:
            number, share = attribute.uncertainty, 0.0
    else:
        evidence, number, share = Evidence.MEASURED, attribute.uncertainty, 0.0
    if said.tolerance:
        return said.tolerance, evidence
    if measure == WORD or states_uncertainty(said.value):
        return "", evidence
    if share:
        faults = Faults()
        shape = RecordShape(measurement=1, at="", value=said.value)
        read = reading_value(attribute, shape, Document(ASKED, Path(), {}, None), faults)
        if read is not None and isinstance(read.value, Range):
            number = share * max(abs(read.value.lo), abs(read.value.hi))
    if number == 0.0:
        return "", evidence
    unit = measures()[measure].metric.unit
    return f"{to_system(number, measure, 'metric'):.6g} {unit}".strip(), evidence


def when(at: str, now: datetime | None = None) -> str:
    """The day or time a person gives, now where they give none.

    Only here does an answer hang on the clock: a file that was kept is read the same on any day.

    Raises :class:`BadInput` for what is neither, or is still to come.
    """
    now = now or datetime.now().astimezone()
    try:
        given = datetime.fromisoformat(at) if at else now
    except ValueError:
        raise _bad("bad-value", repr(at), "a day or a time, as 2026-03-07 or 2026-03-07T11:20") from None
    if given > (now if given.tzinfo else now.replace(tzinfo=None)):
        expected = f"a day or a time that has been; it is {now.isoformat(timespec='minutes')} now"
        raise _bad("bad-value", repr(at), expected, "say when it was read, or leave it out where that is now")
    return at or now.isoformat(timespec="seconds")


def nothing_instead(line: int) -> BadInput:
    """The fault of a line that is to be replaced, but by nothing."""
    return _bad("missing-key", f"--replaces {line} without a value", "the part, what was read on it, and its value")


def replaceable(garage: Garage, line: int, part: str, attribute: str) -> int:
    """The line of a reading in force of the same as the new one, so that a slip of the finger takes back no other.

    Raises :class:`BadInput` where there is none.
    """
    readings = garage.measured.book.readings
    old = next((r for r in readings if r.line == line), None)
    if old is None:
        lines = ", ".join(str(r.line) for r in readings) or "none"
        raise _bad("bad-value", f"line {line}", f"the line of a reading in force: {lines}")
    if (old.part, old.attribute) != (part, attribute):
        what = f"a reading of {attribute} of {part}"
        mend = f"where line {line} was wrong altogether, take it back: --withdraw {line}"
        raise _bad("bad-value", f"line {line}, {old.attribute} of {old.part}", what, mend)
    return line


def withdrawable(path: Path, line: int) -> int:
    """A line of the file that was not taken back, whatever is in it.

    Raises :class:`BadInput` where there is none.
    """
    if line not in lines_of(path):
        raise _bad("bad-value", f"line {line}", f"a line of {path.name} that was not taken back")
    return line


def piece_read(garage: Garage, part: str, piece: str) -> str:
    """A piece of a part of which something was read.

    Raises :class:`BadInput` where nothing was, so that a slip of the pen puts nothing aside.
    """
    pieces = sorted({r.piece for r in garage.measured.book.readings if r.part == part})
    if piece not in pieces:
        names = ", ".join(p or "the one without a name" for p in pieces)
        raise _bad("bad-value", f"piece {piece!r}", f"a piece of {part} that was read: {names or 'none'}")
    return piece


def piece_meant(garage: Garage, part: str, piece: str) -> None:
    """See that the piece a reading is of is no slip of the pen for another, which would be a piece more on the car.

    Raises :class:`BadInput` where it is nearly the name of a piece that was read, or of one of a pair.
    """
    pieces = sorted({r.piece for r in garage.measured.book.readings if r.part == part and r.piece})
    name = " ".join(piece.split())
    near = next((p for p in (*pieces, *_SIDES[:2]) if _slip(name, p)), None)
    if name and name not in pieces and near is not None:
        names = f"a piece of {part} that was read: {', '.join(pieces)}" if pieces else "the name of a piece"
        raise _bad("bad-value", f"piece {name!r}", names, f"did you mean {near!r}? If it is a new one: --new-piece")


_SIDES = ("left", "right", "front", "rear", "upper", "lower", "inner", "outer")


def _slip(name: str, known: str) -> bool:
    """Whether a name is another but for letters: each word the same, or like it without being a word of its own."""
    pairs = list(zip(name.casefold().split(), known.casefold().split(), strict=False))
    if name == known or len(pairs) != len(name.split()) or len(pairs) != len(known.split()):
        return False
    return all(
        one == two
        or (
            one not in _SIDES
            and not any(c.isdigit() for c in one + two)
            and SequenceMatcher(None, one, two).ratio() >= 0.7
        )
        for one, two in pairs
    )


def record_of(attribute: Attribute, part: str, path: str, said: Said) -> dict[str, object]:
    """A reading as the record that is kept.

    Raises :class:`BadInput` with everything that is wrong with it.
    """
    tolerance, evidence = tolerance_text(attribute, said)
    record: dict[str, object] = {
        "at": when(said.at),
        "part": part,
        "piece": " ".join(said.piece.split()),
        "attribute": path,
        "value": said.value.strip(),
        "how": said.how,
        "tolerance": tolerance,
        "evidence": evidence_word(evidence),
        "replaces": said.replaces,
        "note": said.note,
    }
    faults = Faults()
    shape = RecordShape.model_validate({"measurement": 1, **{k: v for k, v in record.items() if v is not None}})
    read = reading_value(attribute, shape, Document(ASKED, Path(), {}, None), faults)
    if faults.found:
        raise BadInput([Fault(ASKED, 0, f.code, f.found, f.expected, f.mend) for f in faults.found])
    if read is None:
        raise SwapwrightError("the reading could not be understood")
    return record
