"""The size written on a tyre's side, taken apart.

Read are the forms a compact 4x4 meets: metric (``235/75R15 105S``, with P in front or not), light-truck
metric (``LT235/85R16 120/116Q``, or ``195/75R16C 107/105R``) and flotation (``31x10.50R15LT 109Q``).  Spaces may
stand between the pieces, as on many a side: ``235/75 R 15``.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from knowledge.standards import load_index_table, speed_symbol_table
from shared.errors import FormulaError

INCH = 0.0254

_SERVICE = r"(?: (?P<load>\d{2,3})(?: ?/ ?(?P<dual>\d{2,3}))? ?(?P<symbol>[A-Z]))?(?: (?:XL|M ?[+&] ?S))*"
_RIM = r" ?(?P<rim>\d{2}(?:\.5)?)"
_METRIC = re.compile(
    r"(?P<lead>P|LT)? ?(?P<section>\d{3}) ?/ ?(?P<aspect>\d{2,3}) ?(?P<build>ZR|R|D|B|-)"
    + _RIM
    + r" ?(?P<tail>C|LT)?"
    + _SERVICE,
    re.ASCII,
)
_FLOTATION = re.compile(
    r"(?P<outside>\d{2}(?:\.\d{1,2})?) ?X ?(?P<section>\d{1,2}(?:\.\d{1,2})?) ?(?P<build>R|D|B|-)"
    + _RIM
    + r" ?(?P<tail>LT)?"
    + _SERVICE,
    re.ASCII,
)
_NO_ASPECT = re.compile(r"(?:P|LT)?\d{3} ?(?:S|H|V|Z)?R\d{2}(?!\d).*", re.ASCII)
_HOW = "write it like 235/75R15 105S, LT235/85R16 120/116Q or 31x10.50R15LT 109Q"

Service = Literal["P", "LT"]


@dataclass(frozen=True, slots=True)
class TyreCode:
    """A tyre's size: ``section``, ``rim`` and ``diameter`` in m, ``aspect`` as a share of the section.

    ``construction`` is ``R`` (radial), ``D`` (diagonal) or ``B`` (bias-belted); ``load_index`` is the one for
    a single tyre; ``service`` is ``P`` (passenger) or ``LT`` (light truck, also the European C).
    """

    section: float
    aspect: float
    rim: float
    diameter: float
    construction: Literal["R", "D", "B"]
    service: Service
    load_index: int | None = None
    speed_symbol: str | None = None

    @property
    def section_height(self) -> float:
        """From the rim's nominal diameter to the tread, unloaded [m]."""
        return (self.diameter - self.rim) / 2


@lru_cache(maxsize=4096)
def parse_tyre_code(code: str) -> TyreCode:
    """Take a tyre's size apart; ``FormulaError`` with a plain sentence for anything that is not one.

    Nominal figures: a real tyre of the size differs by 1 to 3 % (UN R30, 6.1).  The rim is taken as its code
    times 25.4 mm exactly, where the table of UN R30 rounds to the millimetre.

    >>> round(parse_tyre_code("235/75R15 105S").diameter * 1000, 1)
    733.5
    """
    text = " ".join(code.upper().replace("×", "X").split())
    if match := _METRIC.fullmatch(text):
        section, aspect = int(match["section"]) / 1000, int(match["aspect"]) / 100
        rim = float(match["rim"]) * INCH
        diameter = rim + 2 * aspect * section
    elif match := _FLOTATION.fullmatch(text):
        section, diameter = float(match["section"]) * INCH, float(match["outside"]) * INCH
        rim = float(match["rim"]) * INCH
        aspect = (diameter - rim) / 2 / section
    elif _NO_ASPECT.fullmatch(text):
        raise FormulaError(f"the tyre code {code!r} has no aspect ratio: write it out, as in 195/80R15")
    else:
        raise FormulaError(f"{code!r} is not a tyre code: {_HOW}")
    lead, tail = match.groupdict().get("lead"), match["tail"]
    if lead and tail:
        raise FormulaError(f"the tyre code {code!r} names its service twice, {lead} in front and {tail} behind")
    _refuse(code, section=section, aspect=aspect, rim=rim)
    symbol = match["symbol"]
    load_index = int(match["load"]) if match["load"] else None
    if load_index is not None and load_index not in load_index_table():
        raise FormulaError(f"the tyre code {code!r} has load index {load_index}: the table ends at 126")
    if symbol is not None and symbol not in speed_symbol_table():
        raise FormulaError(f"the tyre code {code!r} has speed symbol {symbol!r}, which is not one of the table's")
    built = {"ZR": "R", "-": "D"}.get(match["build"], match["build"])
    truck = "outside" in match.groupdict() or tail is not None or lead == "LT"
    return TyreCode(
        section=section,
        aspect=aspect,
        rim=rim,
        diameter=diameter,
        construction="B" if built == "B" else "D" if built == "D" else "R",
        service="LT" if truck else "P",
        load_index=load_index,
        speed_symbol=symbol,
    )


def _refuse(code: str, *, section: float, aspect: float, rim: float) -> None:
    """Refuse sizes no tyre has; the bounds are generous ones around the yearbooks' lists (common practice)."""
    if not 0.1 <= section <= 0.45:
        raise FormulaError(
            f"the tyre code {code!r} asks for a section of {section * 1000:.0f} mm; tyres have 100 to 450"
        )
    if not 0.25 <= aspect <= 1.0:
        raise FormulaError(
            f"the tyre code {code!r} asks for an aspect ratio of {aspect * 100:.0f} %; tyres have 25 to 100"
        )
    if not 10 * INCH <= rim <= 26 * INCH:
        raise FormulaError(f"the tyre code {code!r} asks for a rim of {rim / INCH:g} in; rims here are 10 to 26")
