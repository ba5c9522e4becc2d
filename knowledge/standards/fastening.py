"""Threads, bolt grades, nut factors and flare fittings: the tables and their cached readers.

Everything read is in SI.  Sources stand in each row; the flare fittings' sizes are compared as text, as the
trade does, because two threads of one diameter still do not go together.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Literal

from knowledge.formulas.fasteners import tensile_stress_area
from knowledge.standards import rows
from shared.errors import FormulaError

MM = 1e-3
MM2 = 1e-6
IN2 = 645.16e-6
INCH = 0.0254
MPA = 1e6

KnownBy = Literal["read", "memory"]


@dataclass(frozen=True, slots=True)
class Thread:
    """A thread: ``form`` ("unified" or "metric"), ``series``, ``major`` diameter and ``pitch`` in m.

    ``stress_area`` is the published tensile stress area in m2, with the rounding of its table.
    """

    name: str
    form: Literal["unified", "metric"]
    series: str
    major: float
    pitch: float
    stress_area: float
    source: str
    known_by: KnownBy
    note: str


@dataclass(frozen=True, slots=True)
class Grade:
    """Strength of a bolt grade within a range of diameters; stresses in Pa, diameters in m.

    ``above`` is the diameter it starts over, that diameter itself left out; ``least`` and ``greatest`` are
    inside.  ``None`` leaves an end open.
    """

    name: str
    least: float | None
    above: float | None
    greatest: float | None
    proof: float
    yield_stress: float
    tensile: float
    source: str
    known_by: KnownBy
    note: str

    def covers(self, diameter: float) -> bool:
        """Whether a bolt of this diameter [m] is in the range; sizes count to the micrometre."""
        size = round(diameter, 6)
        return (
            (self.least is None or size >= round(self.least, 6))
            and (self.above is None or size > round(self.above, 6))
            and (self.greatest is None or size <= round(self.greatest, 6))
        )


@dataclass(frozen=True, slots=True)
class FlareFitting:
    """A tube and the nut and flare that belong to it; ``tube`` as marked, ``tube_outside`` in m."""

    system: str
    tube: str
    tube_outside: float
    thread: str
    flare: str
    source: str
    known_by: KnownBy
    note: str


def _known(text: str) -> KnownBy:
    return "read" if text == "read" else "memory"


@cache
def threads() -> Mapping[str, Thread]:
    """Threads by name, as ``1/2-20`` or ``M12x1.75``."""
    found = {}
    for row in rows("thread_stress_area"):
        unit = MM2 if row["published_unit"] == "mm2" else IN2
        found[row["thread"]] = Thread(
            name=row["thread"],
            form="metric" if row["series"].startswith("M ") else "unified",
            series=row["series"],
            major=float(row["major_mm"]) * MM,
            pitch=float(row["pitch_mm"]) * MM,
            stress_area=float(row["area_published"]) * unit,
            source=row["source"],
            known_by=_known(row["known_by"]),
            note=row["note"],
        )
    return MappingProxyType(found)


@cache
def grades() -> tuple[Grade, ...]:
    """Every row of the table of bolt grades, in its order."""

    def size(text: str) -> float | None:
        return float(text) * MM if text else None

    return tuple(
        Grade(
            name=row["grade"],
            least=size(row["from_mm"]),
            above=size(row["over_mm"]),
            greatest=size(row["to_mm"]),
            proof=float(row["proof_MPa"]) * MPA,
            yield_stress=float(row["yield_MPa"]) * MPA,
            tensile=float(row["tensile_MPa"]) * MPA,
            source=row["source"],
            known_by=_known(row["known_by"]),
            note=row["note"],
        )
        for row in rows("fastener_grades")
    )


def grade(name: str, diameter: float) -> Grade:
    """The strength of grade ``name`` for a bolt of ``diameter`` [m]; ``FormulaError`` where the table has none.

    >>> grade("ISO 898-1 class 8.8", 0.012).proof
    580000000.0
    """
    named = [g for g in grades() if g.name == name]
    if not named:
        known = ", ".join(dict.fromkeys(g.name for g in grades()))
        raise FormulaError(f"no bolt grade is called {name!r}; known are {known}")
    for found in named:
        if found.covers(diameter):
            return found
    raise FormulaError(f"{name} has no strength for a bolt of {diameter / MM:g} mm")


def grade_called(text: str, form: str, diameter: float) -> Grade | None:
    """The grade a mark means on a bolt of this thread form and ``diameter`` [m]; ``None`` where the table has none.

    ``text`` is a grade's whole name, or what is marked on the head: ``8.8``, ``8``.

    >>> grade_called("10.9", "metric", 0.012).name
    'ISO 898-1 class 10.9'
    """
    system = "ISO 898-1 class" if form == "metric" else "SAE J429 grade"
    for found in grades():
        if found.name in (text, f"{system} {text}") and found.name.startswith(system) and found.covers(diameter):
            return found
    return None


@cache
def nut_factors() -> Mapping[str, float]:
    """Nut factor K [1] by the condition of the thread."""
    return MappingProxyType({row["condition"]: float(row["nut_factor"]) for row in rows("nut_factors")})


@cache
def scatter() -> Mapping[str, float]:
    """How far, as a share of it, the nut factor may really lie from its figure, by the condition of the thread."""
    return MappingProxyType({row["condition"]: float(row["scatter"]) for row in rows("nut_factors")})


_METRIC = re.compile(r"M ?([0-9]+(?:[.,][0-9]+)?) ?[x×*] ?([0-9]+(?:[.,][0-9]+)?)(?![0-9]|[.,][0-9])", re.IGNORECASE)
_UNIFIED = re.compile(
    r"(?:([0-9]+)[- ])?([0-9]+)(?: ?/ ?([0-9]+))?(?: ?(?:in|\"))? ?- ?([0-9]+)(?![0-9]|[.,/][0-9])(?: ?UN[CF]?\b)?",
    re.IGNORECASE,
)
_LEFT = re.compile(r"[- ,]*(?:left[- ]?hand(?:ed)?|l\.?h\.?)(?: thread)?", re.IGNORECASE)
_RIGHT = re.compile(r"[- ,]*(?:right[- ]?hand(?:ed)?|r\.?h\.?)(?: thread)?", re.IGNORECASE)


def thread_called(text: str) -> Thread | None:
    """The thread a text begins with, as ``M10x1.0 left-hand`` or ``1/2-20``; ``None`` where it names none.

    A thread that is not in the table gets its stress area by the formula of the table's own standard.

    >>> thread_called("M12x1.50").name, round(thread_called("M11x1.5").stress_area * 1e6, 1)
    ('M12x1.5', 72.3)
    """
    found = _named(" ".join(text.split())[:40])
    if found is None:
        return None
    name, form, major, pitch, _ = found
    known = threads().get(name)
    if known is not None:
        return known
    try:
        area = tensile_stress_area(form, major, pitch)
    except FormulaError:
        return None
    source = "pi/4 (d - 0.9382 P)2, ISO 898-1" if form == "metric" else "pi/4 (d - 0.9743/n)2, ASME B1.1"
    return Thread(name, form, "", major, pitch, area, source, "memory", "not in the table: computed")


def thread_word(text: str) -> str:
    """A word that names a thread, spelt in the one way that tells it from others; any other word as it is.

    Two spellings of one thread are then one word: a nought behind the pitch, a space, a comma or the name of the series
    makes no other thread, a left hand does.

    >>> thread_word("M10 × 1.0 LH"), thread_word('1/2" - 20 UNF'), thread_word("push-in")
    ('M10x1 left-hand', '1/2-20', 'push-in')
    """
    text = " ".join(text.split())
    found = _named(text)
    if found is None:
        return text
    name, *_, rest = found
    if _LEFT.fullmatch(rest):
        rest = " left-hand"
    return name if _RIGHT.fullmatch(rest) else name + rest


def _named(text: str) -> tuple[str, Literal["unified", "metric"], float, float, str] | None:
    """The name, form, diameter and pitch [m] of the thread a text begins with, and what comes behind it."""
    if metric := _METRIC.match(text):
        size, pitch = (float(metric[i].replace(",", ".")) for i in (1, 2))
        name, major = f"M{size:g}x{pitch:g}", size * MM
        return (name, "metric", major, pitch * MM, text[metric.end() :]) if 0.002 <= major <= 0.05 else None
    unified = _UNIFIED.match(text)
    if unified is None or int(unified[3] or 1) == 0 or int(unified[4]) == 0:
        return None
    whole, over, under, count = (int(unified[i] or 0) for i in (1, 2, 3, 4))
    major = (whole + over / (under or 1)) * INCH
    if not 0.002 <= major <= 0.05:  # 10-32 is a numbered size, not ten inches
        return None
    name = f"{f'{whole}-' if whole else ''}{over}{f'/{under}' if under else ''}-{count}"
    return name, "unified", major, INCH / count, text[unified.end() :]


@cache
def flare_fittings() -> tuple[FlareFitting, ...]:
    """Every row of the table of brake tube fittings, in its order."""
    return tuple(
        FlareFitting(
            system=row["system"],
            tube=row["tube_od"],
            tube_outside=float(row["tube_od_mm"]) * MM,
            thread=row["thread"],
            flare=row["flare"],
            source=row["source"],
            known_by=_known(row["known_by"]),
            note=row["note"],
        )
        for row in rows("flare_fittings")
    )
