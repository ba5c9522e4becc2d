"""Reading layouts: the folders of data that say how one kind of car goes together.

A layout is every section of every file in its folder, together with the interface kinds and part kinds that
all layouts share.  The order of files and of entries does not matter.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from graphlib import CycleError, TopologicalSorter
from importlib.resources import files
from pathlib import Path
from typing import Any

from shared.errors import SwapwrightError
from shared.faults import BadInput
from shared.interface import WORD, Attribute, InterfaceKind, MateRule, PartKind, Port
from shared.layout import (
    Condition,
    Join,
    Layout,
    Position,
    Quantity,
    Requirement,
    Through,
)

from .condition import FORMAT as CONDITION
from .condition import read_wear
from .dataflow import inputs_of
from .documents import Document, Faults, Loc, read, yaml_files
from .expressions import Names, Reader
from .layout_work import read_work
from .sentences import quotes_at
from .shapes import (
    VERSION,
    AttributeShape,
    InterfaceShape,
    KindShape,
    LayoutShape,
    PortShape,
    QuantityShape,
    RequirementShape,
    RuleShape,
    known_names,
    nearest,
    shaped,
)
from .values import evidence_at, known_measure, quantity_at, valid_at, values_at

FORMAT = "swapwright layout"
Section = dict[str, tuple[Any, Document, Loc]]

# Quantities of the whole build that no formula over positions can give: money and labour (see solver.effort).
EFFORT = {"price": "money", "hours": "time", "donors": "count", "skill": "count", "parts_changed": "count"}


def shared_folder() -> Path:
    """The folder of interface and part kinds that all layouts share."""
    return Path(str(files("knowledge"))) / "kinds"


def layouts_folder() -> Path:
    """The folder of the layouts that come with the project."""
    return Path(str(files("knowledge"))) / "layouts"


def check_format(document: Document, expected: str, faults: Faults) -> bool:
    """Whether a document says it is what is wanted; a fault if not."""
    said = document.tree.get("format")
    if said != expected:
        faults.add(
            document, ("format",), "no-format", f"format {said!r}" if said else "no format line", f"format: {expected}"
        )
        return False
    return _version(document, faults)


def _version(document: Document, faults: Faults) -> bool:
    """Whether a document has the version that is read; a fault if not."""
    said = document.tree.get("version")
    if said != str(VERSION):
        faults.add(document, ("version",), "version", f"version {said!r}", f"version: {VERSION}")
    return said == str(VERSION)


def _sections(folders: Iterable[Path], faults: Faults) -> tuple[dict[str, Section], Document | None, list[Document]]:
    """Every entry of every section with the place it stands in; an entry written twice is a fault.

    The files of wear limits that stand among them come by themselves.
    """
    conditions: list[Document] = []
    merged: dict[str, Section] = {name: {} for name in LayoutShape.model_fields}
    head: Document | None = None
    for folder in folders:
        for path, name in yaml_files(folder, folder.parent, faults):
            document = read(path, name, faults)
            if document is not None:
                quotes_at(document.tree, document, (), faults)
            if document is not None and document.tree.get("format") == CONDITION and _version(document, faults):
                conditions.append(document)
                continue
            if document is None or not check_format(document, FORMAT, faults):
                continue
            shape = shaped(LayoutShape, document.tree, document, (), faults)
            if shape is None:
                continue
            if shape.name is not None:
                head = document
            for section in merged:
                entries = getattr(shape, section)
                if not isinstance(entries, dict):
                    continue
                for key, entry in entries.items():
                    if key in merged[section]:
                        faults.add(
                            document,
                            (section, key),
                            "duplicate-id",
                            repr(key),
                            f"one entry of that name under {section}",
                        )
                    merged[section][key] = (entry, document, (section, key))
    return merged, head, conditions


def _attribute(name: str, shape: AttributeShape, document: Document, loc: Loc, faults: Faults) -> Attribute:
    if not known_measure(shape.measure):
        from shared.units import measures

        faults.add(
            document,
            (*loc, "measure"),
            "unknown-word",
            repr(shape.measure),
            "a measure",
            nearest(shape.measure, [*measures(), WORD]),
        )
        return Attribute(name, WORD, shape.about)
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
            faults.add(
                document,
                (*loc, key),
                "unknown-attribute",
                repr(name),
                "an attribute of this interface",
                nearest(name, attributes),
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


def _interface(name: str, shape: InterfaceShape, document: Document, loc: Loc, faults: Faults) -> InterfaceKind:
    attributes = {
        key: _attribute(key, entry, document, (*loc, "attributes", key), faults)
        for key, entry in shape.attributes.items()
    }
    rules = [
        _rule(entry, shape, attributes, document, (*loc, "mates", i), faults) for i, entry in enumerate(shape.mates)
    ]
    return InterfaceKind(name, shape.about, tuple(shape.sides), attributes, tuple(r for r in rules if r is not None))


def _port(
    name: str, shape: PortShape, interfaces: Mapping[str, InterfaceKind], document: Document, loc: Loc, faults: Faults
) -> Port | None:
    kind = interfaces.get(shape.interface)
    if kind is None:
        faults.add(
            document,
            (*loc, "interface"),
            "unknown-interface",
            repr(shape.interface),
            "an interface kind",
            nearest(shape.interface, interfaces),
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


def _kind(
    name: str, shape: KindShape, interfaces: Mapping[str, InterfaceKind], document: Document, loc: Loc, faults: Faults
) -> PartKind:
    ports = {
        key: _port(key, entry, interfaces, document, (*loc, "ports", key), faults) for key, entry in shape.ports.items()
    }
    return PartKind(
        name,
        shape.about,
        {
            key: _attribute(key, entry, document, (*loc, "properties", key), faults)
            for key, entry in shape.properties.items()
        },
        {key: port for key, port in ports.items() if port is not None},
        shape.recognise,
        tuple(shape.leave_when),
        tuple(shape.always_new),
    )


def _end(
    text: str,
    positions: Mapping[str, Position],
    kinds: Mapping[str, PartKind],
    body: Mapping[str, Port],
    document: Document,
    loc: Loc,
    faults: Faults,
) -> tuple[str, str] | None:
    """A join's end ``position.port`` or ``body.port``, checked."""
    place, _, port = text.partition(".")
    if place == "body":
        ports: Mapping[str, Port] = body
    elif place in positions:
        kind = kinds.get(positions[place].kind)
        ports = {} if kind is None else kind.ports
    else:
        faults.add(document, loc, "unknown-position", repr(place), "a position, or body", nearest(place, positions))
        return None
    if port not in ports:
        faults.add(document, loc, "unknown-port", repr(text), f"a port of {place}", nearest(port, ports))
        return None
    return place, port


def _joins(
    section: Section,
    positions: Mapping[str, Position],
    kinds: Mapping[str, PartKind],
    body: Mapping[str, Port],
    faults: Faults,
) -> tuple[Join, ...]:
    joins = []
    for name, (shape, document, loc) in sorted(section.items()):
        ends = [
            _end(text, positions, kinds, body, document, (*loc, "join", i), faults) for i, text in enumerate(shape.join)
        ]
        through = []
        for i, step in enumerate(shape.through):
            at = (*loc, "through", i)
            for port in (step.near, step.far):
                _end(f"{step.position}.{port}", positions, kinds, body, document, at, faults)
            through.append(Through(step.position, step.near, step.far))
        if ends[0] is not None and ends[1] is not None:
            joins.append(Join(name, ends[0], ends[1], tuple(through)))
    return tuple(joins)


def _quantity(name: str, shape: QuantityShape, reader: Reader, loc: Loc) -> Quantity:
    trees = shape.ways if isinstance(shape.ways, list) else [shape.ways]
    ways = []
    for i, tree in enumerate(trees):
        at = (*loc, "from", i) if isinstance(shape.ways, list) else (*loc, "from")
        basis = "computed"
        if isinstance(tree, dict) and "claimed" in tree:
            basis, tree = "claimed", tree["claimed"]
        way = reader.way(tree, shape.measure, at)
        if way is not None:
            ways.append((way, basis))
    return Quantity(name, shape.measure, shape.about, tuple(ways), shape.group, shape.show, shape.caution)


def _requirement(
    name: str, shape: RequirementShape, names: Names, reader: Reader, loc: Loc, faults: Faults
) -> Requirement:
    document = reader.document
    subject = reader.input(shape.subject, WORD, (*loc, "subject")) if shape.subject is not None else None
    measure = WORD
    if subject is not None and subject.source in ("quantity", "stock"):
        measure = names.quantities[subject.name]
    elif subject is not None and subject.source == "vehicle":
        measure = names.vehicle[subject.name].measure
    elif subject is not None and subject.source == "part":
        attribute = reader.attribute(subject.name, subject.path)
        measure = WORD if attribute is None else attribute.measure

    def end(text: str | None, key: str) -> Any:
        return None if text is None else reader.input(text, measure, (*loc, key))

    condition = Condition(
        known_names(
            shape.when.changed,
            names.positions,
            "unknown-position",
            "a position",
            document,
            (*loc, "when", "changed"),
            faults,
        ),
        known_names(
            shape.when.fitted,
            names.positions,
            "unknown-position",
            "a position",
            document,
            (*loc, "when", "fitted"),
            faults,
        ),
        tuple(
            (found, tuple(words))
            for text, words in shape.when.words.items()
            if (found := reader.input(text, WORD, (*loc, "when", "words", text))) is not None
        ),
    )
    helps = known_names(
        shape.helps, names.positions, "unknown-position", "a position", document, (*loc, "helps"), faults
    )
    return Requirement(
        name,
        shape.severity,
        shape.says,
        shape.source,
        condition,
        subject,
        end(shape.at_least, "at_least"),
        end(shape.at_most, "at_most"),
        tuple(shape.one_of),
        helps,
        shape.measure_first,
    )


def read_layout(folder: Path, shared: Path | None = None) -> Layout:
    """Read a layout's folder together with the shared kinds.

    Raises :class:`BadInput` with every fault found.
    """
    faults = Faults()
    sections, head, conditions = _sections((shared or shared_folder(), folder), faults)
    interfaces = {k: _interface(k, s, d, at, faults) for k, (s, d, at) in sections["interfaces"].items()}
    kinds = {k: _kind(k, s, interfaces, d, at, faults) for k, (s, d, at) in sections["kinds"].items()}
    body = {
        k: port
        for k, (s, d, at) in sections["body"].items()
        if (port := _port(k, s, interfaces, d, at, faults)) is not None
    }
    vehicle = {k: _attribute(k, s, d, at, faults) for k, (s, d, at) in sections["vehicle"].items()}
    positions: dict[str, Position] = {}
    for k, (s, d, at) in sections["positions"].items():
        kind = kinds.get(s.kind)
        if kind is None:
            faults.add(d, (*at, "kind"), "unknown-kind", repr(s.kind), "a part kind", nearest(s.kind, kinds))
            continue
        if s.host is not None and s.host not in sections["positions"]:
            faults.add(
                d, (*at, "host"), "unknown-position", repr(s.host), "a position", nearest(s.host, sections["positions"])
            )
        # What stands for nothing is no size of a thing: a missing block is 0 mm high, a block that is there is not.
        any_size = {name: replace(attribute, valid=None) for name, attribute in kind.properties.items()}
        absent = values_at(
            s.absent, any_size, f"a {s.kind}", evidence_at("measured", d, at, faults), d, (*at, "absent"), faults
        )
        positions[k] = Position(k, s.kind, s.about, s.count, s.optional, absent, s.host, s.where, s.group)
    _hosts_are_trees(positions, sections["positions"], faults)
    joins = _joins(sections["joins"], positions, kinds, body, faults)
    measures = {k: s.measure for k, (s, _, _) in sections["quantities"].items()} | EFFORT
    names = Names(positions, kinds, {k: i.attributes for k, i in interfaces.items()}, vehicle, measures)
    quantities = {k: _quantity(k, s, Reader(names, d, faults), at) for k, (s, d, at) in sections["quantities"].items()}
    requirements = tuple(
        _requirement(k, s, names, Reader(names, d, faults), at, faults)
        for k, (s, d, at) in sorted(sections["requirements"].items())
    )
    work = read_work(sections, names, faults)
    _acyclic(quantities, sections["quantities"], faults)
    layout = Layout(
        "" if head is None else str(head.tree["name"]),
        "" if head is None else str(head.tree.get("about", "")),
        interfaces,
        kinds,
        dict(sorted(positions.items())),
        dict(sorted(body.items())),
        dict(sorted(vehicle.items())),
        joins,
        dict(sorted(quantities.items())),
        requirements,
        work.tasks,
        work.cautions,
        work.apart,
        work.fasteners,
    )
    wear = read_wear(layout, conditions, faults)
    if faults.found:
        raise BadInput(faults.found)
    if head is None:
        raise SwapwrightError(f"no file in {folder.name} gives the layout's name")
    return replace(layout, wear=wear)


def _hosts_are_trees(positions: Mapping[str, Position], section: Section, faults: Faults) -> None:
    for name in positions:
        seen, at = {name}, positions[name].host
        while at is not None and at in positions:
            if at in seen:
                _, document, loc = section[name]
                faults.add(document, (*loc, "host"), "cycle", f"{name} sits on itself", "hosts without a circle")
                break
            seen.add(at)
            at = positions[at].host


def _acyclic(quantities: Mapping[str, Quantity], section: Section, faults: Faults) -> None:
    needs = {
        name: {i.name for i in inputs_of(quantity) if i.source == "quantity" and i.name in quantities}
        for name, quantity in quantities.items()
    }
    try:
        TopologicalSorter(needs).prepare()
    except CycleError as error:
        circle = error.args[1]
        _, document, loc = section[circle[0]]
        faults.add(
            document,
            loc,
            "cycle",
            f"quantities in a circle: {' < '.join(circle)}",
            "quantities that do not need themselves",
        )
