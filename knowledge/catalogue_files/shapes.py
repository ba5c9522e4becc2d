"""The shape of a catalogue's files."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field

from ..files.shape import Shape

Tree = dict[str, Any]


class DonorShape(Shape):
    """Which cars carry a part."""

    make: str
    model: str
    years: str | None = None
    engines: list[str] = []
    trims: list[str] = []
    options: list[str] = []
    excluded: list[str] = []
    numbers: list[str] = []
    recognise: str = ""


class AlterationShape(Shape):
    """What can be done to a part, and what it becomes."""

    name: str
    price: str = "0"
    hours: str = "0 h"
    skill: int = Field(default=2, ge=1, le=4)
    caution: str = ""
    ports: dict[str, Tree | str] = {}
    properties: Tree = {}


class PartShape(Shape):
    """A part of a catalogue."""

    id: str
    name: str
    kind: str
    like: str | None = None
    fits: list[str] = []
    donors: list[DonorShape] = []
    price: str | None = None
    core: str | None = None
    hours: str | None = None
    skill: int = Field(default=1, ge=1, le=4)
    buy: Literal["used", "new", "either"] = "either"
    evidence: str = "claimed"
    ports: dict[str, Tree | str] = {}
    properties: Tree = {}
    brings: dict[str, str] = {}
    alterations: dict[str, AlterationShape] = {}
    cautions: list[str] = []
    note: str = ""


class CatalogueShape(Shape):
    """One file of a catalogue; the parts are validated one by one, so that a fault in one hides no other."""

    format: str
    version: int
    about: str = ""
    layout: str | None = None
    parts: list[Any] = []
