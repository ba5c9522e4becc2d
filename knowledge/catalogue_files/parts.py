"""Parts made of the entries of a catalogue, with what alterations make of them.

A catalogue is mostly further pieces of few patterns: what the same words say of the same thing is read once, and is
one object.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field, replace
from itertools import combinations
from typing import Any

from shared.evidence import Evidence, Value
from shared.interface import Attribute
from shared.layout import Layout
from shared.part import NOTHING, Donor, Part, Place

from ..files.documents import Document, Faults, Loc
from ..files.shape import nearest_or_all, shaped, unknown_name
from ..files.values import cost_at, evidence_at, values_at
from ..yard.car import years_of
from .shapes import DonorShape, PartShape

_YEARS = re.compile(r"(\d{4})(?:\s*(?:-|–|to)\s*(\d{4}))?\Z")


@dataclass(frozen=True)
class Entry:
    """A part as it is written: with what it takes from the part it is ``like``, and what stands there itself.

    ``lost`` tells that it is like something that is not there, so that what it does not say is no fault of its own;
    ``other`` names the part it is like, with its kind, where that is another kind than its own.
    """

    tree: dict[str, Any]
    document: Document
    loc: Loc
    own: Mapping[str, Any]
    base: str | None = None
    lost: bool = False
    other: str = ""


@dataclass
class _PartFaults(Faults):
    """The faults of one part, but for those it only inherits from a part that told them: ``told`` there.

    ``noted`` counts all of them, told or not: what has a fault is not remembered as right.
    """

    entry: Entry | None = None
    before: Collection[tuple[str, str, str]] = ()
    told: set[tuple[str, str, str]] = field(default_factory=set)
    noted: int = 0
    crossed: bool = False

    def add(self, document: Document, loc: Loc, code: str, found: str, expected: str, mend: str = "") -> None:
        """Note a fault, unless it stands in the other part and was told there."""
        self.noted += 1
        self.told.add((code, found, expected))
        here: Any = None if self.entry is None else self.entry.own
        for step in loc[0 if self.entry is None else len(self.entry.loc) :]:
            if isinstance(here, Mapping):
                here = here.get(step)
            else:
                here = here[step] if isinstance(here, list) and isinstance(step, int) and step < len(here) else None
        if here is None and (code, found, expected) in self.before:
            return
        if here is None and self.entry is not None and self.entry.other and code != "missing-key":
            if not self.crossed:  # all that does not fit comes of one slip
                of = self.entry.tree.get("kind")
                mend = f"name a part of the kind {of}, or leave `like` out"
                super().add(
                    self.entry.document,
                    (*self.entry.loc, "like"),
                    "contradiction",
                    f"a {of} that is like {self.entry.other}",
                    f"a part that is like another {of}",
                    mend,
                )
            self.crossed = True
        else:
            super().add(document, loc, code, found, expected, mend)


def years_in(text: str) -> tuple[int, int] | None:
    """The first and last of ``1990`` or ``1990-1995``; ``None`` where a text is no years."""
    match = _YEARS.match(text.strip())
    return None if match is None else (int(match[1]), int(match[2] or match[1]))


def years_at(text: str, document: Document, loc: Loc, faults: Faults) -> tuple[int | None, int | None]:
    """Read ``1990`` or ``1990-1995``."""
    span = years_in(text)
    if span is None:
        meant, _ = years_of(text)
        whole = "" if meant is None else f"{meant[0]}-{meant[1]}" if meant[1] > meant[0] else str(meant[0])
        mend = f"did you mean {whole}?" if whole else ""
        faults.add(document, loc, "bad-years", repr(text), "a year or a range of years, as 1990-1995", mend)
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


class Builder:
    """Makes parts of entries, for one layout."""

    def __init__(self, layout: Layout, faults: Faults) -> None:
        self.layout = layout
        self.all_faults = faults
        self.faults = _PartFaults()
        self.told: dict[str, set[tuple[str, str, str]]] = {}
        self.homes: dict[str, tuple[str, ...]] = {}
        for position in layout.positions.values():
            self.homes[position.kind] = (*self.homes.get(position.kind, ()), position.name)
        self._known: dict[tuple[Any, ...], Mapping[str, Value]] = {}

    def ports(
        self, stated: Mapping[str, Any], kind: str, evidence: Evidence, document: Document, loc: Loc
    ) -> dict[str, Mapping[str, Value] | None]:
        """What is stated of the ports of a part of a kind."""
        known = self.layout.kinds[kind].ports
        found: dict[str, Mapping[str, Value] | None] = {}
        for name, tree in stated.items():
            at = (*loc, name)
            if name not in known:
                unknown_name(name, known, "unknown-port", f"a port of a {kind}", document, at, self.faults)
            elif tree == "none":
                found[name] = None
            elif isinstance(tree, str):
                self.faults.add(document, at, "shape", repr(tree), "attributes and values, or none")
            else:
                found[name] = self._values(tree, (known[name].interface, known[name].side), evidence, document, at)
        return found

    def properties(
        self, stated: Mapping[str, Any], kind: str, evidence: Evidence, document: Document, loc: Loc
    ) -> Mapping[str, Value]:
        """What is stated of the properties of a part of a kind."""
        return self._values(stated, (kind,), evidence, document, loc)

    def _table(self, of: tuple[str, str | None] | tuple[str]) -> tuple[str, Mapping[str, Attribute]]:
        """What the properties of a kind, or the attributes of a side of an interface, are called, and what they are."""
        if len(of) == 1:
            return f"a {of[0]}", self.layout.kinds[of[0]].properties
        interface, side = self.layout.interfaces[of[0]], of[1]
        return f"{interface.name}{f' ({side})' if side else ''}", interface.of_side(side)

    def _values(
        self,
        stated: Mapping[str, Any],
        of: tuple[str, str | None] | tuple[str],
        evidence: Evidence,
        document: Document,
        loc: Loc,
    ) -> Mapping[str, Value]:
        """The values stated; what was said before without a fault is not read again."""
        said = (of, evidence, *stated.items())
        try:
            known = self._known.get(said)
        except TypeError:  # not all of it is plain text
            said, known = (), None
        if known is None:
            before = self.faults.noted
            what, attributes = self._table(of)
            known = values_at(stated, attributes, what, evidence, document, loc, self.faults)
            if said and self.faults.noted == before:
                self._known[said] = known
        return known

    def part(self, entry: Entry) -> list[Part]:
        """The part of an entry, followed by the variants its alterations make; none where it cannot be made."""
        mine = self.faults = _PartFaults(entry=entry, before=self.told.get(entry.base or "", ()))
        made = self._made(entry)
        if mine.noted:
            self.told[entry.tree["id"]] = mine.told
            self.all_faults.found += mine.found
        if not made:
            self.all_faults.unsure.add(entry.tree["id"])
        return made

    def _made(self, entry: Entry) -> list[Part]:
        document, loc, faults = entry.document, entry.loc, self.faults
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
        hours = NOTHING if shape.hours is None else cost_at(shape.hours, "time", document, (*loc, "hours"), faults)
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
                nearest_or_all(shape.kind, self.layout.kinds, "known kinds"),
            )
            return []
        homes = self.homes.get(shape.kind, ())
        for i, position in enumerate(shape.fits):
            if position not in self.layout.positions:
                unknown_name(
                    position,
                    self.layout.positions,
                    "unknown-position",
                    "a position",
                    document,
                    (*loc, "fits", i),
                    faults,
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
            hours=hours or NOTHING,
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

    def _altered(self, part: Part, shape: PartShape, entry: Entry) -> Iterable[Part]:
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
