"""What assemblies bring: for each part one comes with, a further candidate that costs nothing and is tied to it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from shared.layout import Layout
from shared.part import NOTHING, Part

from ..files.documents import Faults
from ..files.shape import nearest_part, unknown_name
from .parts import Entry


def brought(parts: Mapping[str, Part], entries: Mapping[str, Entry], layout: Layout, faults: Faults) -> list[Part]:
    """The candidates that come with assemblies; unknown ids and circles are faults."""
    made: list[Part] = []
    for host in parts.values():
        entry = entries[host.base or host.id]
        for position, brought in sorted(host.brings.items()):
            loc = (*entry.loc, "brings", position)
            if position not in layout.positions:
                unknown_name(position, layout.positions, "unknown-position", "a position", entry.document, loc, faults)
            elif brought in faults.unsure or (faults.blind and brought not in parts):
                continue
            elif brought not in parts:
                mend = nearest_part(brought, parts, position)
                faults.add(entry.document, loc, "unknown-part", repr(brought), "the id of a part", mend)
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
                        price=NOTHING,
                        core=None,
                        hours=NOTHING,
                        skill=1,
                        host=host.id,
                        base=part.base or part.id,
                        donors=host.donors,
                        brings={},
                    )
                )
    _no_circles(parts, entries, faults)
    return made


def _no_circles(parts: Mapping[str, Part], entries: Mapping[str, Entry], faults: Faults) -> None:
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
