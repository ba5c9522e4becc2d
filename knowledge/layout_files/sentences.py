"""Numbers that stand in a layout's sentences, told in the units somebody asked for.

A sentence quotes a number as ``{50 mm}``.  Asked for in the other system of units it is converted, with as many
decimals as it needs to stay true within three hundredths; a unit that is in neither (``5 min``) or in both stays as it
is.  Where that would give no number anybody says, both are written: ``{80 to 160 km | 50 to 100 miles}``.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import fields, replace
from functools import lru_cache
from typing import Any

from shared.interface import InterfaceKind, MateRule, PartKind
from shared.layout import Layout, Requirement
from shared.printing import show_number
from shared.reading import ReadingError, read_quantity
from shared.units import Measure, System, measures
from shared.wear import WearLimit
from shared.work import Caution, Check, Later, Step, Task

from ..files.documents import Document, Faults, Loc

_QUOTED = re.compile(r"\{([^{}]*)\}")
_WITH_UNIT = re.compile(r"-?[0-9][0-9. /]*(?: to [0-9][0-9. /]*)?(?<! ) ?([^0-9. ].*)")
_MOST_OFF = 0.03
_MOST_FINER = 4
_HAVE_SENTENCES = (Requirement, InterfaceKind, MateRule, PartKind, Task, Step, Check, Later, Caution, WearLimit)


def _measured(text: str) -> tuple[Measure, str] | None:
    """The measure and the unit a quoted number ends with; the measure that is printed in that unit, if there is one."""
    match = _WITH_UNIT.fullmatch(text)
    having = [table for table in measures().values() if match is not None and match[1] in table.exact]
    if match is None or not having:
        return None
    unit = match[1]
    return next((table for table in having if unit in (table.metric.unit, table.us.unit)), having[0]), unit


def _number(x: float, measure: str, system: System) -> str:
    """A number with its unit, as short as stays true within three hundredths."""
    for finer in range(_MOST_FINER):
        text = show_number(x, measure, system, finer=finer)
        if abs(read_quantity(text, measure).value.lo - x) <= _MOST_OFF * abs(x):
            return text
    return show_number(x, measure, system, finer=_MOST_FINER)


def _quoted(text: str, system: System) -> str:
    """One quoted number in a system of units."""
    metric, both, us = text.partition("|")
    if both:
        return (metric if system == "metric" else us).strip()
    known = _measured(text.strip())
    if known is None:
        return text
    table, unit = known
    mine, other = table.printed(system).unit, table.printed("us" if system == "metric" else "metric").unit
    if unit == mine or unit != other:
        return text.strip()
    value = read_quantity(text.strip(), table.name).value
    low, high = (_number(x, table.name, system) for x in (value.lo, value.hi))
    return low if value.exact else f"{low.removesuffix(mine).strip()} to {high}"


@lru_cache(maxsize=4_000)
def said(text: str, system: System) -> str:
    """A sentence with its quoted numbers in a system of units.

    >>> said("A lift above {50 mm} needs a certificate", "metric"), said("no more than {65 to 500 N}", "us")
    ('A lift above 50 mm needs a certificate', 'no more than 15 to 112 lbf')
    >>> said("again after {80 to 160 km | 50 to 100 miles}", "us")
    'again after 50 to 100 miles'
    """
    return _QUOTED.sub(lambda match: _quoted(match[1], system), text)


def quotes_at(tree: Any, document: Document, loc: Loc, faults: Faults) -> None:
    """A fault for every quoted number that cannot be read, and for a pair without its other half."""
    if isinstance(tree, Mapping):
        for key, value in tree.items():
            quotes_at(value, document, (*loc, key), faults)
    elif isinstance(tree, list):
        for i, value in enumerate(tree):
            quotes_at(value, document, (*loc, i), faults)
    elif isinstance(tree, str) and "{" in tree:
        for quote in (match[1].strip() for match in _QUOTED.finditer(tree)):
            metric, both, us = quote.partition("|")
            if (metric.strip() and us.strip()) if both else _readable(quote):
                continue
            expected = "a number with its unit, as {50 mm}, or both as {50 mm | 2 in}"
            faults.add(document, loc, "bad-value", f"{{{quote}}} in a sentence", expected)


def _readable(quote: str) -> bool:
    known = _measured(quote)
    try:
        return known is not None and bool(read_quantity(quote, known[0].name))
    except ReadingError:
        return False


def _told(thing: Any, system: System) -> Any:
    """A thing with every sentence in it told in a system of units; itself where that changes nothing."""
    if isinstance(thing, str):
        return said(thing, system) if "{" in thing else thing
    if isinstance(thing, tuple):
        told = tuple(_told(one, system) for one in thing)
        return told if any(a is not b for a, b in zip(told, thing, strict=True)) else thing
    if isinstance(thing, _HAVE_SENTENCES):
        old = {field.name: getattr(thing, field.name) for field in fields(thing)}
        new = {name: value for name, one in old.items() if (value := _told(one, system)) is not one}
        return replace(thing, **new) if new else thing
    return thing


def in_units(layout: Layout, system: System) -> Layout:
    """A layout whose rules, mates, work, cautions and wear limits are told in a system of units."""

    def all_of(things: Mapping[str, Any]) -> dict[str, Any]:
        return {name: _told(thing, system) for name, thing in things.items()}

    return replace(
        layout,
        interfaces=all_of(layout.interfaces),
        kinds=all_of(layout.kinds),
        requirements=_told(layout.requirements, system),
        tasks=all_of(layout.tasks),
        cautions=all_of(layout.cautions),
        wear=all_of(layout.wear),
    )
