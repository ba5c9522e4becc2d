"""The shape of every file of ours, as pydantic models, and the way from a model's complaint to a fault.

The models say which keys there are and what stands under them; what the values mean is settled by the
readers, which know the vocabulary.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from copy import deepcopy
from difflib import get_close_matches
from typing import Any, Literal, TypeVar

from pydantic import Field, ValidationError

from .documents import Document, Faults, Loc
from .shape import Shape
from .work_shapes import ApartShape, CautionShape, FastenerShape, TaskShape

Tree = dict[str, Any]
FORMATS = (
    "swapwright layout",
    "swapwright condition",
    "swapwright catalogue",
    "swapwright vehicle",
    "swapwright goal",
    "swapwright cars",
)
VERSION = 1


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


S = TypeVar("S", bound=Shape)

_MOST_TURNS = 3
_EXPECTED = {
    "int_parsing": "a whole number",
    "float_parsing": "a number",
    "bool_parsing": "yes or no",
    "string_type": "one text",
    "list_type": "a list",
    "dict_type": "keys and values",
    "model_type": "keys and values",
    "model_attributes_type": "keys and values",
    "tuple_type": "a list",
}


def nearest(word: str, known: Any) -> str:
    """A mend naming the nearest known word, or an empty text."""
    names = sorted(str(k) for k in known)
    close = get_close_matches(word, names, 1, 0.6)
    if close:
        return f"did you mean {close[0]!r}?"
    return f"one of: {', '.join(names)}" if 0 < len(names) <= 12 else ""


def known_names(
    names: Iterable[str], known: Iterable[str], code: str, what: str, document: Document, loc: Loc, faults: Faults
) -> tuple[str, ...]:
    """The names that are known; a fault for each that is not."""
    words = set(known)
    good = []
    for name in names:
        if name in words:
            good.append(name)
        else:
            faults.add(document, loc, code, repr(name), what, nearest(name, words))
    return tuple(good)


def shaped(shape: type[S], tree: Any, document: Document, at: Loc, faults: Faults) -> S | None:
    """The tree as the shape's model, and a fault for each thing that is off.

    What is off is left out of the model, so that whatever else is wrong can be told as well; ``None`` where nothing
    can be made of the rest.
    """
    left = tree
    for turn in range(_MOST_TURNS):
        try:
            return shape.model_validate(left)
        except ValidationError as error:
            items = error.errors(include_url=False)
        for item in items:
            if not (turn and item["type"] == "missing"):  # what is missing now was taken out in the turn before
                _tell(shape, item, document, at, faults)
        left = deepcopy(left)
        taken = [_left_out(left, i["loc"][:-1] if i["type"] == "missing" else i["loc"]) for i in items]
        if not all(taken):
            return None
    return None


def _left_out(tree: Any, loc: Sequence[str | int]) -> bool:
    """Take the deepest key there is on the way to a place out of a tree; false for the whole tree."""
    found: tuple[dict[str, Any], str] | None = None
    here = tree
    for step in loc:
        if isinstance(here, dict) and str(step) in here:
            found, here = (here, str(step)), here[str(step)]
        elif isinstance(here, list) and isinstance(step, int) and step < len(here):
            here = here[step]
        else:
            break
    if found is not None:
        del found[0][found[1]]
    return bool(loc)


def _tell(shape: type[Shape], item: Any, document: Document, at: Loc, faults: Faults) -> None:
    """A fault for one thing that is off."""
    loc = at + tuple(item["loc"])
    kind, last = item["type"], str(item["loc"][-1]) if item["loc"] else ""
    if kind == "missing":
        faults.add(document, loc, "missing-key", f"no {last!r} here", f"the key {last!r}")
    elif kind == "extra_forbidden":
        known = _keys_at(shape, item["loc"])
        faults.add(document, loc, "unknown-key", f"the key {last!r}", "a key this place knows", nearest(last, known))
    elif kind == "literal_error":
        words = str(item.get("ctx", {}).get("expected", ""))
        faults.add(document, loc, "unknown-word", repr(item["input"]), words)
    else:
        faults.add(document, loc, "shape", repr(item["input"]), _EXPECTED.get(kind, item["msg"]))


def _keys_at(shape: type[Shape], loc: tuple[str | int, ...]) -> list[str]:
    """The keys known where an unknown one was found (top of the shape only: deeper ones are found by name)."""
    model: Any = shape
    for step in loc[:-1]:
        field = model.model_fields.get(str(step)) if hasattr(model, "model_fields") else None
        if field is None:
            continue
        found = _models_in(field.annotation)
        if found:
            model = found[0]
    return [f.alias or name for name, f in model.model_fields.items()]


def _models_in(annotation: Any) -> list[type[Shape]]:
    if isinstance(annotation, type) and issubclass(annotation, Shape):
        return [annotation]
    found: list[type[Shape]] = []
    for inner in getattr(annotation, "__args__", ()):
        found += _models_in(inner)
    return found
