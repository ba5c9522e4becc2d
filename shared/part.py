"""Parts, where they come from, and what can be done to them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from .evidence import UNKNOWN, Evidence, Value
from .ranges import Range

Buy = Literal["used", "new", "either"]
NOTHING = Range(0.0, 0.0)


@dataclass(frozen=True)
class Donor:
    """A pattern of cars that carry a part: one of ``engines`` and ``trims``, all ``options``, nothing ``excluded``.

    Empty ``engines``, ``trims`` or ``options`` mean *any*.  ``excluded`` names years, engines, trims or options.
    """

    make: str
    model: str
    first_year: int | None = None
    last_year: int | None = None
    engines: tuple[str, ...] = ()
    trims: tuple[str, ...] = ()
    options: tuple[str, ...] = ()
    excluded: tuple[str, ...] = ()
    numbers: tuple[str, ...] = ()
    recognise: str = ""

    @property
    def key(self) -> str:
        """What one walks up to in the yard: the make, model, years, engines and trims."""
        years = f" {self.first_year or '?'}-{self.last_year or '?'}" if self.first_year or self.last_year else ""
        more = "/".join((*self.engines, *self.trims, *self.options))
        return f"{self.make} {self.model}{years}{' ' + more if more else ''}"


@dataclass(frozen=True)
class Place:
    """Where something was written."""

    file: str
    line: int


@dataclass(frozen=True, eq=False)
class Part:
    """A part that can fill one of its ``positions``.

    ``id`` is unique in a catalogue.  ``ports`` maps a port's name to its attributes, or to ``None`` where the
    part is known to have no such port (a disc brake has no place for a wheel cylinder).  ``host`` names the
    assembly the part comes with, if it cannot be had alone at that price.  ``altered`` lists the
    alterations that made this variant out of ``base``; ``altering_price`` and ``altering_hours`` are what they
    cost without the part itself, and all that counts where it is the car's ``own`` part that is altered.  ``core``
    is what is asked on top of the price until the old part is brought back.
    """

    id: str
    name: str
    kind: str
    positions: tuple[str, ...]
    ports: Mapping[str, Mapping[str, Value] | None]
    properties: Mapping[str, Value]
    donors: tuple[Donor, ...] = ()
    price: Range | None = NOTHING
    hours: Range = NOTHING
    skill: int = 1
    buy: Buy = "either"
    evidence: Evidence = Evidence.CLAIMED
    brings: Mapping[str, str] = field(default_factory=dict)
    host: str | None = None
    base: str | None = None
    altered: tuple[str, ...] = ()
    altering_price: Range = NOTHING
    altering_hours: Range = NOTHING
    own: bool = False
    adapter: bool = False
    cautions: tuple[str, ...] = ()
    note: str = ""
    place: Place | None = None
    core: Range | None = None

    @property
    def called(self) -> str:
        """The part as somebody is sent to it: its name and the id its piece is measured under."""
        return f"{self.name} ({self.id if self.host else self.base or self.id})"

    def attribute(self, path: str) -> Value:
        """The value at ``property`` or ``port.attribute``; :data:`UNKNOWN` where nothing is said."""
        port, dot, name = path.partition(".")
        if not dot:
            return self.properties.get(path, UNKNOWN)
        return (self.ports.get(port) or {}).get(name, UNKNOWN)
