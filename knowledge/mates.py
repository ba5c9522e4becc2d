"""Do two interfaces mate?  One comparison for each rule of the interface kind, each with its reason."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from shared.evidence import UNKNOWN, Value
from shared.interface import WORD, InterfaceKind, MateRule
from shared.ranges import Range
from shared.verdict import Verdict

# Two values in different units are the same length even where binary fractions are not: a hair of a nanometre.
HAIR = 1e-9


@dataclass(frozen=True, slots=True)
class Comparison:
    """The outcome of one rule: the verdict, both values, and by how much the rule is missed (SI, 0 if it is not).

    ``beside`` is what of that the rule asks for between them (a clearance) or, negative, the difference it allows.
    For *fits if checked*, ``good`` is the range of the left value that would be good enough, the right being
    what it is known to be (``None`` where that cannot be said).
    """

    rule: MateRule
    verdict: Verdict
    left: Value
    right: Value
    gap: float
    good: Range | None = None
    beside: float = 0.0


def limits(rule: MateRule) -> tuple[float, float]:
    """The limits of ``right - left`` within which the rule holds."""
    if rule.rule == "equal":
        return -rule.high, rule.high
    if rule.rule == "goes_into":
        return rule.low, rule.high
    if rule.rule == "at_least":
        return float("-inf"), -rule.low
    if rule.rule == "at_most":
        return rule.low, float("inf")
    return 0.0, 0.0


def compare(rule: MateRule, left: Value, right: Value) -> Comparison:
    """Judge one rule on the values of both sides."""
    one, two = left.value, right.value
    if one is None or two is None:
        return Comparison(rule, Verdict.CHECK, left, right, 0.0)
    if rule.measure == WORD or isinstance(one, str) or isinstance(two, str):
        same = _said(one) == _said(two)
        return Comparison(rule, Verdict.FITS if same else Verdict.NO, left, right, 0.0)
    low, high = limits(rule)
    difference = two - one
    if low - HAIR <= difference.lo and difference.hi <= high + HAIR:
        return Comparison(rule, Verdict.FITS, left, right, 0.0)
    if difference.hi < low - HAIR:
        return Comparison(rule, Verdict.NO, left, right, low - difference.hi, beside=low)
    if difference.lo > high + HAIR:
        return Comparison(rule, Verdict.NO, left, right, difference.lo - high, beside=-high)
    return Comparison(rule, Verdict.CHECK, left, right, 0.0, _good(one, two, low, high))


def _good(one: Range, two: Range, low: float, high: float) -> Range | None:
    """Left values that satisfy the rule whatever the right one turns out to be."""
    least, most = two.hi - high, two.lo - low
    least, most = max(least, one.lo), min(most, one.hi)
    return Range(least, most) if least <= most else None


def _said(value: Range | str) -> str:
    if isinstance(value, str):
        return " ".join(value.lower().split())
    return f"{value.lo!r} {value.hi!r}"


def compare_all(kind: InterfaceKind, left: Mapping[str, Value], right: Mapping[str, Value]) -> tuple[Comparison, ...]:
    """Judge every rule of an interface kind; ``left`` is the side the kind names first."""
    return tuple(compare(rule, left.get(rule.left, UNKNOWN), right.get(rule.right, UNKNOWN)) for rule in kind.rules)
