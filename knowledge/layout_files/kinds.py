"""Reading interface kinds and part kinds: attributes, rules of mating, ports."""

from __future__ import annotations

from collections.abc import Mapping

from shared.interface import WORD, Attribute, InterfaceKind, MateRule, PartKind, Port
from shared.units import measures

from ..files.documents import Document, Faults, Loc
from ..files.shape import unknown_name
from ..files.values import known_measure, quantity_at, valid_at
from .shapes import AttributeShape, InterfaceShape, KindShape, PortShape, RuleShape


def attribute_of(name: str, shape: AttributeShape, document: Document, loc: Loc, faults: Faults) -> Attribute:
    """An attribute; a fault where its measure is none, of which nothing more is said wherever it is named."""
    if not known_measure(shape.measure):
        unknown_name(
            shape.measure, [*measures(), WORD], "unknown-word", "a measure", document, (*loc, "measure"), faults
        )
        return Attribute(name, "", shape.about)
    uncertainty = 0.0
    if shape.uncertainty is not None and shape.measure != WORD:
        found = quantity_at(shape.uncertainty, shape.measure, document, (*loc, "uncertainty"), faults)
        uncertainty = 0.0 if found is None else found.hi
    return Attribute(
        name,
        shape.measure,
        shape.about,
        tuple(shape.one_of),
        shape.on,
        shape.read,
        uncertainty,
        shape.required,
        valid_at(shape.valid, shape.measure, document, (*loc, "valid"), faults),
        shape.written,
    )


def _rule(
    shape: RuleShape,
    kind: InterfaceShape,
    attributes: Mapping[str, Attribute],
    document: Document,
    loc: Loc,
    faults: Faults,
) -> MateRule | None:
    left, right = shape.left or shape.attribute, shape.right or shape.attribute
    if left is None or right is None:
        faults.add(
            document,
            loc,
            "missing-key",
            f"a rule {shape.rule!r} without attribute",
            "`attribute`, or `left` and `right`",
        )
        return None
    for name, key, side in ((left, "left", 0), (right, "right", 1)):
        found = attributes.get(name)
        if found is None:
            unknown_name(
                name, attributes, "unknown-attribute", "an attribute of this interface", document, (*loc, key), faults
            )
            return None
        if found.on is not None and (len(kind.sides) != 2 or found.on != kind.sides[side]):
            faults.add(
                document,
                (*loc, key),
                "contradiction",
                f"{name!r} is on the {found.on} side",
                f"an attribute of the side named {key}",
            )
            return None
    measure = attributes[left].measure
    if not measure:
        return None
    low = high = 0.0
    text, key = {"equal": (shape.within, "within"), "goes_into": (shape.clearance, "clearance")}.get(
        shape.rule, (shape.margin, "margin")
    )
    if measure != WORD and text is not None:
        found_range = quantity_at(text, measure, document, (*loc, key), faults)
        if found_range is not None:
            low, high = found_range.lo, found_range.hi
    elif shape.rule in ("equal", "goes_into"):
        faults.add(document, loc, "missing-key", f"a rule {shape.rule!r} without {key!r}", f"the key {key!r}")
    return MateRule(shape.rule, left, right, low, high, measure, shape.why, shape.source)


def interface_of(name: str, shape: InterfaceShape, document: Document, loc: Loc, faults: Faults) -> InterfaceKind:
    """An interface kind with its rules of mating."""
    attributes = {
        key: attribute_of(key, entry, document, (*loc, "attributes", key), faults)
        for key, entry in shape.attributes.items()
    }
    rules = [
        _rule(entry, shape, attributes, document, (*loc, "mates", i), faults) for i, entry in enumerate(shape.mates)
    ]
    return InterfaceKind(name, shape.about, tuple(shape.sides), attributes, tuple(r for r in rules if r is not None))


def port_of(
    name: str, shape: PortShape, interfaces: Mapping[str, InterfaceKind], document: Document, loc: Loc, faults: Faults
) -> Port | None:
    """A port; ``None`` and a fault where its interface kind or side is none."""
    kind = interfaces.get(shape.interface)
    if kind is None:
        unknown_name(
            shape.interface, interfaces, "unknown-interface", "an interface kind", document, (*loc, "interface"), faults
        )
        return None
    if (shape.side or None) not in (kind.sides or (None,)):
        faults.add(
            document,
            (*loc, "side"),
            "unknown-word",
            repr(shape.side),
            " or ".join(kind.sides) if kind.sides else "no side: both sides are alike",
        )
        return None
    return Port(name, shape.interface, shape.side)


def kind_of(
    name: str, shape: KindShape, interfaces: Mapping[str, InterfaceKind], document: Document, loc: Loc, faults: Faults
) -> PartKind:
    """A part kind with its properties and ports."""
    ports = {
        key: port_of(key, entry, interfaces, document, (*loc, "ports", key), faults)
        for key, entry in shape.ports.items()
    }
    return PartKind(
        name,
        shape.about,
        {
            key: attribute_of(key, entry, document, (*loc, "properties", key), faults)
            for key, entry in shape.properties.items()
        },
        {key: port for key, port in ports.items() if port is not None},
        shape.recognise,
        tuple(shape.leave_when),
        tuple(shape.always_new),
    )
