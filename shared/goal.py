"""What is wanted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from .evidence import Evidence
from .part import Place

Aim = Literal["least", "most", "near"]


@dataclass(frozen=True)
class Limit:
    """A wanted limit on a quantity, in SI; ``None`` leaves that end open.  ``line`` is what was written."""

    quantity: str
    at_least: float | None
    at_most: float | None
    text: str
    line: int = 0


@dataclass(frozen=True)
class Preference:
    """What one would pay for more, less, or nearer of a quantity: ``worth`` money per SI unit."""

    quantity: str
    aim: Aim
    worth: float
    to: float | None = None
    text: str = ""


@dataclass(frozen=True)
class Load:
    """Something carried that the car did not carry: mass [kg], metres behind the front axle, height [m]."""

    name: str
    mass: float
    behind_front_axle: float
    height: float


@dataclass(frozen=True)
class Goal:
    """Wanted limits, what to keep, use or avoid, what to prefer, how much doubt is accepted."""

    name: str
    limits: tuple[Limit, ...] = ()
    keep: tuple[str, ...] = ()
    change: tuple[str, ...] = ()
    change_only: tuple[str, ...] = ()
    use: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    avoid: tuple[str, ...] = ()
    avoid_makes: tuple[str, ...] = ()
    adapters: bool = True
    alterations: bool = True
    factory_fit: tuple[str, ...] = ()
    trust: Evidence = Evidence.CLAIMED
    prefer: tuple[Preference, ...] = ()
    loads: tuple[Load, ...] = ()
    about: str = ""
    vehicle: str = "vehicle.yaml"
    catalogue: tuple[str, ...] = (".",)
    place: Place | None = None
