"""Wear as relations: a position refuses a part of which a piece is worn past its limit or damaged.

The car itself is judged in the same way by what was read on it: a bad one refuses every build.

Only pieces somebody read are judged; a part nobody looked at is neither good nor bad.  Several pieces of one part go
on the car together, so one bad piece refuses the part until it is put aside and another takes its place.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from knowledge.garage import Garage
from knowledge.measured.readable import VEHICLE
from knowledge.measured.readings import Settled
from knowledge.measured.sets import apart
from shared.evidence import Value
from shared.interface import WORD
from shared.part import Part
from shared.ranges import Range
from shared.verdict import Reason, Side, Verdict
from shared.wear import Described, End, WearLimit

from .holding import hold
from .relations import Build, Relation

OF_THE_CAR = "condition of the car"
OF_THE_CAR_SAYS = "What is worn out or damaged on the car itself is mended first"
SAYS = "A piece that is worn out or damaged is left where it is"


def condition_name(at: str) -> str:
    """The name of the relation that judges the pieces of a position."""
    return f"condition at {at}"


def _strictest(ends: tuple[End, ...], part: Described, lower: bool) -> Range | None:
    """The limit that asks most; ``None`` if none is known for the part."""
    known = [limit for end in ends if (limit := end.of(part)) is not None]
    if not known:
        return None
    return max(known, key=lambda r: r.hi) if lower else min(known, key=lambda r: r.lo)


def limits_of(limit: WearLimit, part: Described) -> tuple[Range | None, Range | None]:
    """The least and the most a wear limit allows on a part, or the car, in SI."""
    return _strictest(limit.at_least, part, True), _strictest(limit.at_most, part, False)


@dataclass(frozen=True, slots=True)
class _Judged:
    """What is judged: the relation's name, the part or the car, how a person calls it, and how it is asked for."""

    relation: str
    thing: Described
    title: str
    called: str

    def who(self, piece: str) -> str:
        """It, or one piece of it."""
        return f"{self.title}, {piece}" if piece else self.title


def _reason(judged: _Judged, piece: str, limit: WearLimit, value: Value) -> Reason | None:
    """What one reading says of one piece; ``None`` if it is good or nothing is known to hold it against."""
    title = limit.path.replace("_", " ").replace(".", " ")
    measure = limit.attribute.measure
    left = Side("the part has", judged.who(piece), title, value.value, measure, value.evidence)
    if measure == WORD or isinstance(value.value, str):
        if not limit.accept or value.value in limit.accept:
            return None
        right = Side("the rule demands", "wear limit", "only", " or ".join(limit.accept), WORD)
        return Reason(judged.relation, Verdict.NO, limit.says, left, right, None, WORD, limit.source)
    low, high = limits_of(limit, judged.thing)
    if value.value is None or (low is None and high is None):
        return None
    held = hold(value.value, low, high)
    if held.verdict is Verdict.FITS:
        return None
    right = Side("the rule demands", "wear limit", "at least" if held.lower else "at most", held.limit, measure)
    asked = f"{title} of {judged.called}{f', {piece}' if piece else ''}"
    needs = (f"{asked}, with a finer tool",) if held.verdict is Verdict.CHECK else ()
    return Reason(
        judged.relation, held.verdict, limit.says, left, right, held.gap or None, measure, limit.source, needs
    )


def _apart(judged: _Judged, limit: WearLimit, known: Settled | None) -> Reason | None:
    """Whether the pieces of a set differ by too much."""
    measure = limit.attribute.measure
    if limit.apart is None or known is None or measure == WORD or len(known.pieces) < 2:
        return None
    most = Range.exactly(limit.apart)
    held = {pair: (hold(off, None, most), off) for pair, off in apart(known, measure).items()}
    pair = max(held, key=lambda p: (held[p][0].verdict, held[p][1].lo, held[p][1].hi))
    worst, off = held[pair]
    if worst.verdict is Verdict.FITS:
        return None
    title = limit.path.replace("_", " ").replace(".", " ")
    names = " and ".join(piece or "the unnamed one" for piece in pair)
    left = Side("the part has", judged.who(names), f"{title} apart by", off, measure)
    right = Side("the rule demands", "wear limit", "at most", most, measure)
    needs = (f"{title} of {judged.called}, {names}, both with one tool",) if worst.verdict is Verdict.CHECK else ()
    return Reason(
        judged.relation, worst.verdict, limit.says, left, right, worst.gap or None, measure, limit.source, needs
    )


def _reasons(garage: Garage, judged: _Judged, kind: str, name: str) -> tuple[Reason, ...]:
    pieces = garage.measured.pieces.get(name, {})
    found: list[Reason] = []
    for limit in garage.layout.wear.get(kind, ()):
        read = {piece: values[limit.path] for piece, values in pieces.items() if limit.path in values}
        reasons = [_reason(judged, piece, limit, value) for piece, value in read.items()]
        set_apart = _apart(judged, limit, garage.measured.settled.get((name, limit.path)))
        found += [r for r in (*reasons, set_apart) if r is not None]
    return tuple(sorted(found, key=lambda r: -r.verdict))


def wear_reasons(garage: Garage, at: str, part: Part) -> tuple[Reason, ...]:
    """Everything that speaks against the pieces of a part that were read, the worst first."""
    judged = _Judged(condition_name(at), part, f"{at.replace('_', ' ')}, {part.name}", part.called)
    return _reasons(garage, judged, part.kind, part.id)


def car_reasons(garage: Garage) -> tuple[Reason, ...]:
    """Everything that speaks against the car itself, by what was read on it, the worst first."""
    return _reasons(garage, _Judged(OF_THE_CAR, garage.vehicle, "the car", "the car"), VEHICLE, VEHICLE)


def wear_relations(garage: Garage, domains: Mapping[str, tuple[Part | None, ...]]) -> list[Relation]:
    """One relation for every position where a piece of a candidate was read and is not good, and for the car."""
    found = []
    if against_car := car_reasons(garage):
        found.append(_of_the_car(next(iter(domains)), against_car))
    if garage.measured.pieces:
        for at, parts in domains.items():
            against = {p.id: r for p in parts if p is not None and (r := wear_reasons(garage, at, p))}
            if against:
                found.append(_relation(at, against))
    return found


def _of_the_car(at: str, reasons: tuple[Reason, ...]) -> Relation:
    """It hangs on no part; but what hangs on nothing is left out of counts and conflicts, so it is judged at ``at``."""
    verdict = max(r.verdict for r in reasons)

    def judge(build: Build) -> Verdict:
        return verdict

    def explain(build: Build) -> tuple[Reason, ...]:
        return reasons

    return Relation(
        OF_THE_CAR, "requirement", (at,), judge, explain, says=OF_THE_CAR_SAYS, looks_at=lambda position, part: None
    )


def _relation(at: str, against: Mapping[str, tuple[Reason, ...]]) -> Relation:
    def explain(build: Build) -> tuple[Reason, ...]:
        part = build[at]
        return () if part is None else against.get(part.id, ())

    def judge(build: Build) -> Verdict:
        return max((r.verdict for r in explain(build)), default=Verdict.FITS)

    return Relation(condition_name(at), "requirement", (at,), judge, explain, says=SAYS, parts=(at,))
