"""Joins of a layout read: which ports meet, and what may sit between them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from shared.interface import PartKind, Port
from shared.layout import Join, Position, Through

from ..files.documents import Document, Faults, Loc
from ..files.shape import nearest, unknown_name


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
        unknown_name(place, positions, "unknown-position", "a position, or body", document, loc, faults)
        return None
    if port not in ports:
        faults.add(document, loc, "unknown-port", repr(text), f"a port of {place}", nearest(port, ports))
        return None
    return place, port


def joins_of(
    section: Mapping[str, tuple[Any, Document, Loc]],
    positions: Mapping[str, Position],
    kinds: Mapping[str, PartKind],
    body: Mapping[str, Port],
    faults: Faults,
) -> tuple[Join, ...]:
    """The joins of a layout; a fault for each whose ports are not there, or can never meet."""

    def port(end: tuple[str, str]) -> Port:
        place, name = end
        return body[name] if place == "body" else kinds[positions[place].kind].ports[name]

    joins = []
    for name, (shape, document, loc) in sorted(section.items()):
        ends = [
            _end(text, positions, kinds, body, document, (*loc, "join", i), faults) for i, text in enumerate(shape.join)
        ]
        between = []
        through = []
        for i, step in enumerate(shape.through):
            at = (*loc, "through", i)
            between += [
                _end(f"{step.position}.{side}", positions, kinds, body, document, at, faults)
                for side in (step.near, step.far)
            ]
            through.append(Through(step.position, step.near, step.far))
        met = [end for end in (ends[0], *between, ends[1]) if end is not None]
        if len(met) < 2 + len(between):
            continue
        joins.append(Join(name, met[0], met[-1], tuple(through)))
        unlike = next((end for end in met if port(end).interface != port(met[0]).interface), None)
        if unlike is not None:
            found = f"{'.'.join(unlike)} ({port(unlike).interface}) on {'.'.join(met[0])} ({port(met[0]).interface})"
            faults.add(document, (*loc, "join"), "contradiction", found, "ports of one interface kind")
            continue
        for one, other in zip(met[::2], met[1::2], strict=True):
            side = port(one).side
            if side is not None and side == port(other).side:
                found = f"{'.'.join(one)} and {'.'.join(other)}, both the {side} of a {port(one).interface}"
                faults.add(document, (*loc, "join"), "contradiction", found, "one port of each side")
    return tuple(joins)
