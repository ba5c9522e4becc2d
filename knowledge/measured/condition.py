"""Wear limits: by part kind and attribute, when a used piece is left where it is, each with its source.

The limits are data: ``condition.yaml``, shared by all layouts, and files of that format in a layout's own folder.
Those of the published regulation come from the table of inspection limits
by the id of their row.  An inspection's number is law for the cars in its scope and good advice for every other.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path

from shared.interface import WORD, Attribute
from shared.layout import Layout
from shared.reading import Read, ReadingError, read_quantity
from shared.units import measures
from shared.wear import End, WearLimit

from ..files.documents import Document, Faults, Loc, read
from ..files.shape import Shape, nearest, shaped
from ..files.values import quantity_at, valid_at
from ..standards.inspection import InspectionLimit, inspection_limits
from .readable import VEHICLE, kind_attributes, vehicle_attributes

FILE = "condition.yaml"
FORMAT = "swapwright condition"
_SHARE = re.compile(r"(.+%) of ([a-z_.]+)\Z")
_PATH = re.compile(r"[a-z_]+(\.[a-z_]+)?\Z")


class LimitShape(Shape):
    """One limit of the file."""

    measure: str | None = None
    one_of: tuple[str, ...] = ()
    read: str = ""
    uncertainty: str | None = None
    valid: str | None = None
    at_least: str | None = None
    at_most: str | None = None
    apart: str | None = None
    accept: tuple[str, ...] = ()
    says: str
    inspection: tuple[str, ...] = ()
    source: str = ""


class ConditionShape(Shape):
    """The file of wear limits."""

    format: str
    version: int
    limits: dict[str, dict[str, LimitShape]]


@dataclass
class _Maker:
    """Makes limits of the file's entries for one layout, noting what does not agree with its part kinds."""

    layout: Layout
    document: Document
    faults: Faults

    def own_attribute(self, kind: str, path: str) -> Attribute | None:
        """The attribute a part kind, or the car, has itself."""
        has = vehicle_attributes(self.layout) if kind == VEHICLE else kind_attributes(self.layout, kind)
        return has.get(path)

    def number(self, text: str | None, measure: str, loc: Loc) -> float:
        """A distance in SI; 0 where none is given."""
        found = None if text is None else quantity_at(text, measure, self.document, loc, self.faults)
        return 0.0 if found is None else found.hi

    def valid(self, text: str | None, measure: str, loc: Loc) -> Read | None:
        """What wear may be read as: from nothing up, where the limit does not say otherwise."""
        valid = valid_at(text, measure, self.document, loc, self.faults)
        if text is not None or valid is None or valid.value.lo < 0.0:
            return valid
        zero = "0 " + measures()[measure].metric.unit
        return read_quantity(f"{zero.strip()} to {valid.text.partition(' to ')[2]}", measure)

    def end(self, kind: str, text: str | None, measure: str, loc: Loc) -> tuple[End, ...]:
        """One end as written: a number, an attribute of the part, or a share of one."""
        if text is None:
            return ()
        share = _SHARE.match(text)
        path = share[2] if share else text if _PATH.match(text) else ""
        if path:
            if self.own_attribute(kind, path) is None:
                self.faults.add(self.document, loc, "unknown-attribute", repr(path), f"an attribute of {_a(kind)}")
            return (End(None, path, self.number(share[1], "share", loc) if share else 1.0),)
        return (End(self.number(text, measure, loc)),)

    def limit(self, kind: str, name: str, shape: LimitShape) -> WearLimit | None:
        """One entry of the file as a limit."""
        loc: Loc = ("limits", kind, name)
        has = self.own_attribute(kind, name)
        if (has is None) == (shape.measure is None):
            expected = f"an attribute of {_a(kind)}, or a new name with its measure"
            self.faults.add(self.document, loc, "unknown-attribute", repr(name), expected)
            return None
        measure = has.measure if has is not None else shape.measure or WORD
        if not measure:  # a layout's fault, told where it stands
            return None
        attribute = has or Attribute(
            name,
            measure,
            shape.says,
            shape.one_of,
            read=shape.read,
            uncertainty=self.number(shape.uncertainty, measure, (*loc, "uncertainty")),
            valid=self.valid(shape.valid, measure, (*loc, "valid")),
        )
        low = self.end(kind, shape.at_least, measure, (*loc, "at_least"))
        high = self.end(kind, shape.at_most, measure, (*loc, "at_most"))
        sources = [shape.source] if shape.source else []
        for name_of_row in shape.inspection:
            row = inspection_limits().get(name_of_row)
            if row is None:
                self.faults.add(self.document, (*loc, "inspection"), "unknown-word", repr(name_of_row), "a row's id")
                continue
            sources.append(cited(row))
            end: tuple[End, ...] = () if measure == WORD else regulation_end(row, measure)
            if row.kind == "max":
                high = (*high, *end)
            else:
                low = (*low, *end)
        return WearLimit(
            kind=kind,
            path=name,
            attribute=attribute,
            own=has is None,
            says=shape.says,
            source="; ".join(sources),
            at_least=low,
            at_most=high,
            apart=None if shape.apart is None else self.number(shape.apart, measure, (*loc, "apart")),
            accept=shape.accept,
            inspection=shape.inspection,
        )


def _a(kind: str) -> str:
    return "the car" if kind == VEHICLE else f"a {kind}"


def cited(row: InspectionLimit) -> str:
    """Where an inspection limit stands, how it is known, and for which cars it is law."""
    known = "" if row.known_by == "read" else " (from memory)"
    scope = "" if row.binds_light_cars else f", written for {row.scope}"
    title = f"49 CFR {row.clause}" if row.source.startswith("49 CFR") else f"{row.source}, {row.clause}"
    return f"{title}{known}{scope}"


def regulation_end(row: InspectionLimit, measure: str) -> tuple[End, ...]:
    """The number of an inspection row as a limit on a measure; none where it has no number of that measure."""
    try:
        return (End(read_quantity(f"{row.limit!r} {row.unit}", measure).value.lo),)
    except ReadingError:
        return ()


def read_wear(layout: Layout, own: Sequence[Document], faults: Faults) -> dict[str, tuple[WearLimit, ...]]:
    """The limits of every part kind a layout has, and of its ``vehicle``; faults where they do not agree with it.

    ``own`` are the files of limits in the layout's folder: an entry there takes the place of the shared one of that
    kind and name.  The shared file tells of kinds a layout need not have.
    """
    made: dict[tuple[str, str], WearLimit] = {}
    path = Path(str(files("knowledge.measured"))) / FILE
    shared = read(path, path.name, faults)
    stands: set[tuple[str, str]] = set()
    for document in (*(() if shared is None else (shared,)), *own):
        shape = shaped(ConditionShape, document.tree, document, (), faults)
        maker = _Maker(layout, document, faults)
        for kind, entries in ({} if shape is None else shape.limits).items():
            if kind not in layout.kinds and kind != VEHICLE:
                if document is not shared:
                    mend = nearest(kind, [*layout.kinds, VEHICLE])
                    faults.add(document, ("limits", kind), "unknown-kind", repr(kind), "a part kind, or vehicle", mend)
                continue
            for name, entry in entries.items():
                if document is not shared and (kind, name) in stands:
                    faults.add(document, ("limits", kind, name), "duplicate-id", repr(name), "one limit of that name")
                stands |= {(kind, name)} if document is not shared else set()
                limit = maker.limit(kind, name, entry)
                if limit is not None:
                    made[kind, name] = limit
    found: dict[str, tuple[WearLimit, ...]] = {}
    for (kind, _), limit in made.items():
        found[kind] = (*found.get(kind, ()), limit)
    return found
