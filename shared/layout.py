"""How one kind of car goes together: positions, mates, quantities, requirements and work, all of it data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from .evidence import Value
from .interface import Attribute, InterfaceKind, PartKind, Port

if TYPE_CHECKING:
    from .wear import WearLimit
    from .work import Apart, Caution, Fastener, Task

Severity = Literal["must", "should", "check"]


@dataclass(frozen=True)
class Position:
    """A place that holds one part, or a set that must match.

    ``absent`` gives the values that hold when an optional position is empty (a missing spacer is 0 mm
    high).  ``host`` is the position whose part must come off when this one does: what is bolted to an axle
    moves with the axle.  ``where`` is (forward, left) in metres from the car's middle, for drawings.
    """

    name: str
    kind: str
    about: str
    count: int = 1
    optional: bool = False
    absent: Mapping[str, Value] = field(default_factory=dict)
    host: str | None = None
    where: tuple[float, float] = (0.0, 0.0)
    group: str = ""

    @property
    def title(self) -> str:
        """The name as a person says it."""
        return self.name.replace("_", " ")


@dataclass(frozen=True)
class Through:
    """An optional part in the middle of a join: its position, and the ports facing each end."""

    position: str
    near: str
    far: str


@dataclass(frozen=True)
class Join:
    """Two ports that meet, ``position.port`` or ``body.port``, and what may sit between them."""

    id: str
    left: tuple[str, str]
    right: tuple[str, str]
    through: tuple[Through, ...] = ()

    @property
    def positions(self) -> tuple[str, ...]:
        """The positions in it, the body left out."""
        ends = (self.left[0], *(t.position for t in self.through), self.right[0])
        return tuple(p for p in ends if p != "body")


@dataclass(frozen=True)
class Input:
    """Where an input of a quantity comes from.

    ``source`` is one of ``part`` (name is ``position``, path the attribute), ``vehicle``, ``goal``,
    ``stock`` (a quantity on the car as it stands), ``stock_part`` (an attribute of the part now fitted),
    ``quantity`` or ``literal``.
    """

    source: Literal["part", "vehicle", "goal", "stock", "stock_part", "quantity", "literal"]
    name: str
    path: str = ""
    value: Value | None = None


@dataclass(frozen=True)
class Call:
    """A formula with its inputs in the order of its signature."""

    formula: str
    inputs: tuple[Input, ...]


@dataclass(frozen=True)
class Choice:
    """One of several ways, chosen by a word."""

    by: Input
    ways: Mapping[str, Way]


Way = Input | Call | Choice


@dataclass(frozen=True)
class Quantity:
    """Something computed: the ``ways`` are tried in turn, the first whose inputs are known is taken.

    ``caution`` is said wherever a person is shown it.
    """

    name: str
    measure: str
    about: str
    ways: tuple[tuple[Way, str], ...]
    group: str = ""
    show: bool = True
    caution: str = ""

    @property
    def title(self) -> str:
        """The name as a person says it."""
        return self.name.replace("_", " ")


@dataclass(frozen=True)
class Condition:
    """When a requirement speaks: any of ``changed`` not as now fitted, all of ``fitted`` filled, words equal."""

    changed: tuple[str, ...] = ()
    fitted: tuple[str, ...] = ()
    words: tuple[tuple[Input, tuple[str, ...]], ...] = ()


@dataclass(frozen=True)
class Requirement:
    """A rule: a subject within limits, or a word out of a list, or (with neither) a plain call to look."""

    id: str
    severity: Severity
    says: str
    source: str
    when: Condition
    subject: Input | None = None
    at_least: Input | None = None
    at_most: Input | None = None
    one_of: tuple[str, ...] = ()
    helps: tuple[str, ...] = ()
    measure_first: str = ""


@dataclass(frozen=True)
class Layout:
    """Everything that says how one kind of car goes together, and by part kind when a piece is worn out."""

    name: str
    about: str
    interfaces: Mapping[str, InterfaceKind]
    kinds: Mapping[str, PartKind]
    positions: Mapping[str, Position]
    body: Mapping[str, Port]
    vehicle: Mapping[str, Attribute]
    joins: tuple[Join, ...]
    quantities: Mapping[str, Quantity]
    requirements: tuple[Requirement, ...]
    tasks: Mapping[str, Task]
    cautions: Mapping[str, Caution]
    apart: Mapping[str, Apart] = field(default_factory=dict)
    fasteners: Mapping[str, Fastener] = field(default_factory=dict)
    wear: Mapping[str, tuple[WearLimit, ...]] = field(default_factory=dict)
