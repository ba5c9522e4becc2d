"""Both sides of a relation in numbers, and the room between them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import isfinite

from knowledge.mates import Comparison, limits
from shared.evidence import Evidence
from shared.interface import WORD
from shared.layout import Requirement
from shared.ranges import Range
from shared.units import System
from shared.verdict import Verdict

from ..holding import hold
from ..mating import Meeting
from ..problem import Problem
from ..relations import Build, Relation
from ..words import told_apart, value_text

Known = Range | str | None
Plain = str | float | int | bool


@dataclass(frozen=True)
class Numbers:
    """What stands on both sides, and by how much the rule is kept (``room``, negative where it is missed).

    Where a range straddles the limit it is ``doubtful`` whether it is missed: ``room`` is then what it may come to.
    ``beside`` is what the rule asks for between the sides, or allows (negative).  A side known less well than ``trust``
    is told as that.
    """

    what: str
    left: Known
    right: Known
    room: float | None
    measure: str
    left_says: str = ""
    right_says: str = ""
    left_known: Evidence | None = None
    right_known: Evidence | None = None
    doubtful: bool = False
    beside: float = 0.0
    trust: Evidence = Evidence.GUESSED

    def texts(self, units: System) -> tuple[str, str, str]:
        """Left, right and room as a person reads them, with decimals enough to tell them apart."""
        if self.measure == WORD:
            return str(self.left or "unknown"), str(self.right or "unknown"), ""
        missed = None if self.room is None else -self.room
        finer, apart = told_apart(self.left, self.right, missed, self.measure, units, self.beside)
        left, right = (value_text(side, self.measure, units, finer) for side in (self.left, self.right))
        return left, right, (apart or "").removeprefix("-")

    def attributes(self, units: System) -> dict[str, Plain]:
        """Plain attributes: texts in ``units``, numbers in SI."""
        left, right, room = self.texts(units)
        left += self._hearsay(self.left, self.left_known)
        right += self._hearsay(self.right, self.right_known)
        alike = self.left_says == self.right_says
        found: dict[str, Plain] = {
            "decided_by": self.what,
            "sides": f"{self.left_says}{left}{' against ' if alike else ', '}{'' if alike else self.right_says}{right}",
            "left": f"{self.left_says}{left}".strip(),
            "right": f"{self.right_says}{right}".strip(),
        }
        for name, side in (("left", self.left), ("right", self.right)):
            if isinstance(side, Range):
                found |= {f"{name}.lo": side.lo, f"{name}.hi": side.hi}
        for name, known in (("left", self.left_known), ("right", self.right_known)):
            if known is not None:
                found[f"{name}_evidence"] = known.word
        if self.room is not None:
            found["margin.si"] = self.room
            if self.room >= 0.0:
                found["margin"] = f"{room} left"
            elif self.doubtful:
                found["margin"] = f"perhaps up to {room} off"
            else:
                found |= {"margin": f"{room} off", "gap": room}
        return found

    def _hearsay(self, side: Known, known: Evidence | None) -> str:
        """How a side is known, where that alone is a doubt."""
        return f" (only {known.word})" if side is not None and known is not None and known < self.trust else ""


def room_of(comparison: Comparison) -> tuple[float | None, float]:
    """By how much a comparison is kept (0 or more) or missed (negative), SI, and what of a miss the rule asks for.

    ``None`` for words and unknowns.
    """
    rule, one, two = comparison.rule, comparison.left.value, comparison.right.value
    if not isinstance(one, Range) or not isinstance(two, Range):
        return None, 0.0
    if comparison.verdict is Verdict.NO:
        return -comparison.gap, comparison.beside
    if rule.rule == "same":
        return None, 0.0
    (low, high), apart = limits(rule), two - one
    return min((apart.lo - low, low), (high - apart.hi, -high))


def compared(meeting: Meeting, comparison: Comparison, trust: Evidence) -> Numbers:
    """The numbers of one comparison of a mate, for a goal of so much trust."""
    rule = comparison.rule
    left, right = meeting.kind.attributes[rule.left].title, meeting.kind.attributes[rule.right].title
    room, beside = room_of(comparison)
    return Numbers(
        what=left if left == right else f"{left} and {right}",
        left=comparison.left.value,
        right=comparison.right.value,
        room=room,
        measure=rule.measure,
        left_says=f"{left} ",
        right_says=f"{right} ",
        left_known=comparison.left.evidence,
        right_known=comparison.right.evidence,
        doubtful=comparison.verdict is Verdict.CHECK,
        beside=beside,
        trust=trust,
    )


def off(data: Mapping[str, object]) -> str:
    """By how much what a node or an edge tells of is missed, or may be, in words; empty where it is kept."""
    margin = str(data.get("margin", ""))
    return margin if margin.endswith("off") else ""


def ruled(problem: Problem, relation: Relation, build: Build) -> Numbers | None:
    """The numbers of a requirement or a goal limit on a build; ``None`` where a relation has none."""
    found = _ruled(problem, relation, build)
    return None if found is None else replace(found, trust=problem.goal.trust)


def _ruled(problem: Problem, relation: Relation, build: Build) -> Numbers | None:
    demands = problem.demands
    limit = relation.limit
    if limit is not None:
        item = relation.uses[0]
        low = None if limit.at_least is None else Range.exactly(limit.at_least)
        high = None if limit.at_most is None else Range.exactly(limit.at_most)
        found = demands.sharp(item, build)
        title = limit.quantity.replace("_", " ")
        return _held(title, found.value, low, high, demands.measure_of(item), found.evidence)
    rule = requirement(problem, relation)
    if rule is None or rule.subject is None or not demands.speaks(rule.when, build):
        return None
    subject = rule.subject
    found = demands.sharp(subject, build)
    title = (subject.path if subject.source == "part" else subject.name).replace("_", " ").replace(".", " ")
    if rule.one_of:
        return Numbers(title, found.value, " or ".join(rule.one_of), None, WORD, f"{title} ", "one of ")
    ends: list[Range | None] = []
    for end in (rule.at_least, rule.at_most):
        value = None if end is None else demands.sharp(end, build).value
        ends.append(value if isinstance(value, Range) else None)
    return _held(title, found.value, ends[0], ends[1], demands.measure_of(subject), found.evidence)


def requirement(problem: Problem, relation: Relation) -> Requirement | None:
    """The layout's requirement behind a relation."""
    if relation.kind != "requirement":
        return None
    return next((r for r in problem.garage.layout.requirements if r.id == relation.name), None)


def _held(title: str, value: Known, low: Range | None, high: Range | None, measure: str, evidence: Evidence) -> Numbers:
    if not isinstance(value, Range):
        limit = low or high
        says = "at least " if low is not None else "at most "
        return Numbers(title, value, limit, None, measure, f"{title} ", says, evidence)
    held = hold(value, low, high)
    above = float("inf") if low is None else value.lo - low.hi
    below = float("inf") if high is None else high.lo - value.hi
    # Of two limits that are kept the nearer is the one worth naming.
    lower = above <= below if held.verdict is Verdict.FITS else held.lower
    room = -held.gap if held.verdict is Verdict.NO else above if lower else below
    says = "at least " if lower else "at most "
    return Numbers(
        title,
        value,
        low if lower else high,
        room if isfinite(room) else None,
        measure,
        f"{title} ",
        says,
        evidence,
        doubtful=held.verdict is Verdict.CHECK,
    )
