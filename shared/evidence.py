"""How a value is known, and a value together with how it is known."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum

from .ranges import Range


class Evidence(IntEnum):
    """How a value is known; a larger number is better known."""

    GUESSED = 1
    CLAIMED = 2
    PUBLISHED = 3
    MARKED = 4
    MEASURED = 5

    @property
    def word(self) -> str:
        """The word people use, as in the files."""
        return "marked on the part" if self is Evidence.MARKED else self.name.lower()


EVIDENCE_WORDS = {**{e.name.lower(): e for e in Evidence}, "marked on the part": Evidence.MARKED}


@dataclass(frozen=True, slots=True)
class Value:
    """A value as somebody stated it.

    ``value`` is a :class:`Range` in SI, a word, or ``None`` when unknown.  ``text`` is what the person
    wrote and is what is written back.
    """

    value: Range | str | None
    text: str
    evidence: Evidence = Evidence.CLAIMED
    note: str = ""

    @property
    def known(self) -> bool:
        """Whether anything at all is known."""
        return self.value is not None


UNKNOWN = Value(None, "unknown", Evidence.GUESSED)
