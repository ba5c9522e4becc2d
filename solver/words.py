"""Words for people: numbers in the units they asked for, reasons as three short lines."""

from __future__ import annotations

from shared.interface import WORD
from shared.layout import Severity
from shared.ranges import Range
from shared.shown import Number, ReasonShown, SideShown, VerdictWord
from shared.units import System, finer_between, finer_to_tell, show, show_number
from shared.verdict import Reason, Side, Verdict

VERDICT_WORDS: dict[Verdict, VerdictWord] = {
    Verdict.FITS: "fits",
    Verdict.CHECK: "fits if checked",
    Verdict.NO: "does not fit",
}
OWN_ALTERED = "your own, altered"  # where a part comes from that is on the car and somebody works on


def number(value: Range | None, measure: str, system: System, finer: int = 0) -> Number:
    """A range as it comes out, with so many decimals more."""
    lo, hi = (None, None) if value is None else (value.lo, value.hi)
    return Number(lo=lo, hi=hi, measure=measure, text=show(value, measure, system, finer=finer))


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


def finer_for(left: object, right: object, missed: float | None, measure: str, system: System) -> int:
    """How many decimals more two sides need so that none of their unlike numbers print alike.

    Where one is ``missed`` by the other, that is not to print as nothing; else the ends of one side are told apart too.
    """
    if measure == WORD:
        return 0
    sides = [value for value in (left, right) if isinstance(value, Range)]
    apart = {0.0, missed} if missed else {x for value in sides for x in (value.lo, value.hi)}
    finer = finer_to_tell(tuple(apart), measure, system)
    return finer_between(sides[0], sides[1:], measure, system, least=finer) if len(sides) == 2 else finer


def shown(reason: Reason, severity: Severity, system: System) -> ReasonShown:
    """A reason as it comes out; decimals are added where both sides would print the same."""
    missed = reason.gap if reason.verdict is Verdict.NO else None
    finer = finer_for(reason.left.value, reason.right.value, missed, reason.measure, system)
    gap = None if reason.gap is None else show_number(reason.gap, reason.measure, system, finer=finer)
    return ReasonShown(
        relation=reason.relation,
        severity=severity,
        verdict=VERDICT_WORDS[reason.verdict],
        says=reason.says,
        left=_side(reason.left, system, finer),
        right=_side(reason.right, system, finer),
        gap=gap,
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
    if reason.gap:
        text += f": {reason.gap} off"
    return text


def counted(count: int, word: str) -> str:
    """A number of things in words."""
    return f"{count:,} {word}{'' if count == 1 else 's'}"
