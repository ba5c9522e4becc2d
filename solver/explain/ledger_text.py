"""The ledger in words: what each rule alone rules out, in exact counts."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from shared.explained import Ledger

from ..folding import Line
from ..tables import Table
from ..words import and_more, counted

MOST_RULES = 12
LONG = 10**12  # from here on a count has more groups of digits than a person takes in


def ledger_lines(ledger: Ledger | None) -> list[Line]:
    """The ledger: exact counts, or that something was not counted; on a small screen long ones by their size."""
    if ledger is None:
        return []
    meeting = f"{ledger.meeting:,} meet the goal" if ledger.meeting is not None else "how many meet it was not counted"
    head = f"Why others fail: of {ledger.combinations:,} combinations {meeting}"
    if ledger.not_counted:
        head += f" ({ledger.not_counted})"
    counted_rules = [r for r in ledger.rules if r.alone is not None]

    def told(count: Callable[[int], str]) -> list[list[str]]:
        return [
            [
                r.relation,
                share(r.alone or 0, ledger.combinations),
                count(r.alone or 0),
                count(r.beyond) if r.beyond else "",
            ]
            for r in counted_rules[:MOST_RULES]
        ]

    shorter = Table(["rule", "share", "alone rules out", "beyond others"], told(sized))
    whole = Table(["rule", "share", "it alone rules out", "beyond all others"], told("{:,}".format), shorter)
    lines: list[Line] = [head, whole]
    if len(counted_rules) > MOST_RULES:
        lines.append(f"  {and_more(len(counted_rules) - MOST_RULES, 'more rules')}")
    if ledger.meeting == 0 and len(ledger.rules) > 1 and all(r.beyond == 0 for r in ledger.rules):
        lines.append("  whichever one of the rules is left out, none meets the goal")
    uncounted = [r.relation for r in ledger.rules if r.alone is None]
    if uncounted:
        names = uncounted[:MOST_RULES]
        if len(uncounted) > MOST_RULES:
            names.append(and_more(len(uncounted) - MOST_RULES))
        many = counted(len(uncounted), "rule")
        lines.append(f"  not counted: {many}, too many parts at once for the steps allowed: {', '.join(names)}")
    return lines


def sized(count: int) -> str:
    """A count for a small screen: exact where it is short, else its size, which says that it is one.

    >>> sized(43_200), sized(43_200_792_902_612_860_010)
    ('43,200', 'about 4.3 x 10^19')
    """
    if count < LONG:
        return f"{count:,}"
    digits, power = f"{Decimal(count):.1e}".split("e+")
    return f"about {digits} x 10^{power}"


def share(count: int, total: int) -> str:
    """A part of a whole in percent; never a round 100 or 0 that is none."""
    tenths = 1000 * count // total
    return f"{tenths // 10}.{tenths % 10} %"
