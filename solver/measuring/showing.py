"""Readings, and what is odd about them, as they come out."""

from __future__ import annotations

from knowledge.garage import Garage
from knowledge.measured.readable import VEHICLE, attributes_of
from knowledge.measured.readings import contradictions, own_id
from shared.faults import Fault
from shared.printing import show
from shared.ranges import Range
from shared.units import System, measures, to_system

from ..words import value_text
from .document import RecordShown, Remark


def records_shown(garage: Garage, units: System, part: str | None = None) -> tuple[RecordShown, ...]:
    """Every reading in force, or those that tell of one part."""
    found = []
    own = None if part is None or part == VEHICLE else own_id(garage.parts[part], garage.parts)
    for r in garage.measured.book.readings:
        if part is None or r.part in (part, own):
            known = attributes_of(r.part, garage.layout, garage.parts)
            found.append(
                RecordShown(
                    line=r.line,
                    at=r.at,
                    part=r.part,
                    piece=r.piece,
                    attribute=r.attribute,
                    text=r.value.text,
                    value=value_text(r.value.value, known[r.attribute].measure, units, 1),
                    evidence=r.value.evidence.word,
                    how=r.how,
                    tolerance=r.tolerance,
                    note=r.note,
                )
            )
    return tuple(found)


def odd(garage: Garage, part: str | None = None) -> list[Fault]:
    """What is odd in the file without being wrong, and statements that cannot both be true (of one part, or all)."""
    found = contradictions(garage.measured, garage.layout)
    if part is not None:
        lines = {r.line for r in garage.measured.book.readings if r.part == part}
        found = [f for f in found if f.line in lines]
    return [*garage.measured.book.remarks, *found]


def remark_shown(fault: Fault) -> Remark:
    """A fault as it comes out where it is no reason to stop."""
    where = f"{fault.file}:{fault.line}" if fault.line else fault.file
    return Remark(where=where, found=fault.found, expected=fault.expected, mend=fault.mend)


def error_text(x: float, measure: str, units: System) -> str:
    """A reading error in as many digits as it has."""
    return f"{to_system(x, measure, units):.3g} {measures()[measure].printed(units).unit}".rstrip()


def limit_text(low: Range | None, high: Range | None, measure: str, units: System) -> str:
    """A wear limit in words."""
    ends = [] if low is None else [f"at least {show(low, measure, units, finer=1)}"]
    ends += [] if high is None else [f"at most {show(high, measure, units, finer=1)}"]
    return " and ".join(ends)
