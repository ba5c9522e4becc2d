"""Spans: what inputs can be over many builds at once, and what that makes of the quantities computed from them.

Invariant: for every one of the builds the value lies in the span.  ``UNKNOWN`` says that none of them has a value
(which refuses nothing), :class:`Open` that nothing can be said of all of them together.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import product, zip_longest
from math import inf
from typing import Final, Literal

from knowledge.computing.dataflow import Dataflow
from knowledge.computing.quantities import Result
from knowledge.formulas import Formula, formulas
from shared.errors import FormulaError
from shared.layout import Call, Input, Requirement, Way
from shared.ranges import Range
from shared.verdict import Verdict

from ..holding import verdict_on


class Blank(Enum):
    """Values that are none: nothing is known, or no such thing can be (which refuses)."""

    UNKNOWN = "unknown"
    IMPOSSIBLE = "impossible"


# About what one search inside costs, in formulas worked out at one point.
SEARCHED = 80
UNKNOWN: Final = Blank.UNKNOWN
Said = Range | str | Blank


@dataclass(frozen=True)
class Open:
    """Not the same for all of the builds: ``at`` is the input they have to be told apart by, where it is one."""

    at: Input | None = None


Span = Range | frozenset[str] | Literal[Blank.UNKNOWN] | Open
Known = dict[Input, Span]


def said(result: Result) -> Said:
    """What a result says."""
    if result.value is not None:
        return result.value
    return Blank.IMPOSSIBLE if result.impossible else UNKNOWN


def span_of(values: Iterable[Said], at: Input | None = None) -> Span:
    """The span of the values of one input.

    >>> span_of([Range(1.0, 2.0), Range(4.0, 4.0)])
    Range(lo=1.0, hi=4.0)
    >>> sorted(span_of(["disc", "drum", "disc"]))
    ['disc', 'drum']
    """
    lo, hi = inf, -inf
    words: set[str] = set()
    unknown = 0
    for value in values:
        if isinstance(value, Range):
            lo, hi = min(lo, value.lo), max(hi, value.hi)
        elif isinstance(value, str):
            words.add(value)
        elif value is UNKNOWN:
            unknown = 1
        else:
            return Open(at)
    if unknown + bool(words) + (lo <= hi) != 1:
        return Open(at)
    return UNKNOWN if unknown else frozenset(words) if words else Range(lo, hi)


@dataclass
class Spans:
    """Computes spans of quantities; ``work`` is what that has cost, in formulas worked out at one point."""

    flow: Dataflow
    work: int = 0

    def quantity(self, name: str, known: Known) -> Span:
        """The span of a quantity over the spans of its inputs."""
        for way, _ in self.flow.layout.quantities[name].ways:
            found = self._way(way, known)
            if found is not UNKNOWN:
                return found
        return UNKNOWN

    def _way(self, way: Way, known: Known) -> Span:
        if isinstance(way, Input):
            return known[way]
        if isinstance(way, Call):
            return self._call(way, known)
        by = known[way.by]
        if isinstance(by, Open) or by is UNKNOWN:
            return by
        if not isinstance(by, frozenset):
            return Open(way.by)
        return _together(
            [self._way(way.ways[word], known) if word in way.ways else UNKNOWN for word in sorted(by)], way.by
        )

    def _call(self, call: Call, known: Known) -> Span:
        inputs = [known[item] for item in call.inputs]
        for span in inputs:
            if isinstance(span, Open):
                return span
        if UNKNOWN in inputs:
            return UNKNOWN
        formula = formulas()[call.formula]
        for name, item, span in zip(formula.names, call.inputs, inputs, strict=False):
            if name in formula.valid and isinstance(span, Range):
                low, high = formula.valid[name]
                if span.hi < low or span.lo > high:
                    return UNKNOWN
                if span.lo < low or span.hi > high:
                    return Open(item)
        listed: list[list[Range | str]] = [
            [span] if isinstance(span, Range) else [*sorted(span)]
            for span in inputs
            if isinstance(span, Range | frozenset)
        ]
        found: list[Span] = []
        try:
            for arguments in product(*listed):
                self.work += _cost(formula, arguments)
                found.append(self.flow.bounds(call.formula, arguments))
        except FormulaError:
            return Open()
        return _together(found, None)


def _cost(formula: Formula, arguments: Sequence[Range | str]) -> int:
    """How often a formula is worked out, about, for its bounds."""
    wide = [
        name
        for name, value in zip_longest(formula.names, arguments, fillvalue="values")
        if isinstance(value, Range) and not value.exact
    ]
    turning = [
        name for name in wide if name not in formula.rises | formula.falls | formula.one_way | formula.turns_at.keys()
    ]
    return SEARCHED if turning else 2 if wide else 1


def _together(spans: Sequence[Span], at: Input | None) -> Span:
    """The span of builds that have one or another of some spans, ``at`` being what tells them apart."""
    if len(spans) == 1:
        return spans[0]
    if all(span is UNKNOWN for span in spans):
        return UNKNOWN
    ranges = [span for span in spans if isinstance(span, Range)]
    return span_of(ranges) if len(ranges) == len(spans) else Open(at)


def judged(rule: Requirement, known: Known) -> Verdict | Open:
    """The verdict of a rule that speaks on everything in the spans of its inputs, *no* or *fits* being sure of all.

    *Check* says that some may be refused, though all have a value.  What is unknown refuses nothing.
    """
    assert rule.subject is not None
    spans = [known[item] for item in (rule.subject, rule.at_least, rule.at_most) if item is not None]
    for span in spans:
        if isinstance(span, Open):
            return span
    if UNKNOWN in spans:
        return Verdict.FITS
    found = spans[0]
    if rule.one_of or isinstance(found, frozenset):
        good = [word in rule.one_of for word in found] if isinstance(found, frozenset) else [False]
        return Verdict.FITS if all(good) else Open(rule.subject) if any(good) else Verdict.NO
    limits = iter(spans[1:])
    low = None if rule.at_least is None else next(limits)
    high = None if rule.at_most is None else next(limits)
    if isinstance(found, Range) and isinstance(low, Range | None) and isinstance(high, Range | None):
        return verdict_on(found, low, high)
    return Open()
