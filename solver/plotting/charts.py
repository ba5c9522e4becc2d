"""Curves of a formula against one of its inputs, and the few curves of the trade people know by name."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from knowledge.computing.bounds import formula_bounds
from knowledge.computing.dataflow import Dataflow
from knowledge.files.shape import spelt
from knowledge.formulas import Argument, Formula, formulas
from knowledge.layouts import layouts_folder, read_layout
from shared.errors import FormulaError
from shared.faults import BadInput
from shared.interface import WORD
from shared.layout import Layout
from shared.printing import show_within
from shared.ranges import Range
from shared.reading import ReadingError, read_quantity
from shared.units import System, unit_of

from ..calculating import ANY, Inputs, fault, formula_named, measure_of, read_inputs
from ..standing import Standing, as_it_stands
from ..words import value_text
from .limits import formula_limits
from .pictures import PICTURES, Picture, Scene, extras
from .shown import Axis, Barred, ChartDocument, Curve

POINTS = 161
LAYOUT = "solid-axle-4x4"


@dataclass(frozen=True)
class _Line:
    """A curve asked for: its formula, its inputs in order, ``None`` where the point goes."""

    label: str
    formula: Formula
    inputs: Sequence[Range | str | None]

    def at(self, x: float) -> Range | None:
        """What it gives at a point; ``None`` where there is no result."""
        here = [Range.exactly(x) if value is None else value for value in self.inputs]
        try:
            return formula_bounds(self.formula, here)
        except FormulaError:
            return None


@cache
def _layout() -> Layout:
    return read_layout(layouts_folder() / LAYOUT)


def chart(
    name: str,
    given: Mapping[str, str],
    against: str = "",
    units: System = "metric",
    car: Path | Dataflow | None = None,
) -> ChartDocument:
    """A formula against one of its inputs, or one of the named pictures.

    ``against`` reads ``input=lo to hi``; a named picture has one of its own.  One other input may have several
    values, set apart by semicolons, and gives a curve for each; a range gives a band.  Limits of the layout that
    bear on the result are part of the chart.  Raises :class:`BadInput` with every fault of the inputs, and where the
    formula has no result anywhere.

    >>> from solver import chart, demo_goal
    >>> chart("shackle-lift", {}, car=demo_goal()).x.name
    'new_eye_distance'
    """
    name = spelt(name, [*formulas(), *PICTURES])
    picture = PICTURES.get(name)
    lead = name if picture is None else picture.like
    standing = None if car is None else as_it_stands(car, lead)
    if picture is None:
        head = formula_named(lead if standing is None else standing.formula)
        using: tuple[Formula, ...] = (head,)
    else:
        using = tuple(formulas()[f] for f in picture.formulas)
        head = using[0]
    argument, span, notes = _span(head, against or ("" if picture is None else picture.against), units)
    from_car = _from_car(picture, standing)
    given = {spelt(k, () if picture is None else picture.extra): v for k, v in given.items()}
    extra = {} if picture is None else _extra(picture, given, from_car)
    wanted = {k: v for k, v in given.items() if picture is None or k not in picture.extra}
    inputs = read_inputs(head, wanted, units, from_car, (argument.name,), several=True)
    labels = {head.name: ""} if picture is None else dict(zip(picture.formulas, picture.labels, strict=True))
    lines = [line for f in using for line in _lines(f, inputs, argument, labels[f.name], units)]
    points = [span.lo + span.width * i / (POINTS - 1) for i in range(POINTS)]
    curves = tuple(_curve(line, points) for line in lines)
    if not any(y is not None for curve in curves for y in curve.lo):
        raise BadInput([fault("bad-value", f"{head.name} has no result for these inputs", _why(lines[0], span.lo))])
    measure = measure_of(head.result)
    layout = _layout() if standing is None else standing.layout
    limits = formula_limits(layout, head.name, "" if standing is None else standing.quantity, measure, units)
    barred: tuple[Barred, ...] = ()
    if picture is not None:
        more = extras(picture, Scene(layout, points, inputs, extra, units))
        limits, barred = [*([] if picture.own_limits else limits), *more.limits], more.barred
    return ChartDocument(
        name=name,
        about=_about(head, argument, picture, standing),
        formulas=tuple(f.name for f in using),
        inputs=inputs.shown,
        x=Axis(name=argument.name, measure=measure_of(argument), label=_label(argument.name, argument, units)),
        y=Axis(name=head.result.name, measure=measure, label=_y_label(head, picture, units)),
        points=tuple(points),
        curves=curves,
        limits=tuple(limits),
        barred=barred,
        notes=tuple(notes),
        valid_for=" ".join(head.sections.get("valid for", "").split()),
        source="; ".join(dict.fromkeys(f.source for f in using)),
    )


def _from_car(picture: Picture | None, standing: Standing | None) -> dict[str, tuple[Range | str, ...]] | None:
    """What the car says of the inputs, those a picture asks more of included."""
    if standing is None:
        return None
    also: dict[str, tuple[Range | str, ...]] = {}
    for name, wanted in ({} if picture is None else picture.also).items():
        values = tuple(v for v in map(standing.known, wanted) if v is not None)
        also |= {name: values} if values else {}
    return {**standing.inputs, **also}


def _extra(
    picture: Picture, given: Mapping[str, str], from_car: Mapping[str, tuple[Range | str, ...]] | None
) -> dict[str, Range]:
    """The inputs of a picture that belong to no formula of it."""
    found: dict[str, Range] = {}
    for name, measure in picture.extra.items():
        value = (from_car or {}).get(name, ("",))[0]
        if name in given:
            value = _quantity(name, given[name], measure)
        if isinstance(value, Range):
            found[name] = value
    return found


def _quantity(name: str, text: str, measure: str) -> Range:
    try:
        return read_quantity(text, measure).value
    except ReadingError as error:
        raise BadInput([fault("bad-value", f"{name}: {error.found}", error.expected, error.mend or "")]) from None


def _about(head: Formula, argument: Argument, picture: Picture | None, standing: Standing | None) -> str:
    if picture is not None:
        return picture.about
    what = head.name if standing is None or not standing.quantity else standing.quantity
    return f"{what.replace('_', ' ').capitalize()} against {argument.name.replace('_', ' ')}"


def _label(text: str, argument: Argument, units: System) -> str:
    unit = unit_of(measure_of(argument), units)
    return f"{text.replace('_', ' ')} [{unit}]" if unit else text.replace("_", " ")


def _y_label(head: Formula, picture: Picture | None, units: System) -> str:
    return _label(head.name if picture is None else picture.y, head.result, units)


def _span(head: Formula, text: str, units: System) -> tuple[Argument, Range, list[str]]:
    """The input a curve runs along and from where to where, kept inside what the formula is valid for."""
    key, sign, value = (part.strip() for part in text.partition("="))
    known = {a.name: a for a in head.arguments if a.measure not in (WORD,) and head.names}
    key = spelt(key, known)
    if not sign or key not in known:
        raise BadInput(
            [
                fault(
                    "unknown-formula",
                    f"--against {text!r}" if text else "no --against",
                    f"input=lo to hi, the input one of {', '.join(known)}",
                )
            ]
        )
    argument = known[key]
    span = _quantity(key, value, measure_of(argument))
    valid = Range(*head.valid[key]) if key in head.valid else span
    kept = (max(span.lo, valid.lo), min(span.hi, valid.hi))
    limits = show_within(valid, measure_of(argument), units)
    if span.exact or kept[0] >= kept[1]:
        raise BadInput([fault("bad-value", f"{key} from {value}", f"a stretch within {limits}")])
    cut = kept != (span.lo, span.hi)
    return argument, Range(*kept), [f"drawn where the formula is valid: {key} {limits}"] if cut else []


def _lines(formula: Formula, inputs: Inputs, argument: Argument, label: str, units: System) -> list[_Line]:
    """A line for every value of the input that has several."""
    many = next((n for n, values in inputs.values.items() if len(values) > 1), None)
    lines = []
    for i in range(len(inputs.values[many]) if many else 1):
        row = {n: values[i if n == many else 0] for n, values in inputs.values.items()}
        told = ""
        if many:
            told = value_text(row[many], _measure(formula, many), units)
            told = f"{many.replace('_', ' ')} {told}"
        text = ", ".join(part for part in (label, told) if part)
        lines.append(_Line(text, formula, [None if n == argument.name else row[n] for n in formula.names]))
    return lines


def _measure(formula: Formula, name: str) -> str:
    found = next(a for a in formula.arguments if a.name == name)
    return ANY if found.measure == WORD else measure_of(found)


def _curve(line: _Line, points: Sequence[float]) -> Curve:
    found = [line.at(x) for x in points]
    return Curve(
        label=line.label,
        lo=tuple(None if y is None else y.lo for y in found),
        hi=tuple(None if y is None else y.hi for y in found),
    )


def _why(line: _Line, x: float) -> str:
    """What the formula says of the first point, so that the person knows which input is to blame."""
    try:
        formula_bounds(line.formula, [Range.exactly(x) if v is None else v for v in line.inputs])
    except FormulaError as error:
        return f"inputs for which it is valid: {error}"
    return "inputs for which it is valid"
