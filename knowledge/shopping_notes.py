"""What is in the sets a task uses up, how often a piece can be used, and which fluid is meant.

The table ``shopping_notes.csv`` is keyed by the name of a consumable as the layouts write it.  A row without ``item``
is about the consumable itself.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType


@dataclass(frozen=True, slots=True)
class Inside:
    """One thing in a set: how many, whether it is used once only, what to mind, and where that is from."""

    item: str
    pieces: int | None
    once: bool
    says: str
    source: str


@cache
def shopping_notes() -> Mapping[str, tuple[Inside, ...]]:
    """For each consumable what is said of it and of the things in it."""
    found: dict[str, list[Inside]] = {}
    with Path(__file__).with_name("shopping_notes.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            pieces = int(row["pieces"]) if row["pieces"] else None
            inside = Inside(row["item"], pieces, row["once"] == "yes", row["says"], row["source"])
            found.setdefault(row["for"], []).append(inside)
    return MappingProxyType({name: tuple(rows) for name, rows in found.items()})
