"""The limits that belong on a chart, out of a layout's requirements."""

from __future__ import annotations

from collections.abc import Iterator

from shared.layout import Call, Choice, Input, Layout, Requirement, Way
from shared.printing import show_number
from shared.ranges import Range
from shared.units import System

from .shown import Limit


def _calls(way: Way) -> Iterator[Call]:
    if isinstance(way, Call):
        yield way
    elif isinstance(way, Choice):
        for branch in way.ways.values():
            yield from _calls(branch)


def _number(end: Input | None) -> float | None:
    """A limit that is a plain number; one that depends on the car's parts belongs to no chart."""
    if end is None or end.source != "literal" or end.value is None or not isinstance(end.value.value, Range):
        return None
    return end.value.value.lo


def _ends(rule: Requirement) -> list[tuple[str, float]]:
    ends = (("at least", _number(rule.at_least)), ("at most", _number(rule.at_most)))
    return [(words, value) for words, value in ends if value is not None]


def limits_of(rule: Requirement, axis: str, measure: str, units: System) -> list[Limit]:
    """The straight limits a requirement draws on an axis."""
    return [
        Limit(axis=axis, text=f"{rule.id}: {words} {show_number(value, measure, units)}", source=rule.source, at=value)
        for words, value in _ends(rule)
    ]


def formula_limits(layout: Layout, formula: str, quantity: str, measure: str, units: System) -> list[Limit]:
    """The limits on what a formula gives: on one quantity, or on every quantity that is computed by it directly.

    Two requirements with one limit draw one line.
    """
    using = {
        q.name
        for q in layout.quantities.values()
        if (not quantity or q.name == quantity)
        and any(call.formula == formula for way, _ in q.ways for call in _calls(way))
    }
    found: dict[float, Limit] = {}
    for rule in layout.requirements:
        if rule.subject is not None and rule.subject.source == "quantity" and rule.subject.name in using:
            for limit in limits_of(rule, "y", measure, units):
                found.setdefault(limit.at or 0.0, limit)
    return list(found.values())


def requirement_named(layout: Layout, name: str) -> Requirement | None:
    """The requirement of that name, if the layout has it."""
    return next((rule for rule in layout.requirements if rule.id == name), None)
