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
    return _ROUNDING * max(1.0, abs(limit))


@dataclass(frozen=True, slots=True)
class Held:
    """A value held against limits: the verdict, which limit decided, and by how much it is missed."""

    verdict: Verdict
    limit: Range | None = None
    lower: bool = True
    gap: float = 0.0


def hold(value: Range, at_least: Range | None, at_most: Range | None) -> Held:
    """Hold a range against limits that may be ranges themselves."""
    worst = Held(Verdict.FITS, at_least or at_most, at_least is not None)
    for limit, lower in ((at_least, True), (at_most, False)):
        if limit is None:
            continue
        sure = value.lo >= limit.hi - hair(limit.hi) if lower else value.hi <= limit.lo + hair(limit.lo)
        never = value.hi < limit.lo - hair(limit.lo) if lower else value.lo > limit.hi + hair(limit.hi)
        if never:
            gap = limit.lo - value.hi if lower else value.lo - limit.hi
            return Held(Verdict.NO, limit, lower, gap)
        if not sure and worst.verdict is Verdict.FITS:
            worst = Held(Verdict.CHECK, limit, lower)
    return worst


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
