"""Reading catalogues: folders of YAML files of parts, many files in any order, ids unique across them all.

``like`` takes from another part what the entry does not say itself, but for where it comes from, what can be done to
it and what it brings.  An ``alterations`` entry makes
a further part out of the one it stands in; ``brings`` makes, for each part an assembly comes with, a further
candidate at that position that costs nothing and is only there with its assembly.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from itertools import combinations
from pathlib import Path
from typing import Any

from shared.evidence import Evidence, Value
from shared.layout import Layout
from shared.part import Donor, Part, Place
from shared.ranges import Range

from .documents import Document, Faults, Loc, read, yaml_files
from .layouts import check_format
from .shapes import FORMATS, CatalogueShape, DonorShape, PartShape, nearest, shaped
from .values import cost_at, evidence_at, values_at

FORMAT = "swapwright catalogue"
NOTHING = Range(0.0, 0.0)
_ID = re.compile(r"[a-z0-9][a-z0-9.-]*\Z")
_YEARS = re.compile(r"(\d{4})(?:\s*(?:-|–|to)\s*(\d{4}))?\Z")
_NEVER_INHERITED = ("id", "like", "alterations", "brings", "donors", "note", "core")


@dataclass(frozen=True)
class _Entry:
    """A part as it is written: with what it takes from the part it is ``like``, and what stands there itself.

    ``lost`` tells that it is like something that is not there, so that what it does not say is no fault of its own.
    """

    tree: dict[str, Any]
    document: Document
    loc: Loc
    own: Mapping[str, Any]
    base: str | None = None
    lost: bool = False


@dataclass
class _PartFaults(Faults):
    """The faults of one part, but for those it only inherits from a part that told them: ``told`` there."""

    entry: _Entry | None = None
    before: Collection[tuple[str, str, str]] = ()
    told: set[tuple[str, str, str]] = field(default_factory=set)

    def add(self, document: Document, loc: Loc, code: str, found: str, expected: str, mend: str = "") -> None:
        """Note a fault, unless it stands in the other part and was told there."""
        self.told.add((code, found, expected))
        here: Any = None if self.entry is None else self.entry.own
        for step in loc[0 if self.entry is None else len(self.entry.loc) :]:
            if isinstance(here, Mapping):
                here = here.get(step)
            else:
                here = here[step] if isinstance(here, list) and isinstance(step, int) and step < len(here) else None
        if here is not None or (code, found, expected) not in self.before:
            super().add(document, loc, code, found, expected, mend)


def years_in(text: str) -> tuple[int, int] | None:
    """The first and last of ``1990`` or ``1990-1995``; ``None`` where a text is no years."""
    match = _YEARS.match(text.strip())
    return None if match is None else (int(match[1]), int(match[2] or match[1]))


def years_at(text: str, document: Document, loc: Loc, faults: Faults) -> tuple[int | None, int | None]:
    """Read ``1990`` or ``1990-1995``."""
    span = years_in(text)
    if span is None:
        faults.add(document, loc, "bad-years", repr(text), "a year or a range of years, as 1990-1995")
        return None, None
    first, last = span
    if last < first:
        faults.add(document, loc, "bad-years", repr(text), "years that run forward", f"{last}-{first}")
    return first, last


def _donor(shape: DonorShape, document: Document, loc: Loc, faults: Faults) -> Donor:
    first, last = (None, None) if shape.years is None else years_at(shape.years, document, (*loc, "years"), faults)
    return Donor(
        shape.make,
        shape.model,
        first,
        last,
        tuple(shape.engines),
        tuple(shape.trims),
        tuple(shape.options),
        tuple(shape.excluded),
        tuple(shape.numbers),
        shape.recognise,
    )


def _merged(base: Mapping[str, Any], over: Mapping[str, Any]) -> dict[str, Any]:
    """``over`` laid on ``base``: mappings are merged, everything else replaced."""
    result = dict(base)
    for key, value in over.items():
        under = result.get(key)
        if isinstance(under, Mapping) and isinstance(value, Mapping) and "value" not in value:
            value = _merged(under, value)
        result[key] = value
    return result


def _inherit(entries: Mapping[str, _Entry], faults: Faults) -> dict[str, _Entry]:
    """Every entry with what it takes from the part it is like."""
    done: dict[str, _Entry] = {}

    def resolve(name: str, on_the_way: tuple[str, ...]) -> _Entry:
        if name in done:
            return done[name]
        entry = entries[name]
        like = entry.tree.get("like")
        if isinstance(like, str):
            loc = (*entry.loc, "like")
            lost = replace(entry, lost=True)
            if like not in entries:
                entry, mend = lost, nearest(like, entries)
                if not faults.blind:
                    faults.add(entry.document, loc, "unknown-part", repr(like), "the id of a part", mend)
            elif like in on_the_way or like == name:
                entry = lost
                faults.add(
                    entry.document,
                    loc,
                    "cycle",
                    f"{name} is like {like}, which is like {name}",
                    "parts that are like another without a circle",
                )
            else:
                base = resolve(like, (*on_the_way, name))
                kept = {k: v for k, v in base.tree.items() if k not in _NEVER_INHERITED}
                entry = replace(entry, tree=_merged(kept, entry.tree), base=like, lost=base.lost)
        elif like is not None:
            entry = replace(entry, lost=True)
        done[name] = entry
        return entry

    for name in sorted(entries):
        resolve(name, ())
    return done


class _Builder:
    """Makes parts of entries, for one layout."""

    def __init__(self, layout: Layout, faults: Faults) -> None:
        self.layout = layout
        self.all_faults = faults
        self.faults: Faults = faults
        self.told: dict[str, set[tuple[str, str, str]]] = {}
        self.homes: dict[str, tuple[str, ...]] = {}
        for position in layout.positions.values():
            self.homes[position.kind] = (*self.homes.get(position.kind, ()), position.name)

    def ports(
        self, stated: Mapping[str, Any], kind: str, evidence: Evidence, document: Document, loc: Loc
    ) -> dict[str, Mapping[str, Value] | None]:
        known = self.layout.kinds[kind].ports
        found: dict[str, Mapping[str, Value] | None] = {}
        for name, tree in stated.items():
            at = (*loc, name)
            if name not in known:
                self.faults.add(document, at, "unknown-port", repr(name), f"a port of a {kind}", nearest(name, known))
            elif tree == "none":
                found[name] = None
            elif isinstance(tree, str):
                self.faults.add(document, at, "shape", repr(tree), "attributes and values, or none")
            else:
                interface = self.layout.interfaces[known[name].interface]
                side = known[name].side
                here = {k: a for k, a in interface.attributes.items() if a.on in (None, side)}
                found[name] = values_at(
                    tree, here, f"{interface.name}{f' ({side})' if side else ''}", evidence, document, at, self.faults
                )
        return found

    def properties(
        self, stated: Mapping[str, Any], kind: str, evidence: Evidence, document: Document, loc: Loc
    ) -> dict[str, Value]:
        return values_at(stated, self.layout.kinds[kind].properties, f"a {kind}", evidence, document, loc, self.faults)

    def part(self, entry: _Entry) -> list[Part]:
        """The part of an entry, followed by the variants its alterations make; none where it cannot be made."""
        mine = _PartFaults(entry=entry, before=self.told.get(entry.base or "", ()))
        self.faults = mine
        made = self._made(entry, mine)
        self.told[entry.tree["id"]] = mine.told
        self.all_faults.found += mine.found
        if not made:
            self.all_faults.unsure.add(entry.tree["id"])
        return made

    def _made(self, entry: _Entry, faults: Faults) -> list[Part]:
        document, loc = entry.document, entry.loc
        tree = {"name": "", "kind": "", **entry.tree} if entry.lost else entry.tree
        shape = shaped(PartShape, tree, document, loc, faults)
        if shape is None:
            return []
        evidence = evidence_at(shape.evidence, document, (*loc, "evidence"), faults)
        money = (
            None
            if shape.price in (None, "unknown")
            else cost_at(str(shape.price), "money", document, (*loc, "price"), faults)
        )
        hours = (
            Range(0.0, 0.0) if shape.hours is None else cost_at(shape.hours, "time", document, (*loc, "hours"), faults)
        )
        core = None if shape.core is None else cost_at(shape.core, "money", document, (*loc, "core"), faults)
        donors = tuple(_donor(d, document, (*loc, "donors", i), faults) for i, d in enumerate(shape.donors))
        if entry.lost and not shape.kind:
            return []
        if shape.kind not in self.layout.kinds:
            faults.add(
                document,
                (*loc, "kind"),
                "unknown-kind",
                repr(shape.kind),
                "a part kind",
                nearest(shape.kind, self.layout.kinds),
            )
            return []
        homes = self.homes.get(shape.kind, ())
        for i, position in enumerate(shape.fits):
            if position not in self.layout.positions:
                faults.add(
                    document,
                    (*loc, "fits", i),
                    "unknown-position",
                    repr(position),
                    "a position",
                    nearest(position, self.layout.positions),
                )
            elif position not in homes:
                faults.add(
                    document,
                    (*loc, "fits", i),
                    "wrong-place",
                    f"a {shape.kind} at {position}",
                    f"one of {', '.join(homes)}",
                )
        part = Part(
            id=shape.id,
            name=shape.name,
            kind=shape.kind,
            positions=tuple(shape.fits) or homes,
            ports=self.ports(shape.ports, shape.kind, evidence, document, (*loc, "ports")),
            properties=self.properties(shape.properties, shape.kind, evidence, document, (*loc, "properties")),
            donors=donors,
            price=money,
            hours=hours or Range(0.0, 0.0),
            skill=shape.skill,
            buy=shape.buy,
            evidence=evidence,
            brings=dict(shape.brings),
            cautions=tuple(shape.cautions),
            note=shape.note,
            place=Place(document.name, document.line(loc)),
            core=core,
        )
        return [part, *self._altered(part, shape, entry)]

    def _altered(self, part: Part, shape: PartShape, entry: _Entry) -> Iterable[Part]:
        document, faults = entry.document, self.faults
        names = sorted(shape.alterations)
        for count in range(1, len(names) + 1):
            for chosen in combinations(names, count):
                made = part
                for name in chosen:
                    alteration = shape.alterations[name]
                    loc = (*entry.loc, "alterations", name)
                    price = cost_at(alteration.price, "money", document, (*loc, "price"), faults) or NOTHING
                    hours = cost_at(alteration.hours, "time", document, (*loc, "hours"), faults) or NOTHING
                    ports = self.ports(alteration.ports, part.kind, part.evidence, document, (*loc, "ports"))
                    merged = dict(made.ports)
                    for port, values in ports.items():
                        merged[port] = values if values is None else {**(merged.get(port) or {}), **values}
                    made = replace(
                        made,
                        name=f"{made.name}, {alteration.name}",
                        ports=merged,
                        properties={
                            **made.properties,
                            **self.properties(
                                alteration.properties, part.kind, part.evidence, document, (*loc, "properties")
                            ),
                        },
                        price=None if made.price is None else made.price + price,
                        hours=made.hours + hours,
                        altering_price=made.altering_price + price,
                        altering_hours=made.altering_hours + hours,
                        skill=max(made.skill, alteration.skill),
                        cautions=(*made.cautions, *((alteration.caution,) if alteration.caution else ())),
                    )
                yield replace(made, id="+".join((part.id, *chosen)), base=part.id, altered=chosen)


def _brought(parts: Mapping[str, Part], entries: Mapping[str, _Entry], layout: Layout, faults: Faults) -> list[Part]:
    """The candidates that come with assemblies; unknown ids and circles are faults."""
    made: list[Part] = []
    for host in parts.values():
        entry = entries[host.base or host.id]
        for position, brought in sorted(host.brings.items()):
            loc = (*entry.loc, "brings", position)
            if position not in layout.positions:
                faults.add(
                    entry.document,
                    loc,
                    "unknown-position",
                    repr(position),
                    "a position",
                    nearest(position, layout.positions),
                )
            elif brought in faults.unsure or (faults.blind and brought not in parts):
                continue
            elif brought not in parts:
                faults.add(
                    entry.document, loc, "unknown-part", repr(brought), "the id of a part", nearest(brought, parts)
                )
            elif position not in parts[brought].positions:
                faults.add(
                    entry.document,
                    loc,
                    "wrong-place",
                    f"{brought} at {position}",
                    f"a part for {', '.join(parts[brought].positions)}",
                )
            else:
                part = parts[brought]
                made.append(
                    replace(
                        part,
                        id=f"{part.id}@{host.id}",
                        name=f"{part.name} (with {host.name})",
                        positions=(position,),
                        price=Range(0.0, 0.0),
                        core=None,
                        hours=Range(0.0, 0.0),
                        skill=1,
                        host=host.id,
                        base=part.base or part.id,
                        donors=host.donors,
                        brings={},
                    )
                )
    _no_circles(parts, entries, faults)
    return made


def _no_circles(parts: Mapping[str, Part], entries: Mapping[str, _Entry], faults: Faults) -> None:
    state: dict[str, int] = {}

    def visit(name: str) -> None:
        state[name] = 1
        for other in parts[name].brings.values():
            if state.get(other) == 1:
                entry = entries[parts[name].base or name]
                faults.add(
                    entry.document,
                    (*entry.loc, "brings"),
                    "cycle",
                    f"{name} brings {other}, which brings {name}",
                    "assemblies without a circle",
                )
            elif other in parts and other not in state:
                visit(other)
        state[name] = 2

    for name in parts:
        if name not in state:
            visit(name)


def _bases_first(entries: Mapping[str, _Entry]) -> list[str]:
    """The ids in order, but each after the part it is like, whose faults are not to be told again."""
    order: dict[str, None] = {}
    for name in sorted(entries):
        chain, at = [], name
        while at not in order and at not in chain:
            chain.append(at)
            at = entries[at].base or at
        order.update(dict.fromkeys(reversed(chain)))
    return list(order)


def read_parts(documents: Iterable[Document], layout: Layout, faults: Faults) -> dict[str, Part]:
    """The parts of all documents by id, alterations and what assemblies bring included, in the order of ids."""
    entries: dict[str, _Entry] = {}
    others: list[_Entry] = []
    for document in documents:
        shape = shaped(CatalogueShape, document.tree, document, (), faults)
        if shape is None:
            faults.blind = True
            continue
        for i, tree in enumerate(shape.parts):
            loc: Loc = ("parts", i)
            if not isinstance(tree, dict):
                faults.add(document, loc, "shape", "no mapping", "keys and values")
                continue
            name = tree.get("id")
            if not isinstance(name, str) or not _ID.match(name):
                faults.add(document, loc, "bad-id", repr(name), "an id of small letters, digits, hyphens and dots")
                continue
            if name in entries:
                other = entries[name]
                faults.add(
                    document,
                    (*loc, "id"),
                    "duplicate-id",
                    repr(name),
                    "an id used once",
                    f"it also stands in {other.document.name}:{other.document.line(other.loc)}",
                )
                faults.unsure.add(name)
                others.append(_Entry(tree, document, loc, tree))
                continue
            entries[name] = _Entry(tree, document, loc, tree)
    entries = _inherit(entries, faults)
    builder = _Builder(layout, faults)
    parts = {part.id: part for name in _bases_first(entries) for part in builder.part(entries[name])}
    for entry in others:  # which of the two is meant is not known, but both have to be right
        again = f"{entry.tree['id']} "
        builder.part(_inherit({**entries, again: entry}, Faults())[again])
    for part in _brought(parts, entries, layout, faults):
        parts[part.id] = part
    return dict(sorted(parts.items()))


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


def catalogue_documents(folder: Path, faults: Faults) -> list[Document]:
    """The catalogue files below a folder; files of other formats there are passed over."""
    documents = []
    before = len(faults.found)
    for path, name in yaml_files(folder, folder, faults):
        document = read(path, name, faults)
        if document is None:
            continue
        said = document.tree.get("format")
        if said == FORMAT:
            if check_format(document, FORMAT, faults):
                documents.append(document)
        elif said not in FORMATS:
            check_format(document, FORMAT, faults)
    faults.blind |= len(faults.found) > before
    return documents
