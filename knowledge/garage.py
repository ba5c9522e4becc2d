"""Reading the car and the goal, and everything they point to."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from shared.errors import SwapwrightError
from shared.evidence import EVIDENCE_WORDS, Evidence
from shared.faults import BadInput
from shared.goal import Aim, Goal, Limit, Load, Preference
from shared.interface import WORD
from shared.layout import Layout
from shared.part import Part, Place
from shared.reading import ReadingError, read_limits
from shared.units import System
from shared.vehicle import Vehicle

from .cache import kept
from .catalogues import catalogue_documents, own_altered, read_parts
from .condition import wear_limits
from .documents import Document, Faults, read, yaml_files
from .layouts import EFFORT, check_format, layouts_folder, read_layout
from .measurements import FILE, read_book
from .readings import Measured, apply
from .sentences import in_units
from .shapes import GoalShape, PreferShape, VehicleShape, nearest, shaped
from .values import evidence_at, quantity_at, values_at


@dataclass(frozen=True)
class Garage:
    """Everything one question is asked of: the layout, the car, the catalogue, and what was measured of both.

    ``vehicle`` and ``parts`` are as they are known after the measurements.
    """

    layout: Layout
    vehicle: Vehicle
    parts: Mapping[str, Part]
    measured: Measured = field(default_factory=Measured)

    def fitted(self) -> dict[str, Part | None]:
        """The part now at each position."""
        return {p: self.parts.get(self.vehicle.fitted.get(p, "")) for p in self.layout.positions}


def layout_at(name: str, beside: Path) -> Path:
    """The folder of a layout: one that comes with the project, or a path relative to the vehicle's file."""
    own = layouts_folder() / name
    return own if "/" not in name and own.is_dir() else beside / name


def _unsure(part: str, faults: Faults) -> bool:
    """Whether a fault was told already by which nothing can be said of a part, or of it altered or with an assembly."""
    return faults.blind or not faults.unsure.isdisjoint({part, *re.split("[+@]", part)})


def _vehicle(document: Document, layout: Layout, parts: Mapping[str, Part], faults: Faults) -> Vehicle | None:
    shape = shaped(VehicleShape, document.tree, document, (), faults)
    if shape is None:
        return None
    ports = {}
    for name, tree in shape.body.items():
        port = layout.body.get(name)
        if port is None:
            faults.add(
                document, ("body", name), "unknown-port", repr(name), "a port of the body", nearest(name, layout.body)
            )
            continue
        attributes = {
            k: a for k, a in layout.interfaces[port.interface].attributes.items() if a.on in (None, port.side)
        }
        ports[name] = values_at(tree, attributes, port.interface, Evidence.MEASURED, document, ("body", name), faults)
    properties = values_at(
        shape.properties, layout.vehicle, "the vehicle", Evidence.MEASURED, document, ("properties",), faults
    )
    for position, part in shape.fitted.items():
        loc = ("fitted", position)
        if position not in layout.positions:
            faults.add(
                document, loc, "unknown-position", repr(position), "a position", nearest(position, layout.positions)
            )
        elif part not in parts:
            if not _unsure(part, faults):
                faults.add(document, loc, "unknown-part", repr(part), "the id of a part", nearest(part, parts))
        elif part in faults.unsure:
            continue
        elif position not in parts[part].positions:
            faults.add(
                document, loc, "wrong-place", f"{part} at {position}", f"a part for {', '.join(parts[part].positions)}"
            )
    for place in layout.positions.values():
        if not place.optional and place.name not in shape.fitted:
            faults.add(
                document,
                ("fitted",),
                "missing-key",
                f"nothing fitted at {place.name}",
                f"the part now at {place.name}",
                "name the part of the catalogue that is on the car",
            )
    return Vehicle(
        shape.name, shape.layout, ports, properties, dict(shape.fitted), shape.about, Place(document.name, 1)
    )


def _measure_of(name: str, layout: Layout) -> str | None:
    if name in layout.quantities:
        return layout.quantities[name].measure
    return EFFORT.get(name)


def _quantity_names(layout: Layout) -> list[str]:
    return [*layout.quantities, *EFFORT]


def _preference(shape: PreferShape, i: int, document: Document, layout: Layout, faults: Faults) -> Preference | None:
    named: list[tuple[Aim, str]] = []
    if shape.least is not None:
        named.append(("least", shape.least))
    if shape.most is not None:
        named.append(("most", shape.most))
    if shape.near is not None:
        named.append(("near", shape.near))
    loc = ("prefer", i)
    if len(named) != 1:
        faults.add(document, loc, "shape", "none or several of least, most, near", "exactly one of them")
        return None
    aim, name = named[0]
    measure = _measure_of(name, layout)
    if measure is None and name != "advice":
        faults.add(
            document,
            (*loc, aim),
            "unknown-quantity",
            repr(name),
            "a quantity, or advice",
            nearest(name, [*_quantity_names(layout), "advice"]),
        )
        return None
    measure = measure or "count"
    money, _, unit = shape.worth.partition(" per ")
    worth = quantity_at(money, "money", document, (*loc, "worth"), faults)
    step = "1" if unit.strip() in ("", "1") else f"1 {unit.strip()}"
    size = quantity_at(step, measure, document, (*loc, "worth"), faults)
    to = None if shape.to is None else quantity_at(shape.to, measure, document, (*loc, "to"), faults)
    if aim != "least" and shape.to is None:
        faults.add(
            document,
            loc,
            "missing-key",
            f"{aim!r} without 'to'",
            "the value up to which more is worth anything" if aim == "most" else "the value to be near",
        )
        return None
    if worth is None or size is None or size.lo == 0.0:
        return None
    return Preference(
        name, aim, worth.hi / size.hi, None if to is None else to.lo, f"{aim} {name.replace('_', ' ')}: {shape.worth}"
    )


def _goal(document: Document, layout: Layout, parts: Mapping[str, Part], faults: Faults) -> Goal | None:
    shape = shaped(GoalShape, document.tree, document, (), faults)
    if shape is None:
        return None
    limits = []
    for name, text in shape.want.items():
        loc = ("want", name)
        measure = _measure_of(name, layout)
        if measure is None or measure == WORD:
            faults.add(
                document, loc, "unknown-quantity", repr(name), "a quantity", nearest(name, _quantity_names(layout))
            )
            continue
        try:
            read_ = read_limits(text, measure)
        except ReadingError as error:
            faults.add(document, loc, "bad-value", error.found, error.expected, error.mend or "")
            continue
        limits.append(Limit(name, read_.at_least, read_.at_most, text, document.line(loc)))

    def positions(names: list[str], key: str) -> tuple[str, ...]:
        for i, name in enumerate(names):
            if name not in layout.positions:
                faults.add(
                    document, (key, i), "unknown-position", repr(name), "a position", nearest(name, layout.positions)
                )
        return tuple(name for name in names if name in layout.positions)

    use: dict[str, tuple[str, ...]] = {}
    for name, chosen in shape.use.items():
        ids = (chosen,) if isinstance(chosen, str) else tuple(chosen)
        if name not in layout.positions:
            faults.add(
                document, ("use", name), "unknown-position", repr(name), "a position", nearest(name, layout.positions)
            )
            continue
        for part in ids:
            if part not in parts and part != "none" and not _unsure(part, faults):
                faults.add(
                    document, ("use", name), "unknown-part", repr(part), "the id of a part", nearest(part, parts)
                )
        use[name] = ids
    for i, part in enumerate(shape.avoid):
        if part not in parts and not _unsure(part, faults):
            faults.add(document, ("avoid", i), "unknown-part", repr(part), "the id of a part", nearest(part, parts))
    if shape.trust not in EVIDENCE_WORDS:
        evidence_at(shape.trust, document, ("trust",), faults)
    loads = []
    for i, load in enumerate(shape.loads):
        numbers = [
            quantity_at(text, measure, document, ("loads", i, key), faults)
            for key, text, measure in (
                ("mass", load.mass, "mass"),
                ("behind_front_axle", load.behind_front_axle, "length"),
                ("height", load.height, "length"),
            )
        ]
        if all(n is not None for n in numbers):
            loads.append(Load(load.name, *(n.hi for n in numbers if n is not None)))
    prefer = [_preference(p, i, document, layout, faults) for i, p in enumerate(shape.prefer)]
    return Goal(
        name=shape.name,
        limits=tuple(limits),
        keep=positions(shape.keep, "keep"),
        change=positions(shape.change, "change"),
        change_only=positions(shape.change_only, "change_only"),
        use=use,
        avoid=tuple(shape.avoid),
        avoid_makes=tuple(shape.avoid_makes),
        adapters=shape.adapters,
        alterations=shape.alterations,
        factory_fit=positions(shape.factory_fit, "factory_fit"),
        trust=EVIDENCE_WORDS.get(shape.trust, Evidence.CLAIMED),
        prefer=tuple(p for p in prefer if p is not None),
        loads=tuple(loads),
        about=shape.about,
        vehicle=shape.vehicle,
        catalogue=tuple(shape.catalogue),
        place=Place(document.name, 1),
    )


def read_garage(vehicle_file: Path, catalogues: list[Path], faults: Faults, units: System = "metric") -> Garage | None:
    """The car, its layout and the catalogue; ``None`` and faults where nothing can be built on."""
    document = read(vehicle_file, vehicle_file.name, faults)
    if document is None or not check_format(document, "swapwright vehicle", faults):
        return None
    name = str(document.tree.get("layout", ""))
    folder = layout_at(name, vehicle_file.parent)
    if not folder.is_dir():
        known = sorted(p.name for p in layouts_folder().iterdir() if p.is_dir())
        faults.add(
            document,
            ("layout",),
            "unknown-layout",
            repr(name),
            "a layout, or a folder beside this file",
            nearest(name, known),
        )
        return None
    layout, parts = _layout_and_parts(folder, catalogues, faults)
    if layout is None:
        return None
    layout = in_units(layout, units)
    vehicle = _vehicle(document, layout, parts, faults)
    return None if vehicle is None else Garage(layout, vehicle, own_altered(parts, set(vehicle.fitted.values())))


def _layout_and_parts(folder: Path, catalogues: list[Path], faults: Faults) -> tuple[Layout | None, Mapping[str, Part]]:
    """The layout of a folder and the parts of catalogues, kept from the last time where nothing has changed."""
    listing = Faults()
    files = [(f"layout {name}", path) for path, name in yaml_files(folder, folder.parent, listing)]
    for number, catalogue in enumerate(catalogues):
        files += [(f"{number} {name}", path) for path, name in yaml_files(catalogue, catalogue, listing)]
    before = len(faults.found)

    def make() -> tuple[Layout | None, Mapping[str, Part]]:
        try:
            layout = read_layout(folder)
        except BadInput as error:
            faults.found.extend(error.faults)
            return None, {}
        documents = [d for path in catalogues for d in catalogue_documents(path, faults)]
        return layout, read_parts(documents, layout, faults)

    if listing.found:  # a file left out of the key would have its fault hidden by what was kept without it
        return make()
    try:
        pieces = [piece for name, path in files for piece in (name.encode(), path.read_bytes())]
    except OSError:
        return make()
    return kept("garage", pieces, make, lambda: len(faults.found) == before)


def with_measurements(garage: Garage, file: Path, faults: Faults) -> Garage:
    """The garage as it is known after the readings of a file; unchanged where there is none."""
    if not file.exists():
        return garage
    wear = wear_limits(garage.layout)
    book = read_book(file, garage.layout, garage.parts, wear, faults)
    vehicle, parts, measured = apply(book, garage.vehicle, garage.parts, wear, file.name)
    return replace(garage, vehicle=vehicle, parts=parts, measured=measured)


def read_goal(goal_file: Path, units: System = "metric") -> tuple[Goal, Garage]:
    """A goal with the car and the catalogue it points to, as they are known after the measurements beside it.

    The layout's sentences are told in ``units``.

    Raises :class:`BadInput` with every fault of every file.
    """
    faults = Faults()
    document = read(goal_file, goal_file.name, faults)
    goal: Goal | None = None
    garage: Garage | None = None
    if document is not None and check_format(document, "swapwright goal", faults):
        base = goal_file.parent
        vehicle_name = str(document.tree.get("vehicle", "vehicle.yaml"))
        listed = document.tree.get("catalogue", ["."])
        folders = [base / str(f) for f in (listed if isinstance(listed, list) else [listed])]
        for folder in folders:
            if not folder.is_dir():
                faults.add(document, ("catalogue",), "not-a-file", repr(folder.name), "a folder of catalogue files")
                faults.blind = True
        if (base / vehicle_name).exists():
            garage = read_garage(base / vehicle_name, [f for f in folders if f.is_dir()], faults, units)
        else:
            there = [p.name for p in base.glob("*.yaml")]
            mend = nearest(vehicle_name, there) or "name it: `vehicle: my-car.yaml`"
            faults.add(document, ("vehicle",), "not-a-file", f"{vehicle_name!r}: no such file", "the car's file", mend)
        if garage is not None:
            goal = _goal(document, garage.layout, garage.parts, faults)
            garage = with_measurements(garage, base / FILE, faults)
    if faults.found:
        raise BadInput(faults.found)
    if goal is None or garage is None:
        raise SwapwrightError("the goal could not be read")
    return goal, garage
