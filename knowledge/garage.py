"""Reading the car and the goal, and everything they point to."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import get_args

from shared.errors import SwapwrightError
from shared.evidence import Evidence
from shared.faults import BadInput
from shared.goal import Goal
from shared.layout import Layout
from shared.part import Part, Place
from shared.units import System
from shared.vehicle import Vehicle

from .files.cache import kept, key_of
from .files.documents import Document, Faults, Loc, read
from .files.folders import YAML, called_yaml, yaml_files
from .files.formats import beside, check_format
from .files.lasting import uncollected
from .files.shape import nearest, nearest_part, shaped, unknown_name
from .files.values import values_at
from .goal_shapes import GoalShape, VehicleShape
from .goals import goal_of
from .layouts import layouts_folder, read_layout
from .measured.measurements import FILE, read_book
from .measured.readings import Measured, apply


@dataclass(frozen=True)
class Garage:
    """Everything one question is asked of: the layout, the car, the catalogue, and what was measured of both.

    ``vehicle`` and ``parts`` are as they are known after the measurements.  ``content`` is the key of every file it was
    read from, by which what follows from it can be kept; empty where it is not as it was read.
    """

    layout: Layout
    vehicle: Vehicle
    parts: Mapping[str, Part]
    measured: Measured = field(default_factory=Measured)
    # Never taken over by a garage that was made out of this one.
    content: str = field(default="", init=False, compare=False, repr=False)

    def fitted(self) -> dict[str, Part | None]:
        """The part now at each position."""
        return {p: self.parts.get(self.vehicle.fitted.get(p, "")) for p in self.layout.positions}


def layout_at(name: str, beside: Path) -> Path:
    """The folder of a layout: one that comes with the project, or a path relative to the vehicle's file."""
    own = layouts_folder() / name
    return own if "/" not in name and _there(own.is_dir) else beside / name


def _there(asked: Callable[[], bool]) -> bool:
    """Whether a path is there; one that cannot even be asked for, as by a name too long, is not."""
    try:
        return asked()
    except OSError:
        return False


def _vehicle(document: Document, layout: Layout, parts: Mapping[str, Part], faults: Faults) -> Vehicle | None:
    shape = shaped(VehicleShape, document.tree, document, (), faults)
    if shape is None:
        return None
    ports = {}
    for name, tree in shape.body.items():
        port = layout.body.get(name)
        if port is None:
            unknown_name(name, layout.body, "unknown-port", "a port of the body", document, ("body", name), faults)
            continue
        attributes = layout.interfaces[port.interface].of_side(port.side)
        ports[name] = values_at(tree, attributes, port.interface, Evidence.MEASURED, document, ("body", name), faults)
    properties = values_at(
        shape.properties, layout.vehicle, "the car", Evidence.MEASURED, document, ("properties",), faults
    )
    for position, part in shape.fitted.items():
        loc = ("fitted", position)
        if position not in layout.positions:
            unknown_name(position, layout.positions, "unknown-position", "a position", document, loc, faults)
        elif part not in parts:
            if not faults.unsure_of(part):
                mend = nearest_part(part, parts, position)
                faults.add(document, loc, "unknown-part", repr(part), "the id of a part", mend)
        elif part in faults.unsure:
            continue
        elif position not in parts[part].positions:
            faults.add(
                document, loc, "wrong-place", f"{part} at {position}", f"a part for {', '.join(parts[part].positions)}"
            )
    for place in layout.positions.values() if isinstance(document.tree.get("fitted", {}), dict) else ():
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


def read_garage(vehicle_file: Path, catalogues: list[Path], faults: Faults, units: System = "metric") -> Garage | None:
    """The car, its layout and the catalogue; ``None`` and faults where nothing can be built on."""
    document = read(vehicle_file, vehicle_file.name, faults)
    if document is None or not check_format(document, "swapwright vehicle", faults):
        return None
    name = document.tree.get("layout")
    if not isinstance(name, str):
        shaped(VehicleShape, document.tree, document, (), faults)
        return None
    folder = layout_at(name, vehicle_file.parent)
    if not name or not _there(folder.is_dir):
        known = sorted(p.name for p in layouts_folder().iterdir() if p.is_dir())
        unknown_name(
            name, known, "unknown-layout", "a layout, or a folder beside this file", document, ("layout",), faults
        )
        return None
    layouts, parts, content = _layouts_and_parts(folder, catalogues, faults)
    if layouts is None:
        return None
    layout = layouts[units]
    vehicle = _vehicle(document, layout, parts, faults)
    if vehicle is None:
        return None
    garage = Garage(layout, vehicle, own_altered(parts, set(vehicle.fitted.values())))
    return _known_by(garage, content, document.text)


def _known_by(garage: Garage, content: str, text: str | None) -> Garage:
    """The garage with the key of what it was read from: what was known by ``content``, and one more file."""
    if content and text is not None:
        object.__setattr__(garage, "content", key_of((content.encode(), text.encode("utf-8", "surrogateescape"))))
    return garage


def own_altered(parts: Mapping[str, Part], fitted: Collection[str]) -> dict[str, Part]:
    """The parts, where those made by altering a part of the car itself cost the alteration only and need no donor.

    A part that fits several positions is left as it is: at one of them it may be a further piece.
    """
    found = dict(parts)
    for name, part in parts.items():
        if part.altered and part.host is None and part.base in fitted and len(part.positions) == 1:
            found[name] = replace(
                part, price=part.altering_price, hours=part.altering_hours, donors=(), buy="either", own=True
            )
    return found


@uncollected()
def _layouts_and_parts(
    folder: Path, catalogues: list[Path], faults: Faults
) -> tuple[Mapping[System, Layout] | None, Mapping[str, Part], str]:
    """The layout of a folder, told in each system of units, the parts of catalogues, and the key of all their files.

    They are kept from the last time where nothing has changed.  The layouts are one but for their sentences.  There is
    no key where not every file could be read.
    """
    listing = Faults()
    files = [(f"layout {name}", path) for path, name in yaml_files(folder, folder.parent, listing)]
    empty = False
    for number, catalogue in enumerate(catalogues):
        here = [(f"{number} {name}", path) for path, name in yaml_files(catalogue, catalogue, listing)]
        empty |= not here
        files += here
    before = len(faults.found)

    def make() -> tuple[Mapping[System, Layout] | None, Mapping[str, Part]]:
        from .catalogue_files.catalogues import catalogue_documents, read_parts  # what was kept needs no reader
        from .layout_files.sentences import in_units

        try:
            layout = read_layout(folder)
        except BadInput as error:
            faults.found.extend(error.faults)
            return None, {}
        seen: dict[Path, bool] = {}
        documents = [d for path in catalogues for d in catalogue_documents(path, faults, seen)]
        parts = read_parts(documents, layout, faults)
        if not parts and documents and len(faults.found) == before:
            faults.add(
                documents[0], ("parts",), "missing-key", "no part in any catalogue file", "parts, each with an id"
            )
            faults.blind = True
        return {units: in_units(layout, units) for units in get_args(System)}, parts

    if (
        listing.found or empty
    ):  # a file or a folder left out of the key would have its fault hidden by what was kept without it
        return *make(), ""
    try:
        pieces = [piece for name, path in files for piece in (name.encode(), path.read_bytes())]
    except OSError:
        return *make(), ""
    return *kept("garage", pieces, make, lambda: len(faults.found) == before), key_of(pieces)


def with_measurements(garage: Garage, file: Path, faults: Faults) -> Garage:
    """The garage as it is known after the readings of a file; unchanged where there is none."""
    if not file.exists():
        return garage
    book = read_book(file, garage.layout, garage.parts, faults)
    vehicle, parts, measured = apply(book, garage.layout, garage.vehicle, garage.parts, file.name)
    known = replace(garage, vehicle=vehicle, parts=parts, measured=measured)
    return _known_by(known, garage.content, file.read_text("utf-8", "surrogateescape"))


def _vehicle_name(document: Document, base: Path) -> str:
    """The name of the car's file that a goal says, or the one it has where nothing is said."""
    usual = GoalShape.model_fields["vehicle"].default
    spelled = [f"{Path(usual).stem}{ending}" for ending in YAML]
    there = [name for name in spelled if (base / name).exists()]
    return str(document.tree.get("vehicle", (*there, usual)[0]))


def _catalogue_folders(document: Document, base: Path, faults: Faults) -> list[Path]:
    """The folders of parts that a goal names, each once; a fault for one that is none, and for none at all."""
    loc: Loc = ("catalogue",)
    listed = document.tree.get("catalogue", ["."])
    if not isinstance(listed, list):  # which is a fault of the goal's shape already
        folder = base / str(listed)
        meant = isinstance(listed, str) and _there(folder.is_dir)
        faults.blind |= not meant
        return [folder] if meant else []
    found: dict[Path, Path] = {}
    for i, name in enumerate(listed):
        if not isinstance(name, str):
            faults.blind = True
        elif _there((folder := base / name).is_dir):
            found.setdefault(folder.resolve(), folder)
        else:
            mend = f"name the folder it is in: {Path(name).parent.as_posix()}" if _there(folder.is_file) else ""
            faults.add(document, (*loc, i), "not-a-file", repr(folder.name), "a folder of catalogue files", mend)
            faults.blind = True
    if not listed:
        mend = "name it, as `catalogue: [catalogue]`, or leave the line out: then it is the folder of this file"
        faults.add(document, loc, "missing-key", "no folder of parts", "at least one folder of catalogue files", mend)
        faults.blind = True
    return list(found.values())


def read_goal(goal_file: Path, units: System = "metric") -> tuple[Goal, Garage]:
    """A goal with the car and the catalogue it points to, as they are known after the measurements beside it.

    The layout's sentences are told in ``units``.

    Raises :class:`BadInput` with every fault of every file.
    """
    faults = Faults()
    document = read(goal_file, goal_file.name, faults)
    goal: Goal | None = None
    garage: Garage | None = None
    if document is None and [fault.code for fault in faults.found] == ["shape"]:  # as a list of cars in CSV
        faults.found[0] = replace(faults.found[0], mend=beside(goal_file, "swapwright goal"))
    if document is not None and check_format(document, "swapwright goal", faults):
        base = goal_file.parent
        vehicle_name = _vehicle_name(document, base)
        folders = _catalogue_folders(document, base, faults)
        if _there((base / vehicle_name).exists):
            garage = read_garage(base / vehicle_name, folders, faults, units)
        elif isinstance(document.tree.get("vehicle", ""), str):
            there = [p.name for p in base.iterdir() if called_yaml(p.name)]
            mend = nearest(vehicle_name, there) or "name it: `vehicle: my-car.yaml`"
            faults.add(document, ("vehicle",), "not-a-file", f"{vehicle_name!r}: no such file", "the car's file", mend)
        if garage is not None:
            goal = goal_of(document, garage.layout, garage.parts, faults)
            garage = with_measurements(garage, base / FILE, faults)
        else:  # what is wrong with its shape is told all the same
            shaped(GoalShape, document.tree, document, (), faults)
    if faults.found:
        raise BadInput(faults.found)
    if goal is None or garage is None:
        raise SwapwrightError("the goal could not be read")
    return goal, garage
