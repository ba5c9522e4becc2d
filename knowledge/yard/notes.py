"""What the notes of a car in a yard say about its parts: what is gone, and what may have been harmed.

The words stand in ``notes.csv``: ``gone`` rows name things that *no ...*, *... missing*, *... out* and the like
take away; ``harm`` rows name what befell the car, and which part kinds have to be looked at because of it; ``before``
rows are for every car.  A clause that says *front* or *rear* speaks of that end only.
"""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Literal

_GONE_BEFORE = r"(?:no|without|minus)"
_GONE_AFTER = (
    r"(?:(?:is|are|were|was|all|both|already)\s+)*(?:gone|missing|out|cut|off|sold|removed|pulled|taken|stripped)"
)
_STANDS = re.compile(r"\b(?:whole|good|fine|untouched|still in|still there|ok|straight)\b")


@dataclass(frozen=True)
class NoteRule:
    """One row of the table: the words to look for, the part kinds it is about, and what it says."""

    sort: Literal["gone", "harm", "before"]
    pattern: re.Pattern[str] | None
    kinds: frozenset[str]
    says: str
    source: str


@dataclass(frozen=True)
class NoteSaid:
    """What a clause of a car's notes means for part kinds at one end of the car, or at both (``end`` empty)."""

    gone: bool
    kinds: frozenset[str]
    end: Literal["", "front", "rear"]
    says: str
    clause: str

    def concerns(self, kind: str, forward: float) -> bool:
        """Whether it is about a part of that kind at a position ``forward`` metres from the car's middle."""
        if kind not in self.kinds:
            return False
        return not self.end or forward == 0.0 or (forward > 0.0) == (self.end == "front")


@cache
def note_rules() -> tuple[NoteRule, ...]:
    """Every row of the table, in its order."""
    found = []
    with Path(__file__).with_name("notes.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            words = "|".join(re.escape(w) for w in row["words"].split("|"))
            sort: Literal["gone", "harm", "before"] = (
                "gone" if row["sort"] == "gone" else "harm" if row["sort"] == "harm" else "before"
            )
            text = rf"\b{_GONE_BEFORE}\s+(?:{words})\b|\b(?:{words})\s+{_GONE_AFTER}\b" if sort == "gone" else words
            pattern = None if sort == "before" else re.compile(text if sort == "gone" else rf"\b(?:{words})\b")
            found.append(NoteRule(sort, pattern, frozenset(row["kinds"].split("|")), row["says"], row["source"]))
    return tuple(found)


def before_all() -> tuple[str, ...]:
    """What is done at every car before anything is taken off."""
    return tuple(r.says for r in note_rules() if r.sort == "before")


def said_of(notes: str) -> tuple[NoteSaid, ...]:
    """What the notes say, clause by clause.

    >>> [s.says for s in said_of("no wheels, front corner hit")][0]
    'the wheels are gone'
    """
    found = []
    for clause in re.split(r"[,;.()]|\band\b|\bbut\b", notes.lower()):
        text = " ".join(clause.split())
        for rule in note_rules():
            if rule.pattern is None or not rule.pattern.search(text):
                continue
            if rule.sort == "harm" and _STANDS.search(text):
                continue
            front, rear = "front" in text, "rear" in text or "back" in text
            end: Literal["", "front", "rear"] = "front" if front and not rear else "rear" if rear and not front else ""
            found.append(NoteSaid(rule.sort == "gone", rule.kinds, end, rule.says, text))
    return tuple(found)
