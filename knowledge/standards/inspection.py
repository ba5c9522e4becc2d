"""What inspections refuse: limits on play, wear, brakes and springs, each with the text it stands in.

The limits keep the unit of their text.  ``scope`` says for which cars the text is law; most that could be read of
49 CFR 570 is subpart B, for vehicles above 10 000 lb, so that it advises a light car and does not bind it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Literal

from knowledge.standards import rows


@dataclass(frozen=True, slots=True)
class InspectionLimit:
    """One limit: ``kind`` says whether ``limit`` (in ``unit``) is the most or the least that passes."""

    id: str
    item: str
    scope: str
    limit: float
    unit: str
    kind: Literal["max", "min"]
    source: str
    clause: str
    known_by: Literal["read", "memory"]
    note: str

    @property
    def binds_light_cars(self) -> bool:
        """Whether the text is about vehicles up to 10 000 lb under 49 CFR 570, subpart A, or 393.52."""
        return self.scope == "<= 10 000 lb"


@cache
def inspection_limits() -> Mapping[str, InspectionLimit]:
    """Every limit by its id, in the order of the table."""
    return MappingProxyType(
        {
            row["id"]: InspectionLimit(
                id=row["id"],
                item=row["item"],
                scope=row["scope"],
                limit=float(row["limit"]),
                unit=row["unit"],
                kind="max" if row["kind"] == "max" else "min",
                source=row["source"],
                clause=row["clause"],
                known_by="read" if row["known_by"] == "read" else "memory",
                note=row["note"],
            )
            for row in rows("inspection_limits")
        }
    )
