"""Formulas, their answers and their curves as text for a person at a bench."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby

from shared.printing import finer_to_tell, show, show_number
from shared.ranges import Range
from shared.units import System

from .calculating import CalcDocument, InputShown
from .folding import Line, fitted
from .formula_list import FormulaListDocument
from .plotting.shown import ChartDocument
from .tables import Table


def calc_text(document: CalcDocument, wide: int | None = None) -> str:
    """A formula's answer, for paper or for a screen of ``wide`` columns: the result first."""
    head = [f"{document.formula}: {document.result.text}", "", document.about, f"Gives: {document.result_about}"]
    return fitted([*head, *_inputs(document.inputs), *_foot(document.valid_for, document.source)], wide)


def _inputs(inputs: Iterable[InputShown]) -> list[Line]:
    rows = [[i.name, i.given, i.about, i.valid] for i in inputs]
    return ["", Table(["input", "given", "meaning", "valid"], rows)] if rows else []


def _foot(valid_for: str, source: str) -> list[str]:
    return [*(["", f"Valid for: {valid_for}"] if valid_for else []), f"Source: {source}"]


def chart_text(document: ChartDocument, units: System, wide: int | None = None) -> str:
    """A chart as a short table, for those who do not draw it; for paper or for a screen of ``wide`` columns."""
    places = range(0, len(document.points), max(1, (len(document.points) - 1) // 10))
    heads = [c.label or document.y.label for c in document.curves]

    ends = tuple(c.lo[i] or 0.0 for c in document.curves[:1] for i in places)
    finer = min(2, finer_to_tell(ends, document.y.measure, units))

    def told(lo: float | None, hi: float | None) -> str:
        return "none" if lo is None or hi is None else show(Range(lo, hi), document.y.measure, units, finer=finer)

    rows = [
        [show_number(document.points[i], document.x.measure, units), *(told(c.lo[i], c.hi[i]) for c in document.curves)]
        for i in places
    ]
    lines: list[Line] = [document.about, "", Table([document.x.name.replace("_", " "), *heads], rows)]
    if document.limits or document.barred:
        lines += ["", "Limits"]
        lines += [f"  {limit.text} ({limit.source})" for limit in document.limits]
        for x in document.barred:
            stretch = " to ".join(show_number(v, document.x.measure, units) for v in (x.start, x.end))
            lines.append(f"  {stretch}: {x.text} ({x.source})")
    lines += _inputs(document.inputs)
    lines += ["", *(f"Note: {note}" for note in document.notes)] if document.notes else []
    return fitted([*lines, *_foot(document.valid_for, document.source)], wide)


def formula_list(document: FormulaListDocument, wide: int | None = None) -> str:
    """The list of formulas by subject, with what each takes, for paper or for a screen of ``wide`` columns."""
    lines: list[str] = []
    for subject, members in groupby(document.formulas, lambda f: f.subject):
        lines += ["", subject.replace("_", " "), *(f"  {f.name}({', '.join(f.inputs)})" for f in members)]
    if document.pictures:
        lines += ["", "pictures", *(f"  {name}: {about}" for name, about in document.pictures.items())]
    return fitted(lines[1:], wide)
