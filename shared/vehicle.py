"""The car being built."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from .evidence import UNKNOWN, Value
from .part import Place


@dataclass(frozen=True, eq=False)
class Vehicle:
    """The car: its body's ports, its loads and geometry, and the part now fitted at each position.

    A position missing from ``fitted`` is empty.
    """

    name: str
    layout: str
    ports: Mapping[str, Mapping[str, Value]]
    properties: Mapping[str, Value]
    fitted: Mapping[str, str]
    about: str = ""
    place: Place | None = None

    def attribute(self, name: str) -> Value:
        """The value of a property; :data:`UNKNOWN` where nothing is said."""
        return self.properties.get(name, UNKNOWN)
