"""A value held against limits, which may be ranges themselves."""

from __future__ import annotations

from dataclasses import dataclass

from knowledge.layouts import EFFORT
from shared.layout import Requirement
from shared.ranges import Range
from shared.verdict import Verdict

# Limits are kept to within rounding: a part in a thousand million.
_ROUNDING = 1e-9


def hair(limit: float) -> float:
    """How far a limit may be passed without being broken: what rounding leaves."""
    return _ROUNDING * (size if (size := abs(limit)) > 1.0 else 1.0)


@dataclass(frozen=True, slots=True)
class Held:
    """A value held against limits: the verdict, which limit decided, and by how much it is missed."""

    verdict: Verdict
    limit: Range | None = None
    lower: bool = True
    gap: float = 0.0


def verdict_on(value: Range, at_least: Range | None, at_most: Range | None) -> Verdict:
    """The verdict on a range held against limits that may be ranges themselves."""
    verdict = Verdict.FITS
    if at_least is not None:
        if value.hi < at_least.lo - hair(at_least.lo):
            return Verdict.NO
        if value.lo < at_least.hi - hair(at_least.hi):
            verdict = Verdict.CHECK
    if at_most is not None:
        if value.lo > at_most.hi + hair(at_most.hi):
            return Verdict.NO
        if value.hi > at_most.lo + hair(at_most.lo):
            verdict = Verdict.CHECK
    return verdict


def hold(value: Range, at_least: Range | None, at_most: Range | None) -> Held:
    """The same with what decided it; the lower limit comes first."""
    verdict = verdict_on(value, at_least, at_most)
    lower = at_least is not None and (at_most is None or verdict_on(value, at_least, None) is verdict)
    limit = at_least if lower else at_most
    gap = 0.0
    if verdict is Verdict.NO and limit is not None:
        gap = limit.lo - value.hi if lower else value.lo - limit.hi
    return Held(verdict, limit, lower, gap)


def plain(rule: Requirement) -> tuple[str, Range | None, Range | None] | None:
    """The quantity and the limits of a rule that holds one quantity against numbers whatever is fitted or changed."""
    subject, when = rule.subject, rule.when
    if subject is None or subject.source != "quantity" or subject.name in EFFORT or rule.one_of:
        return None
    if when.changed or when.fitted or when.words:
        return None
    limits: list[Range | None] = []
    for end in (rule.at_least, rule.at_most):
        value = None if end is None or end.source != "literal" or end.value is None else end.value.value
        if end is not None and not isinstance(value, Range):
            return None
        limits.append(value if isinstance(value, Range) else None)
    return subject.name, limits[0], limits[1]
