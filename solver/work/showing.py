"""Pieces of the work as they come out: times, distances, limits, torques, consumables."""

from __future__ import annotations

from collections.abc import Iterable
from math import ceil

from knowledge.standards.inspection import InspectionLimit, inspection_limits
from shared.plan import Number
from shared.ranges import Range
from shared.units import System, convert
from shared.work import Check, Consumable

from ..words import money, number
from .document import CheckShown, RungShown, SupplyShown, TorqueShown
from .supplies import Supply
from .torques import Torque

MINUTE = 60
METRIC = {"in": "mm", "ft": "m"}


def duration(seconds: Range) -> Number:
    """A time as a person says it: ``15 min``, ``1 h 45 min``."""
    ends = [_duration(x) for x in (seconds.lo, seconds.hi)]
    return Number(lo=seconds.lo, hi=seconds.hi, measure="time", text=" to ".join(dict.fromkeys(ends)))


def _duration(seconds: float) -> str:
    hours, minutes = divmod(ceil(round(seconds) / MINUTE), 60)
    if not hours:
        return f"{minutes} min"
    return f"{hours} h {minutes:02d} min" if minutes else f"{hours} h"


def distance(along: Range, units: System) -> Number:
    """A distance on the road: ``80 to 160 km``."""
    unit = "km" if units == "metric" else "mile"
    ends = [f"{convert(x, 'm', unit, 'length'):.0f}" for x in (along.lo, along.hi)]
    spelled = "km" if units == "metric" else "miles"
    return Number(lo=along.lo, hi=along.hi, measure="length", text=f"{' to '.join(dict.fromkeys(ends))} {spelled}")


def percent(share: Range) -> Number:
    """A share of something: ``52 to 100 %``."""
    ends = [f"{100 * x:.0f}" for x in (share.lo, share.hi)]
    return Number(lo=share.lo, hi=share.hi, measure="share", text=f"{' to '.join(dict.fromkeys(ends))} %")


def check_shown(check: Check, units: System) -> CheckShown:
    """A check with the published limit that belongs to it, in the unit of its text."""
    found = inspection_limits().get(check.inspection)
    limit = "" if found is None else limit_text(found, units)
    return CheckShown(says=check.says, source=check.source, inspection=check.inspection, limit=limit)


def limit_text(found: InspectionLimit, units: System) -> str:
    """A published limit in one line: what, how much, in which text, and for whom that text is law."""
    source = found.source if found.known_by == "read" else f"{found.source}, from memory"
    if not found.binds_light_cars:
        scope = "vehicles above 10 000 lb" if found.scope == "> 10 000 lb" else found.scope
        source += f", law for {scope}, advice for others"
    if found.unit in ("presence", "count") and found.limit == 0:
        return f"none allowed; {source}"
    unit = {"ratio": " times", "of travel": " of its travel"}.get(found.unit, f" {found.unit}")
    value = f"{'at most' if found.kind == 'max' else 'at least'} {found.limit:.3g}{unit}"
    if units == "metric" and found.unit in METRIC:
        unit = METRIC[found.unit]
        value += f" ({convert(found.limit, found.unit, unit, 'length'):.3g} {unit})"
    return f"{found.item}: {value}; {source}"


def supply_shown(supply: Supply) -> SupplyShown:
    """Something used up by the whole job."""
    return SupplyShown(
        name=supply.name,
        grade=supply.grade,
        kind=supply.kind,
        quantity=supply.quantity,
        unit=supply.unit,
        text=supply.amount,
        price=money(supply.price),
    )


def used(items: Iterable[Consumable]) -> tuple[SupplyShown, ...]:
    """What one step uses up."""
    return tuple(
        SupplyShown(
            name=item.name,
            grade=item.grade,
            kind=item.kind,
            quantity=item.quantity,
            unit=item.unit,
            text=item.amount,
            price=money(Range(item.low, item.high)),
        )
        for item in items
    )


def torque_shown(torque: Torque, units: System) -> TorqueShown:
    """A torque with all it rests on."""
    fastener = torque.fastener
    return TorqueShown(
        id=fastener.id,
        name=fastener.name,
        torque=number(torque.torque, "torque", units),
        basis=torque.basis,
        threads=torque.threads,
        condition=fastener.condition,
        nut_factor=torque.nut_factor,
        scatter=torque.scatter,
        aimed=percent(fastener.share),
        by_grade=tuple(
            RungShown(
                grade=rung.grade,
                torque=number(rung.torque, "torque", units),
                reached=percent(rung.reached),
                preload=number(rung.preload, "force", units),
            )
            for rung in torque.rungs
        ),
        how=fastener.how,
        source=torque.source,
        needs=torque.needs,
        again=tuple(distance(along, units) for along in fastener.again),
    )
