"""The shape of the goal's and the vehicle's file."""

from __future__ import annotations

from typing import Any

from .files.shape import Shape

Tree = dict[str, Any]


class VehicleShape(Shape):
    """The vehicle file."""

    format: str
    version: int
    name: str
    about: str = ""
    layout: str
    body: dict[str, Tree] = {}
    properties: Tree = {}
    fitted: dict[str, str] = {}


class LoadShape(Shape):
    """A load named in the goal."""

    name: str
    mass: str
    behind_front_axle: str
    height: str


# What is stated of a load: its measure, and what it may be on a car of this size, which is what the formulas of loads
# are valid for.  A load may hang out at either end.
LOAD = {
    "mass": ("mass", "0 kg to 1500 kg"),
    "behind_front_axle": ("length", "-2 m to 6 m"),
    "height": ("length", "0 m to 4 m"),
}


class PreferShape(Shape):
    """A preference: one of least, most, near, and what it is worth."""

    least: str | None = None
    most: str | None = None
    near: str | None = None
    to: str | None = None
    worth: str


class GoalShape(Shape):
    """The goal file."""

    format: str
    version: int
    name: str
    about: str = ""
    vehicle: str = "vehicle.yaml"
    catalogue: list[str] = ["."]
    want: dict[str, str] = {}
    keep: list[str] = []
    change: list[str] = []
    change_only: list[str] = []
    use: dict[str, str | list[str]] = {}
    avoid: list[str] = []
    avoid_makes: list[str] = []
    adapters: bool = True
    alterations: bool = True
    factory_fit: list[str] = []
    trust: str = "claimed"
    prefer: list[PreferShape] = []
    loads: list[LoadShape] = []
