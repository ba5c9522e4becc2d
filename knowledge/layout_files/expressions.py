"""How a layout's data says where a number comes from.

An input is written in one text:

=======================  ====================================================================
``front_coil.wire``      a property of the part chosen at a position
``wheel.face.offset``    an attribute of one of its ports
``vehicle.wheelbase``    a property of the car
``goal.load_mass``       what the goal carries (``load_mass``, ``load_behind``, ``load_height``)
``stock.front_height``   a quantity on the car as it stands
``stock.front_coil.wire`` an attribute of the part now fitted
``front_height``         another quantity
``6 mm``, ``0.9``        a number, in the measure of the place it stands in
``=locked``              a word
=======================  ====================================================================

A way to compute is an input, a formula with its inputs by name (or a list under ``of``), or a choice by a
word: ``{choose: rear_brake.form, drum: ..., disc: ...}``.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from shared.evidence import Evidence, Value
from shared.interface import WORD, Attribute, PartKind, Port
from shared.layout import Call, Choice, Input, Position, Way
from shared.ranges import Range
from shared.units import measures

from ..files.documents import Document, Faults, Loc
from ..files.shape import nearest, unknown_name
from ..files.values import quantity_at
from ..formulas import formulas

GOAL_INPUTS = {"load_mass": "mass", "load_behind": "length", "load_height": "length"}
ANY = "any"
ADDING = ("total", "difference", "absolute")  # of the plain arithmetic: all of one measure, that of the result
_NAME = re.compile(r"[a-z_]\w*\Z")


@dataclass(frozen=True)
class Names:
    """What an expression may refer to."""

    positions: Mapping[str, Position]
    kinds: Mapping[str, PartKind]
    interfaces: Mapping[str, Mapping[str, Attribute]]
    vehicle: Mapping[str, Attribute]
    quantities: Mapping[str, str]


@dataclass
class Reader:
    """Reads expressions of one document, noting faults."""

    names: Names
    document: Document
    faults: Faults

    def attribute(self, position: str, path: str) -> Attribute | None:
        """The attribute a path names on the parts of a position."""
        kind = self.names.kinds.get(self.names.positions[position].kind)
        if kind is None:
            return None
        port, dot, name = path.partition(".")
        if not dot:
            return kind.properties.get(path)
        found: Port | None = kind.ports.get(port)
        return None if found is None else self.names.interfaces.get(found.interface, {}).get(name)

    @staticmethod
    def _literal_measure(text: str, measure: str) -> str:
        """``any`` (an input of plain arithmetic) is a ratio where a bare number stands, else it is owed a measure."""
        head, _, of = measure.partition(":")
        if head != ANY:
            return measure
        return of if of and text.rstrip()[-1:].isalpha() else "ratio"

    def _part(self, source: Any, position: str, path: str, text: str, loc: Loc) -> Input | None:
        attribute = self.attribute(position, path)
        if attribute is None:
            kind = self.names.kinds.get(self.names.positions[position].kind)
            known = [] if kind is None else [*kind.properties, *kind.ports]
            self.faults.add(
                self.document,
                loc,
                "unknown-attribute",
                repr(text),
                f"an attribute of a {self.names.positions[position].kind}",
                nearest(path, known),
            )
            return None
        return Input(source, position, path)

    def measure(self, found: Input) -> str:
        """The measure of what an input names; empty where that cannot be told."""
        if found.source in ("quantity", "stock"):
            return self.names.quantities[found.name]
        if found.source == "vehicle":
            return self.names.vehicle[found.name].measure
        if found.source == "goal":
            return GOAL_INPUTS[found.name]
        attribute = self.attribute(found.name, found.path) if found.source in ("part", "stock_part") else None
        return "" if attribute is None else attribute.measure

    def input(self, text: Any, measure: str, loc: Loc) -> Input | None:
        """One input of a place that takes a ``measure``: a number of it, or the name of something that has it."""
        found = self.named(text, measure, loc)
        return found if found is not None and self.suits(found, text, measure, loc) else None

    def suits(self, found: Input, text: Any, measure: str, loc: Loc) -> bool:
        """Whether what an input names has the measure of its place; a fault if not."""
        named = self.measure(found)
        good = not named or measure.startswith(ANY) or _alike(named, measure)
        if not good:
            self.faults.add(self.document, loc, "bad-value", f"{text!r}, {_called(named)}", _called(measure))
        return good

    def named(self, text: Any, measure: str, loc: Loc) -> Input | None:
        """One input, whatever it is the measure of; a number is read as ``measure``."""
        if not isinstance(text, str):
            self.faults.add(self.document, loc, "shape", "a list or mapping", "one input")
            return None
        text = text.strip()
        if text.startswith("="):
            return Input("literal", text, value=Value(text[1:], text[1:], Evidence.PUBLISHED))
        head, dot, rest = text.partition(".")
        if not _NAME.match(head):
            measure = self._literal_measure(text, measure)
            read = quantity_at(text, measure, self.document, loc, self.faults) if measure != WORD else None
            return None if read is None else Input("literal", text, value=Value(read, text, Evidence.PUBLISHED))
        if not dot:
            if text in self.names.quantities:
                return Input("quantity", text)
            unknown_name(
                text,
                self.names.quantities,
                "unknown-quantity",
                "a quantity of the layout",
                self.document,
                loc,
                self.faults,
            )
            return None
        if head == "vehicle":
            if rest in self.names.vehicle:
                return Input("vehicle", rest)
            self.faults.add(
                self.document,
                loc,
                "unknown-attribute",
                repr(text),
                "a property of the car",
                nearest(rest, self.names.vehicle),
            )
            return None
        if head == "goal":
            if rest in GOAL_INPUTS:
                return Input("goal", rest)
            self.faults.add(
                self.document, loc, "unknown-attribute", repr(text), "a load of the goal", nearest(rest, GOAL_INPUTS)
            )
            return None
        if head == "stock":
            position, more, path = rest.partition(".")
            if not more and rest in self.names.quantities:
                return Input("stock", rest)
            if more and position in self.names.positions:
                return self._part("stock_part", position, path, text, loc)
            self.faults.add(
                self.document,
                loc,
                "unknown-quantity",
                repr(text),
                "a quantity, or a part now fitted",
                nearest(rest, self.names.quantities),
            )
            return None
        if head in self.names.positions:
            return self._part("part", head, rest, text, loc)
        self.faults.add(
            self.document,
            loc,
            "unknown-position",
            repr(text),
            "a position of the layout",
            nearest(head, [*self.names.positions, "vehicle", "goal", "stock"]),
        )
        return None

    def way(self, tree: Any, measure: str, loc: Loc) -> Way | None:
        """A way to compute a quantity of ``measure``."""
        if isinstance(tree, str):
            return self.input(tree, measure, loc)
        if not isinstance(tree, Mapping):
            self.faults.add(self.document, loc, "shape", "a list", "an input, a formula or a choice")
            return None
        if "choose" in tree:
            by = self.input(tree["choose"], WORD, (*loc, "choose"))
            ways = {k: self.way(v, measure, (*loc, k)) for k, v in tree.items() if k != "choose"}
            if by is None or any(w is None for w in ways.values()):
                return None
            return Choice(by, {k: w for k, w in ways.items() if w is not None})
        return self._call(tree, measure, loc)

    def _call(self, tree: Mapping[str, Any], result: str, loc: Loc) -> Call | None:
        """A formula and its inputs, for a quantity of the measure ``result``."""
        name = str(tree.get("formula", ""))
        found = formulas().get(name)
        if found is None:
            unknown_name(
                name, formulas(), "unknown-formula", "a formula", self.document, (*loc, "formula"), self.faults
            )
            return None
        if found.result.measure != ANY and not _alike(found.result.measure, result):
            gives = f"{name}, which gives {_called(found.result.measure)}"
            self.faults.add(self.document, (*loc, "formula"), "bad-value", gives, _called(result))
            return None
        free = result if name in ADDING else f"{ANY}:{result}"
        owed = {a.name: free if a.measure == ANY else a.measure for a in found.arguments}
        if "of" in tree:
            listed = tree["of"]
            measure = next(iter(owed.values()), "ratio")
            if found.names or not isinstance(listed, list):
                self.faults.add(self.document, (*loc, "of"), "unknown-formula", f"a list for {name}", "inputs by name")
                return None
            inputs = [self.input(text, measure, (*loc, "of", i)) for i, text in enumerate(listed)]
            return None if None in inputs else Call(name, tuple(i for i in inputs if i is not None))
        given = {k: v for k, v in tree.items() if k not in ("formula", "basis")}
        for key in given:
            if key not in owed:
                self.faults.add(
                    self.document,
                    (*loc, key),
                    "unknown-formula",
                    f"{name} has no input {key!r}",
                    f"the inputs {', '.join(found.names)}",
                    nearest(key, owed),
                )
        ordered: list[Input | None] = []
        for argument in found.arguments:
            if argument.name in given:
                ordered.append(self.input(given[argument.name], owed[argument.name], (*loc, argument.name)))
            elif argument.default is not None:
                text = str(argument.default)
                ordered.append(Input("literal", text, value=_default(argument.default)))
            else:
                self.faults.add(
                    self.document,
                    loc,
                    "missing-key",
                    f"{name} without {argument.name!r}",
                    f"the inputs {', '.join(found.names)}",
                )
                ordered.append(None)
        return None if None in ordered else Call(name, tuple(i for i in ordered if i is not None))


def _alike(one: str, other: str) -> bool:
    """Whether two measures are kept in one unit, so that what is said of one can stand for the other."""
    if WORD in (one, other):
        return one == other
    return one == other or measures()[one].si == measures()[other].si


def _called(measure: str) -> str:
    return "a word" if measure == WORD else measures()[measure].called


def _default(value: float | str) -> Value:
    stated = value if isinstance(value, str) else Range.exactly(float(value))
    return Value(stated, str(value), Evidence.PUBLISHED)
