"""The ledger in words: what each rule alone rules out, in exact counts."""

from __future__ import annotations

from shared.explained import Ledger

from ..tables import table
from ..words import counted

MOST_RULES = 12


def ledger_lines(ledger: Ledger | None) -> list[str]:
    """The ledger: exact counts, or that something was not counted."""
    if ledger is None:
        return []
    meeting = f"{ledger.meeting:,} meet the goal" if ledger.meeting is not None else "how many meet it was not counted"
    head = f"Why others fail: of {ledger.combinations:,} combinations {meeting}"
    if ledger.not_counted:
        head += f" ({ledger.not_counted})"
    counted_rules = [r for r in ledger.rules if r.alone is not None]
    rows = [
        [
            r.relation,
            share(r.alone or 0, ledger.combinations),
            f"{r.alone:,}",
            f"{r.beyond:,}" if r.beyond else "",
        ]
        for r in counted_rules[:MOST_RULES]
    ]
    lines = [head, *table(["rule", "share", "it alone rules out", "beyond all others"], rows)]
    if len(counted_rules) > MOST_RULES:
        lines.append(f"  and {len(counted_rules) - MOST_RULES} more rules")
    uncounted = len(ledger.rules) - len(counted_rules)
    if uncounted:
        lines.append(f"  {counted(uncounted, 'rule')} not counted: too many parts at once for the steps allowed")
    return lines


def share(count: int, total: int) -> str:
    """A part of a whole in percent; never a round 100 or 0 that is none."""
    tenths = 1000 * count // total
    return f"{tenths // 10}.{tenths % 10} %"
