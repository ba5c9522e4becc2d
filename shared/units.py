"""The measures the project knows, how each is written and in which unit it is printed, and what it is in SI.

The table is data (``units.yaml``), closed, with its factors written out, so that reading a number needs no unit
library.  ``pint`` stands at the edges: :func:`dimension_of` and :func:`quantity` load it when they are called,
and the tests hold every factor of the table against it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Literal

from shared.ranges import Range

if TYPE_CHECKING:
    import pint

System = Literal["metric", "us"]

TABLE = Path(__file__).with_name("units.yaml")


@dataclass(frozen=True, slots=True)
class Print:
    """How a measure is printed under one system: the unit's spelling, its decimals, whether ``.00`` is left off."""

    unit: str
    decimals: int
    trim: bool


@dataclass(frozen=True, slots=True, eq=False)
class Measure:
    """One kind of quantity.

    ``spellings`` gives factor and offset of each way to write a unit: SI value = factor x value + offset.
    ``exact`` gives the same without rounding, ``pint`` the unit as pint spells it, ``offered`` one spelling of each
    unit.  ``plain_limit`` bounds a number written without a unit; ``whole`` allows only whole numbers from 0 up.
    ``valid`` is what an attribute of that measure may be stated as where it says nothing itself, as a person writes it.
    """

    name: str
    called: str
    si: str
    metric: Print
    us: Print
    valid: str
    whole: bool
    plain_limit: int | None
    offered: tuple[str, ...]
    spellings: Mapping[str, tuple[float, float]] = field(repr=False)
    exact: Mapping[str, tuple[Fraction, Fraction]] = field(repr=False)
    pint: Mapping[str, str] = field(repr=False)

    def printed(self, system: System) -> Print:
        """How this measure is printed under ``system``."""
        return self.metric if system == "metric" else self.us


@cache
def measures() -> Mapping[str, Measure]:
    """Every measure by its name, in the order of the table."""
    return MappingProxyType(_read_table(TABLE.read_text(encoding="utf-8")))


_LINE = re.compile(
    r"(?P<measure>\w+):"
    r"|  (?P<key>called|si|whole|plain_limit|valid): (?P<value>.+)"
    r"|  (?P<system>metric|us): \{unit: (?P<unit>'?)(?P<print>.*?)(?P=unit), decimals: (?P<decimals>\d)"
    r"(?P<trim>, trim: true)?\}"
    r"|  spellings:"
    r"|    - \{pint: (?P<pint>[^,]+), factor: (?P<factor>[^,]+)(?:, offset: (?P<offset>[^,]+))?, "
    r"spelled: \[(?P<spelled>.+)\]\}"
)
_ITEM = re.compile(r" *(?:'([^']*)'|([^,]+))")


def _read_table(text: str) -> dict[str, Measure]:
    """Read the line shapes ``units.yaml`` describes; a general YAML reader takes a quarter of a second for it."""
    rows: dict[str, dict[str, Any]] = {}
    row: dict[str, Any] = {}
    for number, line in enumerate(text.splitlines(), 1):
        if not line or line.startswith("#"):
            continue
        match = _LINE.fullmatch(line)
        if match is None:
            raise ValueError(f"units.yaml, line {number}: not one of the line shapes its head describes: {line!r}")
        if match["measure"]:
            row = rows[match["measure"]] = {"name": match["measure"], "exact": {}, "pint": {}, "offered": ()}
        elif match["key"]:
            row[match["key"]] = match["value"]
        elif match["system"]:
            row[match["system"]] = Print(match["print"], int(match["decimals"]), match["trim"] is not None)
        elif match["pint"]:
            spelled = [quoted or plain.strip() for quoted, plain in _ITEM.findall(match["spelled"])]
            pair = (_fraction(match["factor"]), _fraction(match["offset"] or "0"))
            row["exact"] |= dict.fromkeys(spelled, pair)
            row["pint"] |= dict.fromkeys(spelled, match["pint"])
            row["offered"] += (spelled[0],)
    return {name: _measure(row) for name, row in rows.items()}


def _measure(row: dict[str, Any]) -> Measure:
    floats = {spelling: (float(factor), float(offset)) for spelling, (factor, offset) in row["exact"].items()}
    return Measure(
        name=row["name"],
        called=row["called"],
        si=row["si"],
        metric=row["metric"],
        us=row["us"],
        valid=row["valid"],
        whole=row.get("whole") == "true",
        plain_limit=int(row["plain_limit"]) if "plain_limit" in row else None,
        spellings=MappingProxyType(floats),
        exact=MappingProxyType(row["exact"]),
        pint=MappingProxyType(row["pint"]),
        offered=row["offered"],
    )


def _fraction(text: str) -> Fraction:
    """A factor of the table: a decimal, or two with a stroke between them."""
    above, _, below = text.partition("/")
    return Fraction(above) / Fraction(below or "1")


def convert(value: float, from_spelling: str, to_spelling: str, measure: str) -> float:
    """``value`` in another unit of the same measure; ``KeyError`` for a spelling the measure does not have."""
    exact = measures()[measure].exact
    (factor, offset), (to_factor, to_offset) = exact[from_spelling], exact[to_spelling]
    return float((Fraction(value) * factor + offset - to_offset) / to_factor)


def to_system(x: float, measure: str, system: System) -> float:
    """The SI number ``x`` in the unit in which ``system`` prints the measure."""
    table = measures()[measure]
    factor, offset = table.spellings[table.printed(system).unit]
    return (x - offset) / factor


def unit_of(measure: str, system: System = "metric") -> str:
    """The unit in which ``system`` prints the measure; empty for a plain number."""
    return measures()[measure].printed(system).unit


@cache
def _registry() -> pint.UnitRegistry[float]:
    import pint

    return pint.UnitRegistry()


def dimension_of(unit_text: str) -> str | None:
    """The kind of thing a unit measures, by its dimension: ``mass`` for ``kg``; ``None`` if no measure has the unit.

    It is the first measure of the table with the dimension pint finds: ``ksi`` is a ``pressure``.  Units without
    dimension share one, so they answer the first measure that has them.  Only the table's own wording is handed
    to pint, never the person's.
    """
    holders = [table for table in measures().values() if unit_text in table.pint]
    if not holders:
        return None
    of = _registry().Quantity
    unit: pint.Quantity[Any] = of(holders[0].pint[unit_text])
    if unit.dimensionless:
        return holders[0].name
    return next(table.name for table in measures().values() if of(table.si).dimensionality == unit.dimensionality)


def quantity(value: Range, measure: str) -> pint.Quantity[Any]:
    """The two ends of a range as one pint quantity in SI units."""
    import numpy as np

    made: pint.Quantity[Any] = _registry().Quantity(np.array([value.lo, value.hi]), measures()[measure].si)
    return made
