"""Readings held against what the catalogue says, and the parts as they are known after both.

Of two statements about one thing, ``settle`` makes one:

* nothing stated yet: the reading fills it;
* one lies wholly in the other and neither is hearsay: the reading confirms, and the narrower of both is left;
* they meet in part, or one of them is hearsay: the better known counts alone;
* they cannot both be true: the better known wins, and between equals the reading, for it is of the piece itself.

Several pieces of one part go on the car together, so each is settled and the part's value spans them all.  An
alteration of a part is the same piece worked on: it keeps every reading of what the alteration leaves alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from shared.evidence import UNKNOWN, Evidence, Value
from shared.faults import Fault
from shared.layout import Layout
from shared.part import Part, Place
from shared.ranges import Range
from shared.vehicle import Vehicle
from shared.wear import WearLimit

from .measurements import Book, Reading
from .readable import VEHICLE

Outcome = Literal["fills", "confirms", "replaces", "is outweighed", "contradicts and wins", "contradicts and loses"]
Pieces = Mapping[str, Mapping[str, Value]]


@dataclass(frozen=True)
class Settled:
    """What is known of one attribute: what was stated, what was read of it, and what counts.

    ``read`` and ``value`` span all pieces; ``outcomes`` tells for each how its reading and the catalogue agree.
    """

    part: str
    path: str
    stated: Value
    read: Value
    value: Value
    outcomes: Mapping[str, Outcome]
    pieces: Mapping[str, Value]
    readings: tuple[Reading, ...]
    place: Place | None = None


@dataclass(frozen=True)
class Clash:
    """Two readings of one piece that cannot both be true; the one that counts is ``kept``."""

    kept: Reading
    other: Reading


@dataclass(frozen=True)
class Measured:
    """Everything measured, as far as it is about this goal's car and catalogue.

    ``pieces`` gives, by the id of a part (its alterations have their own entry), every piece in play and what was
    read on it.
    """

    book: Book = field(default_factory=Book)
    settled: Mapping[tuple[str, str], Settled] = field(default_factory=dict)
    clashes: tuple[Clash, ...] = ()
    pieces: Mapping[str, Pieces] = field(default_factory=dict)
    file: str = ""


def _same(one: Range | str, two: Range | str) -> Range | str | None:
    """What two statements both allow; ``None`` if they exclude one another."""
    if isinstance(one, str) or isinstance(two, str):
        said = [" ".join(x.lower().split()) if isinstance(x, str) else "" for x in (one, two)]
        return two if said[0] == said[1] else None
    # Two ends that meet but for the rounding of a unit do meet.
    low, high = max(one.lo, two.lo), min(one.hi, two.hi)
    hair = 1e-9 * max(1.0, abs(low))
    if low > high + hair:
        return None
    inner = next((r for r in (one, two) if r.lo >= low - hair and r.hi <= high + hair), None)
    return inner or Range(min(low, high), max(low, high))


def settle(stated: Value, read: Value) -> tuple[Value, Outcome]:
    """What is known after a reading, and how it came; see the module."""
    if read.value is None:
        return stated, "is outweighed"
    if stated.value is None:
        return read, "fills"
    both = _same(stated.value, read.value)
    if both is None:
        wins = read.evidence >= stated.evidence
        return (read, "contradicts and wins") if wins else (stated, "contradicts and loses")
    if min(stated.evidence, read.evidence) >= Evidence.PUBLISHED and both in (stated.value, read.value):
        better = max(stated.evidence, read.evidence)
        return Value(both, read.text, better, f"{stated.text} {stated.evidence.word}, read {read.text}"), "confirms"
    return (read, "replaces") if read.evidence >= stated.evidence else (stated, "is outweighed")


def _of_piece(readings: Iterable[Reading]) -> tuple[Value, list[Clash]]:
    """What the readings of one attribute of one piece come to, the later ones against the earlier."""
    value, last = UNKNOWN, None
    clashes = []
    for reading in readings:
        value, outcome = settle(value, reading.value)
        if last is not None and outcome.startswith("contradicts"):
            kept, other = (reading, last) if outcome.endswith("wins") else (last, reading)
            clashes.append(Clash(kept, other))
        last = last if outcome in ("contradicts and loses", "is outweighed") else reading
    return value, clashes


def _of_all(pieces: Mapping[str, Value]) -> Value:
    """One value that spans all pieces; pieces that differ in a word leave it unknown."""
    values = list(pieces.values())
    first = values[0]
    if len(values) == 1:
        return first
    evidence = min(v.evidence for v in values)
    text = ", ".join(f"{value.text} ({piece or 'unnamed'})" for piece, value in pieces.items())
    ranges = [v.value for v in values if isinstance(v.value, Range)]
    if len(ranges) == len(values):
        return Value(Range(min(r.lo for r in ranges), max(r.hi for r in ranges)), text, evidence)
    words = {str(v.value).lower() for v in values}
    return Value(first.value, text, evidence) if len(words) == 1 else Value(None, text, evidence, "the pieces differ")


def own_id(part: Part, parts: Mapping[str, Part]) -> str:
    """The id under which the same piece is in the catalogue unaltered: what alterations start from."""
    if part.host is not None:
        host = parts.get(part.host)
        return f"{part.base}@{part.host if host is None else host.base or host.id}"
    return part.base or part.id


def with_values(part: Part, values: Mapping[str, Value]) -> Part:
    """A part with some values put in."""
    properties, ports = dict(part.properties), dict(part.ports)
    for path, value in values.items():
        port, dot, name = path.partition(".")
        if dot:
            ports[port] = {**(ports.get(port) or {}), name: value}
        else:
            properties[path] = value
    return replace(part, properties=properties, ports=ports)


@dataclass
class _Applied:
    """Collects, over all parts, what readings make of them."""

    book: Book
    layout: Layout
    parts: Mapping[str, Part]
    settled: dict[tuple[str, str], Settled] = field(default_factory=dict)
    clashes: dict[Clash, None] = field(default_factory=dict)
    pieces: dict[str, Pieces] = field(default_factory=dict)

    def readings_of(self, part: Part) -> dict[str, list[Reading]]:
        """By attribute the readings that are about a part: its own, and of what it was altered from."""
        base = self.parts.get(own_id(part, self.parts), part)
        found: dict[str, list[Reading]] = {}
        for reading in self.book.readings:
            path = reading.attribute
            kept = reading.part == base.id and part.attribute(path) is base.attribute(path)
            if reading.part == part.id or kept:
                found.setdefault(path, []).append(reading)
        return found

    def known(self, name: str, path: str, stated: Value, readings: list[Reading], place: Place | None) -> Settled:
        """One attribute settled, and what was read noted by piece."""
        by_piece: dict[str, list[Reading]] = {}
        for reading in readings:
            by_piece.setdefault(reading.piece, []).append(reading)
        values = {}
        for piece, some in by_piece.items():
            values[piece], clashes = _of_piece(some)
            self.clashes.update(dict.fromkeys(clashes))
        pieces = {k: dict(v) for k, v in self.pieces.get(name, {}).items()}
        for piece, value in values.items():
            pieces.setdefault(piece, {})[path] = value
        self.pieces[name] = pieces
        each = {piece: settle(stated, value) for piece, value in values.items()}
        outcomes = {piece: outcome for piece, (_, outcome) in each.items()}
        value = _of_all({piece: value for piece, (value, _) in each.items()})
        self.settled[(name, path)] = Settled(
            name, path, stated, _of_all(values), value, outcomes, values, tuple(readings), place
        )
        return self.settled[(name, path)]

    def part(self, part: Part) -> Part:
        """A part as it is known after its readings."""
        own = {limit.path for limit in self.layout.wear.get(part.kind, ()) if limit.own}
        values = {}
        for path, readings in self.readings_of(part).items():
            found = self.known(part.id, path, part.attribute(path), readings, part.place)
            if path not in own:
                values[path] = found.value
        return with_values(part, values) if values else part

    def vehicle(self, vehicle: Vehicle) -> Vehicle:
        """The car as it is known after its readings; what tells nothing but wear is no value of the car."""
        own = {limit.path for limit in self.layout.wear.get(VEHICLE, ()) if limit.own}
        properties, ports = dict(vehicle.properties), {k: dict(v) for k, v in vehicle.ports.items()}
        paths = dict.fromkeys(r.attribute for r in self.book.readings if r.part == VEHICLE)
        for path in paths:
            readings = [r for r in self.book.readings if r.part == VEHICLE and r.attribute == path]
            port, dot, name = path.partition(".")
            target = ports.setdefault(port, {}) if dot else properties
            key = name if dot else path
            known = self.known(VEHICLE, path, target.get(key, UNKNOWN), readings, vehicle.place)
            if path not in own:
                target[key] = known.value
        return replace(vehicle, properties=properties, ports=ports)


def apply(
    book: Book, layout: Layout, vehicle: Vehicle, parts: Mapping[str, Part], file: str
) -> tuple[Vehicle, dict[str, Part], Measured]:
    """The car and the catalogue as they are known after every reading in force."""
    applied = _Applied(book, layout, parts)
    if not book.readings:
        return vehicle, dict(parts), Measured(book, file=file)
    named = {r.part for r in book.readings}
    known = {
        name: applied.part(part) if name in named or own_id(part, parts) in named else part
        for name, part in parts.items()
    }
    car = applied.vehicle(vehicle) if VEHICLE in named else vehicle
    return car, known, Measured(book, applied.settled, tuple(applied.clashes), applied.pieces, file)


def contradictions(measured: Measured, layout: Layout) -> list[Fault]:
    """Every reading that cannot be true together with the catalogue or with another reading, with what to do."""
    found = []
    for known in measured.settled.values():
        last = {r.piece: r for r in known.readings if r.part == known.part}
        for piece, outcome in known.outcomes.items():
            if outcome.startswith("contradicts") and piece in last:
                found.append(_against_catalogue(known, last[piece], measured, layout))
    for clash in measured.clashes:
        kept, other = clash.kept, clash.other
        found.append(
            Fault(
                measured.file,
                max(kept.line, other.line),
                "contradiction",
                f"{kept.attribute} of {_named(kept)} {kept.value.text} and, in line {min(kept.line, other.line)}, "
                f"{other.value.text}",
                "readings of one piece that can all be true",
                f"line {kept.line} counts; measure again, or withdraw the wrong one",
            )
        )
    return list(dict.fromkeys(found))


def _named(reading: Reading) -> str:
    return f"{reading.part}, {reading.piece}" if reading.piece else reading.part


def _is_wear(known: Settled, piece: str, limits: Iterable[WearLimit]) -> bool:
    """Whether a reading is off in the way wear goes: below what was stated where less is worse, or above it."""
    stated, read = known.stated.value, known.pieces[piece].value
    if not (isinstance(stated, Range) and isinstance(read, Range)):
        return False
    here = [limit for limit in limits if limit.path == known.path]
    return any((limit.at_least and read.hi < stated.lo) or (limit.at_most and read.lo > stated.hi) for limit in here)


def _against_catalogue(known: Settled, last: Reading, measured: Measured, layout: Layout) -> Fault:
    where = "" if known.place is None else f" in {known.place.file}:{known.place.line}"
    read, wins = known.pieces[last.piece], known.outcomes[last.piece] == "contradicts and wins"
    counts = f"the reading counts; correct the catalogue{where}" if wins else "the catalogue counts, it is better known"
    if any(_is_wear(known, last.piece, limits) for limits in layout.wear.values()):
        counts = "the reading counts; this piece is worn"
    elif known.stated.evidence is Evidence.MARKED:
        counts += "; read the mark again, it may be another part"
    return Fault(
        measured.file,
        last.line,
        "contradiction",
        f"{known.path} of {_named(last)} {read.text} {read.evidence.word}",
        f"{known.stated.text}, as {known.stated.evidence.word}{where}",
        counts,
    )
