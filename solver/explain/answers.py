"""Which answer is good enough: what a doubtful side would have to read for a relation to hold."""

from __future__ import annotations

from math import inf

from knowledge.mates import Comparison, limits
from shared.interface import WORD
from shared.printing import show
from shared.ranges import Range
from shared.units import System
from shared.verdict import Reason

from ..problem import Problem
from ..relations import Build, Relation
from ..words import shown


def good_enough(problem: Problem, build: Build, relation: Relation, reason: Reason, units: System) -> str:
    """The readings that would settle a reason in doubt, in words; empty where that cannot be said.

    For a mate these are readings of the side in doubt, for a rule the limit its subject is held to.
    """
    out = shown(reason, relation.severity, units)
    return _of_mate(problem, build, relation, reason, units) or _limit_words(
        out.right.what, out.right.value, out.left.what
    )


def _of_mate(problem: Problem, build: Build, relation: Relation, reason: Reason, units: System) -> str:
    join = next((j for j in problem.garage.layout.joins if j.id == relation.name), None)
    if join is None:
        return ""
    for meeting in problem.mating.meetings(join, build):
        if (meeting.left.who, meeting.right.who) != (reason.left.who, reason.right.who):
            continue
        for comparison in meeting.comparisons:
            names = (comparison.rule.left, comparison.rule.right)
            titles = tuple(meeting.kind.attributes[name].title for name in names)
            if titles == (reason.left.what, reason.right.what):
                return _readings(comparison, titles, units)
    return ""


def _readings(comparison: Comparison, titles: tuple[str, ...], units: System) -> str:
    """What would have to be read on a side in doubt for a comparison to hold, whatever the other side is."""
    rule, one, two = comparison.rule, comparison.left.value, comparison.right.value
    if isinstance(one, str) or isinstance(two, str) or rule.measure == WORD:
        word = one if isinstance(one, str) else two if isinstance(two, str) else ""
        return f"{titles[0]} {word}" if word else ""
    low, high = limits(rule)
    found = []
    if one is not None and (two is None or not two.exact):
        found.append(_between(titles[1], one.hi + low, one.lo + high, rule.measure, units))
    if two is not None and (one is None or not one.exact):
        found.append(_between(titles[0], two.hi - high, two.lo - low, rule.measure, units))
    if one is not None and two is not None and one.exact and two.exact:
        found.append(f"{titles[0]} {show(one, rule.measure, units)} and {titles[1]} {show(two, rule.measure, units)}")
    return ", or ".join(dict.fromkeys(text for text in found if text))


def _between(title: str, low: float, high: float, measure: str, units: System) -> str:
    """A reading between two numbers; nothing where there is none."""
    finer = 1
    if low == -inf:
        return f"{title} at most {show(Range.exactly(high), measure, units, finer=finer)}"
    if high == inf:
        return f"{title} at least {show(Range.exactly(low), measure, units, finer=finer)}"
    return f"{title} {show(Range(low, high), measure, units, finer=finer)}" if low <= high else ""


def _limit_words(word: str, value: str, what: str) -> str:
    return f"{what} {word} {value}" if word in ("at least", "at most", "one of") and value != "unknown" else ""
