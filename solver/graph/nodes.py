"""The nodes of the graph: the body and the part at each position, with everything known of them in plain types."""

from __future__ import annotations

from collections.abc import Mapping

from shared.evidence import Value
from shared.interface import Attribute
from shared.part import Part
from shared.ranges import Range
from shared.units import System

from ..choices import adapter_positions
from ..planning import status_of
from ..problem import Problem
from ..relations import Build
from ..words import money, number, value_text
from .numbers import Plain
from .plain import plain


def _stated(
    prefix: str, values: Mapping[str, Value], attributes: Mapping[str, Attribute], units: System
) -> dict[str, Plain]:
    """Values as text with unit, and as SI numbers."""
    found: dict[str, Plain] = {}
    for name, value in values.items():
        key, measure = f"{prefix}.{name}", attributes[name].measure
        found[key] = plain(value_text(value.value, measure, units))
        if isinstance(value.value, Range):
            found |= {f"{key}.lo": value.value.lo, f"{key}.hi": value.value.hi}
    return found


def body_node(problem: Problem, units: System) -> dict[str, Plain]:
    """The attributes of the car itself."""
    garage = problem.garage
    attributes: dict[str, Plain] = {"type": "body", "title": "the car itself", "name": plain(garage.vehicle.name)}
    for port, values in garage.vehicle.ports.items():
        known = garage.layout.interfaces[garage.layout.body[port].interface].attributes
        attributes |= _stated(port, values, known, units)
    attributes |= _stated("property", garage.vehicle.properties, garage.layout.vehicle, units)
    return attributes


def status_word(problem: Problem, at: str, build: Build) -> str:
    """What happens at a position, with altered parts and adapters told from what is simply new."""
    status = status_of(problem, at, build)
    part = build[at]
    if status == "new" and part is not None:
        if part.altered:
            return "altered"
        if part.adapter or at in adapter_positions(problem.garage):
            return "adapter"
    return str(status)


def part_node(problem: Problem, at: str, build: Build, units: System) -> dict[str, Plain]:
    """The attributes of a position and the part there."""
    place, part = problem.garage.layout.positions[at], build[at]
    found: dict[str, Plain] = {
        "type": "part",
        "position": at,
        "title": plain(place.title),
        "about": plain(place.about),
        "area": plain(place.group),
        "forward": float(place.where[0]),
        "left": float(place.where[1]),
        "count": place.count,
        "kind": place.kind,
        "part": "" if part is None else plain(part.id),
        "name": "nothing" if part is None else plain(part.name),
        "status": status_word(problem, at, build),
    }
    return found if part is None else found | _part_attributes(problem, at, part, build, units)


def _part_attributes(problem: Problem, at: str, part: Part, build: Build, units: System) -> dict[str, Plain]:
    effort, layout = problem.effort, problem.garage.layout
    kind = layout.kinds[part.kind]
    price = effort.part_price(at, part)
    # Labour as if this part alone were done: its own bench work, and the tasks its place calls for.
    touched = effort.is_touched(at, build)
    tasks = sum(t.hours for t in effort.tasks_for((at,))) if touched else 0.0
    hours = effort.part_hours(at, part) + Range.exactly(tasks)
    found: dict[str, Plain] = {
        "donor": plain("; ".join(d.key for d in part.donors)),
        "price": money(price).text,
        "hours": number(hours, "time", units).text,
        "hours.lo": hours.lo,
        "hours.hi": hours.hi,
        "buy": part.buy,
        "evidence": part.evidence.word,
        "comes_with": plain(part.host or ""),
        "altered_by": plain("; ".join(part.altered)),
        "note": plain(part.note),
        "cautions": plain("; ".join(part.cautions), 1000),
    }
    if price is not None:
        found |= {"price.lo": price.lo, "price.hi": price.hi}
    for port, values in part.ports.items():
        if values is None:
            found[f"{port}"] = "none"
        else:
            attributes = layout.interfaces[kind.ports[port].interface].attributes
            found |= _stated(port, values, attributes, units)
    return found | _stated("property", part.properties, kind.properties, units)


def effort_of(problem: Problem, build: Build, units: System) -> dict[str, Plain]:
    """Money and labour of the whole build."""
    effort = problem.effort
    price, hours = effort.price(build), effort.hours(build)
    found: dict[str, Plain] = {
        "price": money(price).text,
        "hours": number(hours, "time", units).text,
        "hours.lo": hours.lo,
        "hours.hi": hours.hi,
        "skill": effort.skill(build),
        "donors": plain("; ".join(effort.donors(build)), 1000),
    }
    return found if price is None else found | {"price.lo": price.lo, "price.hi": price.hi}


def spans_of(problem: Problem) -> str:
    """How far forward each thing lies that spans the car: what sits on its middle line and carries others."""
    places = problem.garage.layout.positions
    hosts = {p.host for p in places.values()}
    found = sorted({p.where[0] for p in places.values() if p.name in hosts and p.where[1] == 0.0})
    return " ".join(f"{x:g}" for x in found)
