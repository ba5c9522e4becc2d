"""What can be read on a part or on the car: everything it is described by, and what tells its wear."""

from __future__ import annotations

from collections.abc import Mapping

from shared.interface import Attribute
from shared.layout import Layout
from shared.part import Part
from shared.wear import WearLimit

VEHICLE = "vehicle"
Wear = Mapping[str, tuple[WearLimit, ...]]


def kind_attributes(layout: Layout, kind: str, wear: Wear) -> dict[str, Attribute]:
    """Everything that can be read on a kind of part: properties, ``port.attribute``, and what tells its wear."""
    found = dict(layout.kinds[kind].properties)
    for name, port in layout.kinds[kind].ports.items():
        for attribute in layout.interfaces[port.interface].attributes.values():
            if attribute.on in (None, port.side):
                found[f"{name}.{attribute.name}"] = attribute
    for limit in wear.get(kind, ()):
        found.setdefault(limit.path, limit.attribute)
    return found


def vehicle_attributes(layout: Layout) -> dict[str, Attribute]:
    """Everything the car itself is described by: its properties and its body's ``port.attribute``."""
    found = dict(layout.vehicle)
    for name, port in layout.body.items():
        for attribute in layout.interfaces[port.interface].attributes.values():
            if attribute.on in (None, port.side):
                found[f"{name}.{attribute.name}"] = attribute
    return found


def attributes_of(name: str, layout: Layout, parts: Mapping[str, Part], wear: Wear) -> dict[str, Attribute]:
    """Everything that can be read on a part of the catalogue, or on the ``vehicle``."""
    if name != VEHICLE:
        return kind_attributes(layout, parts[name].kind, wear)
    found = vehicle_attributes(layout)
    for limit in wear.get(VEHICLE, ()):
        found.setdefault(limit.path, limit.attribute)
    return found
