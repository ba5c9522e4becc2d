"""The shape of a layout's files; that of its work stands in :mod:`knowledge.layout_files.work_shapes`."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import Field

from shared.interface import Written

from ..files.shape import Shape
from .work_shapes import ApartShape, CautionShape, FastenerShape, TaskShape


class AttributeShape(Shape):
    """An attribute of an interface or part kind, or a property of the vehicle."""

    measure: str
    about: str = ""
    one_of: list[str] = []
    on: str | None = None
    read: str = ""
    uncertainty: str | None = None
    valid: str | None = None
    required: bool = False
    written: Written | None = None


class RuleShape(Shape):
    """One comparison of a mate."""

    rule: Literal["same", "equal", "at_least", "at_most", "goes_into"]
    attribute: str | None = None
    left: str | None = None
    right: str | None = None
    within: str | None = None
    margin: str | None = None
    clearance: str | None = None
    why: str
    source: str = "common practice, no source"


class InterfaceShape(Shape):
    """An interface kind."""

    about: str
    sides: list[str] = Field(default=[], max_length=2)
    attributes: dict[str, AttributeShape]
    mates: list[RuleShape]


class PortShape(Shape):
    """A port of a part kind or of the body."""

    interface: str
    side: str | None = None


class KindShape(Shape):
    """A part kind."""

    about: str
    properties: dict[str, AttributeShape] = {}
    ports: dict[str, PortShape] = {}
    recognise: str = ""
    leave_when: list[str] = []
    always_new: list[str] = []


class PositionShape(Shape):
    """A position of a layout."""

    kind: str
    about: str = ""
    count: int = Field(default=1, ge=1, le=64)
    optional: bool = False
    absent: dict[str, Any] = {}
    host: str | None = None
    where: tuple[float, float] = (0.0, 0.0)
    group: str = ""


class ThroughShape(Shape):
    """What may sit in the middle of a join."""

    position: str
    near: str
    far: str


class JoinShape(Shape):
    """Two ports that meet."""

    join: tuple[str, str]
    through: list[ThroughShape] = []


class QuantityShape(Shape):
    """A quantity; the ways stand under ``from``."""

    measure: str
    about: str
    group: str = ""
    show: bool = True
    caution: str = ""
    ways: Any = Field(alias="from")


class ConditionShape(Shape):
    """When a requirement speaks."""

    changed: list[str] = []
    fitted: list[str] = []
    words: dict[str, list[str]] = {}


class RequirementShape(Shape):
    """A requirement."""

    severity: Literal["must", "should", "check"]
    says: str
    source: str
    when: ConditionShape = ConditionShape()
    subject: str | None = None
    at_least: str | None = None
    at_most: str | None = None
    one_of: list[str] = []
    helps: list[str] = []
    measure_first: str = ""


class LayoutShape(Shape):
    """One file of a layout's folder: any of the sections."""

    format: str
    version: int
    name: str | None = None
    about: str | None = None
    interfaces: dict[str, InterfaceShape] = {}
    kinds: dict[str, KindShape] = {}
    positions: dict[str, PositionShape] = {}
    body: dict[str, PortShape] = {}
    vehicle: dict[str, AttributeShape] = {}
    joins: dict[str, JoinShape] = {}
    quantities: dict[str, QuantityShape] = {}
    requirements: dict[str, RequirementShape] = {}
    tasks: dict[str, TaskShape] = {}
    apart: dict[str, ApartShape] = {}
    fasteners: dict[str, FastenerShape] = {}
    cautions: dict[str, CautionShape] = {}
