"""What can be read on a part or on the car: everything it is described by, and what tells its wear."""

from __future__ import annotations

from collections.abc import Mapping

from shared.interface import Attribute, Port
from shared.layout import Layout
from shared.part import Part

VEHICLE = "vehicle"


def _of_ports(layout: Layout, ports: Mapping[str, Port]) -> dict[str, Attribute]:
    """The attributes of ports, by ``port.attribute``."""
    return {
        f"{name}.{key}": attribute
        for name, port in ports.items()
        for key, attribute in layout.interfaces[port.interface].of_side(port.side).items()
    }


def kind_attributes(layout: Layout, kind: str) -> dict[str, Attribute]:
    """Everything a kind of part is described by: its properties and its ports' ``port.attribute``."""
    return {**layout.kinds[kind].properties, **_of_ports(layout, layout.kinds[kind].ports)}


def vehicle_attributes(layout: Layout) -> dict[str, Attribute]:
    """Everything the car itself is described by: its properties and its body's ``port.attribute``."""
    return {**layout.vehicle, **_of_ports(layout, layout.body)}


def attributes_of(name: str, layout: Layout, parts: Mapping[str, Part]) -> dict[str, Attribute]:
    """Everything that can be read on a part of the catalogue, or on the ``vehicle``, what tells its wear included."""
    kind = VEHICLE if name == VEHICLE else parts[name].kind
    found = vehicle_attributes(layout) if name == VEHICLE else kind_attributes(layout, kind)
    for limit in layout.wear.get(kind, ()):
        found.setdefault(limit.path, limit.attribute)
    return found
