"""Wear limits: when a used piece is left where it is, and a car is not driven."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from .evidence import Value
from .interface import Attribute
from .ranges import Range


class Described(Protocol):
    """A part, or the car: what can be asked for its attributes."""

    def attribute(self, path: str, /) -> Value:
        """The value at a path; unknown where nothing is said."""
        ...


@dataclass(frozen=True, slots=True)
class End:
    """One end of a limit: a number in SI, or ``share`` of another attribute of the same part."""

    number: float | None
    path: str = ""
    share: float = 1.0

    def of(self, thing: Described) -> Range | None:
        """The limit for one part, or the car; ``None`` where it does not say what it hangs on."""
        if self.number is not None:
            return Range.exactly(self.number)
        value = thing.attribute(self.path).value
        return value.scaled(self.share) if isinstance(value, Range) else None


@dataclass(frozen=True)
class WearLimit:
    """A limit on the attribute at ``path`` of a part kind, or of the ``vehicle``.

    ``own`` tells that nothing but wear is read there; ``apart`` is how far the pieces of one set may differ [SI];
    ``accept`` the words that are good.
    """

    kind: str
    path: str
    attribute: Attribute
    own: bool
    says: str
    source: str
    at_least: tuple[End, ...] = ()
    at_most: tuple[End, ...] = ()
    apart: float | None = None
    accept: tuple[str, ...] = ()
    inspection: tuple[str, ...] = ()
