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

    def attribute(self, path: str) -> Value:
        """The value of a property, or of ``port.attribute`` of its body; :data:`UNKNOWN` where nothing is said."""
        port, dot, name = path.partition(".")
        return self.ports.get(port, {}).get(name, UNKNOWN) if dot else self.properties.get(path, UNKNOWN)
