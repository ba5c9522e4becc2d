"""Numbers with units, as people write them.

The number is read by a small grammar and the unit by the closed table of its measure; no text a person wrote ever
reaches a unit library's own parser, which reads ``4 1/2 in`` as 2 in and ``12,5 mm`` as 125 mm.

    quantity = value [unit] | value [unit] "to" value [unit] | value [unit] "+/-" value [unit]
    limits   = "at least" one | "at most" one | "exactly" one | quantity that is a range

where a value is as :mod:`shared.numerals` says and ``one`` a quantity of one number.  ``to`` may be an en dash
before a digit (``40–60 mm``), since that is all an en dash there can mean; a hyphen may not, for it is also a
minus and the joint of ``4-1/2``.  ``±`` and ``+-`` are other ways to write ``+/-``.  A unit at the end counts for
both numbers; each may also carry its own, of the same measure.

Everything else is refused with a mend, never guessed: commas, spaces between digits, exponents, arithmetic,
look-alikes of digits, inverted ranges, units of another measure, numbers that lack or must not have a unit.

The arithmetic is exact until the end, so ``4.5 in`` and ``114.3 mm`` give the very same float.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction
from functools import lru_cache
from typing import TypeVar

from shared.errors import SwapwrightError
from shared.numerals import Refused, refuse_lookalikes, split_number, tidy
from shared.ranges import Range
from shared.units import Measure, dimension_of, measures

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Read:
    """What was read: the value in SI, the text as the person wrote it, the unit's spelling (empty if none)."""

    value: Range
    text: str
    unit: str


@dataclass(frozen=True, slots=True)
class Limits:
    """What a line of a goal allows, in SI; ``None`` where that side is open; and the text as it was written."""

    at_least: float | None
    at_most: float | None
    text: str


class ReadingError(SwapwrightError, ValueError):
    """A text that is not a quantity: what was found, what was expected, and how to mend it where that is clear."""

    def __init__(self, found: str, expected: str, mend: str | None = None) -> None:
        super().__init__(found, expected, mend)
        self.found = found
        self.expected = expected
        self.mend = mend

    def __str__(self) -> str:
        text = f"found {self.found}, expected {self.expected}"
        return f"{text}; {self.mend}" if self.mend else text


@lru_cache(maxsize=20_000)  # a catalogue says the same few thousand values again and again
def read_quantity(text: str, measure: str) -> Read:
    """Read one value of ``measure``; :class:`ReadingError` if it is not one, ``KeyError`` for an unknown measure."""
    value, unit = _read(text, measures()[measure], _quantity)
    return Read(value, text, unit)


def read_limits(text: str, measure: str) -> Limits:
    """Read a goal's limits on ``measure``; errors as for :func:`read_quantity`."""
    at_least, at_most = _read(text, measures()[measure], _limits)
    return Limits(at_least, at_most, text)


# Telling a refusal ------------------------------------------------------------------------------------------------


def _read(text: str, table: Measure, grammar: Callable[[str, Measure], T]) -> T:
    """Read by a grammar, and tell the person if that is refused."""
    try:
        return grammar(tidy(text), table)
    except Refused as refused:
        meant = [f'"{one}"' for one in _readable(refused.meant, table, grammar)[:4]]
        mend = f"did you mean {' or '.join(meant)}?" if meant else refused.advice or None
        found = f'"{_printable(text)}"{refused.is_a}' if text.strip() else "nothing"
        expected = refused.expected.replace("CALLED", _called(table))
    raise ReadingError(found, expected, mend)


def _readable(texts: tuple[str, ...], table: Measure, grammar: Callable[[str, Measure], T], deep: int = 3) -> list[str]:
    """Those of the texts that can be read; for one that cannot, those it may have meant in turn."""
    good: list[str] = []
    for text in texts:
        try:
            grammar(tidy(text), table)
            good.append(tidy(text))
        except Refused as refused:
            if deep:
                good += _readable(refused.meant, table, grammar, deep - 1)
    return list(dict.fromkeys(good))


def _printable(text: str) -> str:
    shown = text if len(text) <= 60 else text[:57] + "..."
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in shown)


def _called(table: Measure) -> str:
    """A measure and how it is written: ``a length in mm, cm, m, km, in, ft or mile``."""
    units = [unit for unit in table.offered if unit]
    ways = ["a plain number"] * ("" in table.exact) + [", ".join(units[:-1])] * (len(units) > 1) + units[-1:]
    return f"{table.called}, {' or '.join(ways)}" if "" in table.exact else f"{table.called} in {' or '.join(ways)}"


# Quantities -------------------------------------------------------------------------------------------------------

_JOINT = re.compile(r"( to |\+/-|±|\+-|–(?= ?[.0-9]))")


@dataclass(frozen=True, slots=True)
class _Half:
    """One number of a quantity with its unit: both as written, and the number's value."""

    written: str
    number: Fraction
    unit: str

    def __str__(self) -> str:
        return self.with_unit(self.unit)

    def with_unit(self, unit: str) -> str:
        """The half as text, with another unit."""
        return f"{self.written} {unit}".strip()


def _quantity(text: str, table: Measure) -> tuple[Range, str]:
    """The value in SI and its unit's spelling."""
    refuse_lookalikes(text)
    one, joint, two = _cut(text)
    if two is None:
        value = _si(one, table)
        return _range(value, value), one.unit
    if one.unit and not two.unit:
        raise Refused(
            "CALLED, with the unit behind the last number", f"{one.written} {joint} {two.with_unit(one.unit)}"
        )
    tail = f" {joint} {two}"
    try:
        low = _si(_Half(one.written, one.number, one.unit or two.unit), table)
    except Refused as refused:
        raise refused.within(lambda half: half + tail) from None
    try:
        factor, _ = _unit(two, table)
        high = _si(two, table)
    except Refused as refused:
        raise refused.within(lambda half: f"{one} {joint} {half}") from None
    unit = one.unit or two.unit
    if joint == "to":
        if low > high:
            raise Refused("CALLED, the lower end first", f"{two} to {one.with_unit(unit)}")
        return _range(low, high), unit
    if two.written[0] in "+-":
        raise Refused("CALLED, with an uncertainty without a sign", f"{one} {joint} {str(two)[1:]}")
    spread = two.number * factor
    if table.whole and spread > low:
        raise Refused("CALLED, not reaching below 0")
    return _range(low - spread, low + spread), unit


def _cut(text: str) -> tuple[_Half, str, _Half | None]:
    """Cut a quantity at its ``to`` or ``+/-``, if it has one."""
    small = re.sub(" to ", " to ", text, flags=re.I)
    if small != text:
        raise Refused('CALLED, with a small "to"', small)
    parts = _JOINT.split(text)
    if len(parts) > 3:
        raise Refused("CALLED: one number, one range, or one number with its uncertainty")

    def half(i: int) -> _Half:
        if len(parts) > 1 and not parts[i].strip():
            raise Refused(f"CALLED, with a number on both sides of {parts[1].strip()}")
        try:
            return _Half(*split_number(parts[i].strip()))
        except Refused as refused:
            ahead, behind = "".join(parts[:i]), "".join(parts[i + 1 :])
            raise refused.within(lambda one: f"{ahead} {one} {behind}") from None

    if len(parts) == 1:
        return half(0), "", None
    return half(0), "to" if parts[1] in (" to ", "–") else "+/-", half(2)


def _range(lo: Fraction, hi: Fraction) -> Range:
    return Range(float(lo), float(hi))


# Units ------------------------------------------------------------------------------------------------------------


def _si(half: _Half, table: Measure) -> Fraction:
    """The value in SI, the number held against what the measure allows."""
    factor, offset = _unit(half, table)
    if table.whole and (half.number.denominator != 1 or half.number < 0):
        raise Refused("CALLED: a whole number from 0 up")
    limit = table.plain_limit
    if not half.unit and limit is not None and abs(half.number) > limit:
        raise Refused(f"CALLED: from -{limit} to {limit} without a unit", half.with_unit(table.metric.unit))
    return half.number * factor + offset


def _unit(half: _Half, table: Measure) -> tuple[Fraction, Fraction]:
    """Factor and offset of a number's unit."""
    unit = half.unit
    if unit in table.exact:
        return table.exact[unit]
    if not unit:
        raise Refused("CALLED, with its unit", half.with_unit(table.metric.unit), half.with_unit(table.us.unit))
    others = [other for other in measures().values() if unit in other.exact]
    if others:
        # Of two measures of one dimension (bar for a stress) the table tells them apart, the dimension cannot.
        # A pound or kilogram where a force is wanted is most likely the force of that weight.
        dimension = dimension_of(unit)
        alike = dimension is None or dimension == dimension_of(table.metric.unit)
        name = others[0].name if alike else dimension or ""
        raise Refused("CALLED", half.with_unit(unit + "f"), is_a=f", {measures()[name].called}")
    if any(c.isdecimal() for c in unit) and unit.startswith(tuple(one + " " for one in table.exact if one)):
        raise Refused("CALLED, in one unit")
    near = [half.with_unit(one) for one in _near(unit, table)]
    raise Refused("CALLED", *near, advice=f'"{_printable(unit)}" is not a unit known here')


def _near(unit: str, table: Measure) -> list[str]:
    """The spellings a unit may have been meant for: the same but for case and spaces, its first word, the nearest."""
    spellings = [one for one in table.exact if one]
    if not spellings:
        return [""]
    near = [one for one in spellings if _loosely(one) == _loosely(unit)]
    near = near or [one for one in spellings if unit.startswith(f"{one} ")]
    return near or get_close_matches(unit, spellings, 2, 0.6)


def _loosely(unit: str) -> str:
    return unit.casefold().replace(" ", "").rstrip(".")


# Limits -----------------------------------------------------------------------------------------------------------

_BOUND = re.compile(r"(at least|at most|exactly) (.*)")
_OTHER_WORDS = {
    "at least": r"at least|>=|≥|=>|>|min\.?|minimum|no(?:t)? less than|not under|over|above|more than|from",
    "at most": r"at most|<=|≤|=<|<|max\.?|maximum|no(?:t)? more than|not over|under|below|less than|up to",
    "exactly": r"exactly|==|=|equal to|equals|just",
}


def _limits(text: str, table: Measure) -> tuple[float | None, float | None]:
    match = _BOUND.fullmatch(text)
    if match is None:
        return _span(text, table)
    word, rest = match.groups()
    both = re.fullmatch(r"(.*?),? and at most (.*)", rest)
    if both and word == "at least":
        raise Refused('CALLED, with "to" between the two limits', f"{both[1]} to {both[2]}")
    try:
        value, _ = _quantity(rest, table)
    except Refused as refused:
        raise refused.within(lambda one: f"{word} {one}") from None
    if _JOINT.search(rest):
        raise Refused(f"one number after {word}", rest)
    return (value.lo if word != "at most" else None), (value.hi if word != "at least" else None)


def _span(text: str, table: Measure) -> tuple[float, float]:
    """Limits on both sides, written as a range."""
    for word, others in _OTHER_WORDS.items():
        match = re.fullmatch(rf"(?:{others})(?![a-z]) ?(.*)", text, re.I)
        if match:
            meant = match[1] if _JOINT.search(match[1]) else f"{word} {match[1]}"
            raise Refused('"at least", "at most" or "exactly", then CALLED', meant)
    between = re.fullmatch(r"between (.*) and (.*)", text, re.I)
    if between:
        raise Refused('CALLED, with "to" between the two limits', f"{between[1]} to {between[2]}")
    value, _ = _quantity(text, table)
    if not _JOINT.search(text):
        meant = (f"{word} {text}" for word in _OTHER_WORDS)
        raise Refused('limits: "at least", "at most" or "exactly" before the number, or two numbers', *meant)
    return value.lo, value.hi
