"""Reading layouts: the folders of data that say how one kind of car goes together.

A layout is every section of every file in its folder, together with the interface kinds and part kinds that
all layouts share.  The order of files and of entries does not matter.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from graphlib import CycleError, TopologicalSorter
from pathlib import Path
from typing import Any

from shared.errors import SwapwrightError
from shared.faults import BadInput
from shared.interface import WORD
from shared.layout import Condition, Layout, Position, Quantity, Requirement
from shared.units import measures

from ..computing.quantities import inputs_of
from ..files.documents import Document, Faults, Loc, read
from ..files.folders import yaml_files
from ..files.formats import check_format, check_version
from ..files.shape import known_names, shaped, unknown_name
from ..files.values import evidence_at, values_at
from ..layouts import EFFORT
from ..measured.condition import FORMAT as CONDITION
from ..measured.condition import read_wear
from .expressions import Names, Reader
from .joins import joins_of
from .kinds import attribute_of, interface_of, kind_of, port_of
from .sentences import quotes_at
from .shapes import LayoutShape, QuantityShape, RequirementShape
from .work import read_work

FORMAT = "swapwright layout"
Section = dict[str, tuple[Any, Document, Loc]]


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
            if document is not None and document.tree.get("format") == CONDITION and check_version(document, faults):
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
    subject = reader.named(shape.subject, WORD, (*loc, "subject")) if shape.subject is not None else None
    measure = WORD if subject is None or subject.source == "literal" else reader.measure(subject)

    def end(text: str | None, key: str) -> Any:
        return None if text is None or not measure else reader.input(text, measure, (*loc, key))

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


def layout_of(folders: Iterable[Path], name: str) -> Layout:
    """The layout that the files of these folders make together.

    Raises :class:`BadInput` with every fault found.
    """
    faults = Faults()
    sections, head, conditions = _sections(folders, faults)
    interfaces = {k: interface_of(k, s, d, at, faults) for k, (s, d, at) in sections["interfaces"].items()}
    kinds = {k: kind_of(k, s, interfaces, d, at, faults) for k, (s, d, at) in sections["kinds"].items()}
    body = {
        k: port
        for k, (s, d, at) in sections["body"].items()
        if (port := port_of(k, s, interfaces, d, at, faults)) is not None
    }
    vehicle = {k: attribute_of(k, s, d, at, faults) for k, (s, d, at) in sections["vehicle"].items()}
    positions: dict[str, Position] = {}
    for k, (s, d, at) in sections["positions"].items():
        kind = kinds.get(s.kind)
        if kind is None:
            unknown_name(s.kind, kinds, "unknown-kind", "a part kind", d, (*at, "kind"), faults)
            continue
        if s.host is not None and s.host not in sections["positions"]:
            unknown_name(s.host, sections["positions"], "unknown-position", "a position", d, (*at, "host"), faults)
        # What stands for nothing is no size of a thing: a missing block is 0 mm high, a block that is there is not.
        any_size = {name: replace(attribute, valid=None) for name, attribute in kind.properties.items()}
        absent = values_at(
            s.absent, any_size, f"a {s.kind}", evidence_at("measured", d, at, faults), d, (*at, "absent"), faults
        )
        positions[k] = Position(k, s.kind, s.about, s.count, s.optional, absent, s.host, s.where, s.group)
    _hosts_are_trees(positions, sections["positions"], faults)
    joins = joins_of(sections["joins"], positions, kinds, body, faults)
    for s, d, at in sections["quantities"].values():
        if s.measure not in measures():
            unknown_name(s.measure, measures(), "unknown-word", "a measure", d, (*at, "measure"), faults)
    # Of a quantity whose measure is none, nothing is said where it is named.
    kept_in = {k: s.measure if s.measure in measures() else "" for k, (s, _, _) in sections["quantities"].items()}
    names = Names(positions, kinds, {k: i.attributes for k, i in interfaces.items()}, vehicle, kept_in | EFFORT)
    quantities = {
        k: _quantity(k, s, Reader(names, d, faults), at)
        for k, (s, d, at) in sections["quantities"].items()
        if kept_in[k]
    }
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
        raise SwapwrightError(f"no file in {name} gives the layout's name")
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
