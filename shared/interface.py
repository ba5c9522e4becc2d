"""Interface kinds: where two things meet, what is known there, and when they mate."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from .reading import Read

WORD = "word"

Written = Literal["tyre code"]
Rule = Literal["same", "equal", "at_least", "at_most", "goes_into"]


@dataclass(frozen=True)
class Attribute:
    """One attribute: a measure (or a word out of ``one_of``), the side that has it, how a person reads it.

    ``valid`` is what it may be stated as or read to be, ends included; ``None`` where anything goes.  ``written`` is
    the form a word has to have.  Where a ``required`` one is not stated, `check` says so.
    """

    name: str
    measure: str
    about: str = ""
    one_of: tuple[str, ...] = ()
    on: str | None = None
    read: str = ""
    uncertainty: float = 0.0
    required: bool = False
    valid: Read | None = None
    written: Written | None = None

    @property
    def title(self) -> str:
        """The name as a person says it."""
        return self.name.replace("_", " ")


@dataclass(frozen=True)
class MateRule:
    """One comparison of a mate.

    ``left`` and ``right`` are attribute names, taken from the first and the second side of the interface
    kind.  ``low`` and ``high`` are, in SI: for *equal* the tolerance (``high``); for *at least* and *at
    most* the margin owed (``low``); for *goes into* the clearance that must be left (``low`` to ``high``).
    """

    rule: Rule
    left: str
    right: str
    low: float
    high: float
    measure: str
    why: str
    source: str


@dataclass(frozen=True)
class InterfaceKind:
    """A kind of interface.  ``sides`` is empty where both sides are alike."""

    name: str
    about: str
    sides: tuple[str, ...]
    attributes: Mapping[str, Attribute]
    rules: tuple[MateRule, ...]

    def of_side(self, side: str | None) -> dict[str, Attribute]:
        """The attributes that a port on a side has: its own, and those both sides have.

        >>> bore, stud = Attribute("bore", "length", "", on="wheel"), Attribute("stud", "length", "")
        >>> face = InterfaceKind("face", "", ("hub", "wheel"), {"bore": bore, "stud": stud}, ())
        >>> list(face.of_side("wheel")), list(face.of_side("hub"))
        (['bore', 'stud'], ['stud'])
        """
        return {name: attribute for name, attribute in self.attributes.items() if attribute.on in (None, side)}


@dataclass(frozen=True)
class Port:
    """A place on a part or on the body where an interface kind is met, and the side it plays there."""

    name: str
    interface: str
    side: str | None


@dataclass(frozen=True)
class PartKind:
    """A kind of part: which properties and ports its members may have."""

    name: str
    about: str
    properties: Mapping[str, Attribute]
    ports: Mapping[str, Port]
    recognise: str = ""
    leave_when: tuple[str, ...] = field(default=())
    always_new: tuple[str, ...] = field(default=())
