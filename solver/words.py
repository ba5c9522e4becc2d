"""Words for people: numbers in the units they asked for, reasons as three short lines."""

from __future__ import annotations

import re
from collections.abc import Iterable

from shared.interface import WORD
from shared.layout import Severity
from shared.printing import finer_between, finer_to_tell, show, show_apart, show_number
from shared.ranges import Range
from shared.shown import Number, ReasonShown, SideShown, VerdictWord
from shared.units import System
from shared.verdict import Reason, Side, Verdict

VERDICT_WORDS: dict[Verdict, VerdictWord] = {
    Verdict.FITS: "fits",
    Verdict.CHECK: "fits if checked",
    Verdict.NO: "does not fit",
}
CLOSING = (
    "swapwright says which checks a build passed; it never calls one safe or legal. Local codes and a licensed "
    "inspection come before the road."
)
OWN_ALTERED = "your own, altered"  # where a part comes from that is on the car and somebody works on


def number(value: Range | None, measure: str, system: System, finer: int = 0) -> Number:
    """A range as it comes out, with so many decimals more."""
    lo, hi = (None, None) if value is None else (value.lo, value.hi)
    return Number(lo=lo, hi=hi, measure=measure, text=show(value, measure, system, finer=finer))


def money(value: Range | None) -> Number:
    """An amount of money as it comes out: a plain number, of whatever money the prices were written in."""
    return number(value, "money", "metric")


def value_text(value: Range | str | None, measure: str, system: System, finer: int = 0) -> str:
    """A value as a person reads it."""
    if isinstance(value, str):
        return value
    if value is None or measure == WORD:
        return "unknown"
    return show(value, measure, system, finer=finer)


def _side(side: Side, system: System, finer: int) -> SideShown:
    return SideShown(
        voice=side.voice,
        who=side.who,
        what=side.what,
        value=value_text(side.value, side.measure, system, finer),
        evidence=None if side.evidence is None else side.evidence.word,
    )


def told_apart(
    left: object, right: object, missed: float | None, measure: str, system: System, beside: float = 0.0
) -> tuple[int, str | None]:
    """With how many decimals more two sides are told, and by how much the rule between them is missed.

    ``missed`` is negative where it is kept.  Unlike numbers of the two print unlike, and what is told between them is
    the difference of what is printed; see :func:`shared.printing.show_apart`.
    """
    if measure == WORD:
        return 0, None
    sides = [value for value in (left, right) if isinstance(value, Range)]
    ends = () if missed is not None and missed > 0.0 else tuple({x for value in sides for x in (value.lo, value.hi)})
    finer = finer_to_tell(ends, measure, system)
    if len(sides) < 2:
        return finer, None if missed is None else show_number(missed, measure, system, finer=finer)
    finer = finer_between(sides[0], sides[1:], measure, system, least=finer)
    if missed is None:
        return finer, None
    return show_apart(sides[0], sides[1], missed, measure, system, beside=beside, finer=finer)


def shown(reason: Reason, severity: Severity, system: System) -> ReasonShown:
    """A reason as it comes out; decimals are added where both sides would print the same."""
    left, right, measure = reason.left.value, reason.right.value, reason.measure
    finer, gap = told_apart(left, right, reason.gap, measure, system, reason.beside)
    beside = show_number(abs(reason.beside), measure, system, finer=finer) if gap and reason.beside else None
    return ReasonShown(
        relation=reason.relation,
        severity=severity,
        verdict=VERDICT_WORDS[reason.verdict],
        says=reason.says,
        left=_side(reason.left, system, finer),
        right=_side(reason.right, system, finer),
        gap=gap,
        beside="" if beside is None else f"with the {beside} it needs" if reason.beside > 0 else f"{beside} allowed",
        source=reason.source,
        needs=reason.needs,
        trouble=reason.trouble,
    )


def sentence(reason: ReasonShown) -> str:
    """A reason in one line: both sides and by how much."""
    left, right = reason.left, reason.right
    if left.value == "unknown" and right.value == "unknown":
        return f"{reason.says}: {', '.join(reason.needs) or right.what}"
    if right.voice in ("the rule demands", "you asked"):
        text = f"{left.what} {left.value} ({left.who}), {right.what} {right.value} ({right.voice})"
    else:
        text = f"{left.what} {left.value} ({left.who}) against {right.what} {right.value} ({right.who})"
    return f"{text}: {off(reason)}" if reason.gap else text


def look(reason: ReasonShown) -> tuple[str, str]:
    """What is to be looked into, and about what; where its figure is not known it is not told as if it were so."""
    needs = "; ".join(reason.needs)
    if reason.verdict != "fits if checked" or reason.left.evidence is None:
        return reason.says, needs or sentence(reason)
    if reason.left.value == "unknown":
        return f"Not known: {reason.says}", f"measure {needs}" if needs else sentence(reason)
    return f"Not sure: {reason.says}", f"{sentence(reason)}; measure {needs}" if needs else sentence(reason)


def off(reason: ReasonShown) -> str:
    """By how much the sides of a reason miss one another; empty where they do not, or nobody can say."""
    beside = f", {reason.beside}" if reason.beside else ""
    return f"{reason.gap} off{beside}" if reason.gap else ""


# What has to be known, as ``free length of Lindel long soft coils (coil-lindel-long)``.
_OF_A_PART = re.compile(r"(?P<what>.+?) of (?P<whom>.+ \([^()]+\))")


def needed(needs: Iterable[str]) -> list[str]:
    """What has to be known, that of one part together.

    >>> needed(["rate of Soft coils (coil-1)", "year 1990 to 1995", "wire of Soft coils (coil-1)"])
    ['rate, wire of Soft coils (coil-1)', 'year 1990 to 1995']
    """
    found: dict[str, list[str]] = {}
    for need in needs:
        match = _OF_A_PART.fullmatch(need)
        whom, what = ("", need) if match is None else (match["whom"], match["what"])
        found.setdefault(whom or need, []).append(what)
    return [whom if whats == [whom] else f"{', '.join(whats)} of {whom}" for whom, whats in found.items()]


def had(donors: Iterable[str], buy: str) -> str:
    """Where a part is to be had: off these cars, or for money alone.

    >>> had(["Tessaly Lindel 1988-1996", "Tessaly Lorn"], "used"), had([], "either")
    ('Tessaly Lindel 1988-1996 or Tessaly Lorn', 'bought used or new')
    """
    return " or ".join(donors) or {"new": "bought new", "used": "bought used"}.get(buy, "bought used or new")


def and_more(count: int, what: str = "more") -> str:
    """That a list goes on, and where all of it is: nothing is left out without a way to see it."""
    return f"and {count} {what} (--json has them)"


def counted(count: int, word: str) -> str:
    """A number of things in words."""
    return f"{count:,} {word}{'' if count == 1 else 's'}"
