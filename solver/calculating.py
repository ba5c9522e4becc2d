"""Any formula by itself, with its source and where it is valid."""

from __future__ import annotations

from collections.abc import Mapping
from difflib import get_close_matches

from knowledge.bounds import formula_bounds
from knowledge.formulas import Formula, formulas
from shared.errors import FormulaError
from shared.faults import BadInput, Fault
from shared.plan import Model, Number
from shared.ranges import Range
from shared.reading import ReadingError, read_quantity
from shared.units import System

from .words import number

ANY = "any"


class InputShown(Model):
    """An input of a formula: what it means, what was given, and the range it may have."""

    name: str
    measure: str
    about: str
    given: str
    valid: str


class CalcDocument(Model):
    """A formula's answer."""

    format: str = "swapwright calc"
    version: int = 1
    formula: str
    about: str
    inputs: tuple[InputShown, ...]
    result: Number
    result_about: str
    valid_for: str
    source: str


def subjects() -> dict[str, tuple[Formula, ...]]:
    """All formulas by subject, for a list."""
    found: dict[str, tuple[Formula, ...]] = {}
    for formula in formulas().values():
        found[formula.subject] = (*found.get(formula.subject, ()), formula)
    return dict(sorted(found.items()))


def calc(name: str, given: Mapping[str, str], units: System = "metric") -> CalcDocument:
    """Compute one formula; inputs are texts with units and may be ranges.

    Raises :class:`BadInput` naming every input that is missing, unknown, or cannot be read, and where the
    formula is not valid.
    """
    formula = formulas().get(name)
    if formula is None:
        near = get_close_matches(name, formulas(), 1)
        raise BadInput(
            [
                Fault(
                    "calc",
                    0,
                    "unknown-formula",
                    repr(name),
                    "a formula; see calc --list",
                    f"did you mean {near[0]}?" if near else "",
                )
            ]
        )
    if not formula.names:
        raise BadInput([Fault("calc", 0, "unknown-formula", repr(name), "a formula with inputs by name")])
    faults: list[Fault] = []
    values: list[Range | str] = []
    shown: list[InputShown] = []
    for key in given:
        if key not in formula.names:
            faults.append(
                Fault(
                    "calc",
                    0,
                    "unknown-formula",
                    f"{name} has no input {key!r}",
                    f"the inputs {', '.join(formula.names)}",
                )
            )
    for argument in formula.arguments:
        text = given.get(argument.name, "" if argument.default is None else str(argument.default))
        valid = formula.valid.get(argument.name)
        measure = "ratio" if argument.measure == ANY else argument.measure
        limits = "" if valid is None else number(Range(*valid), measure, units).text
        shown.append(
            InputShown(name=argument.name, measure=argument.measure, about=argument.about, given=text, valid=limits)
        )
        if not text:
            faults.append(Fault("calc", 0, "missing-key", f"no {argument.name}", argument.about or argument.measure))
        elif argument.measure == "word":
            values.append(text)
        elif argument.name not in given and isinstance(argument.default, int | float):
            values.append(Range.exactly(float(argument.default)))
        else:
            try:
                values.append(read_quantity(text, measure).value)
            except ReadingError as error:
                faults.append(
                    Fault("calc", 0, "bad-value", f"{argument.name}: {error.found}", error.expected, error.mend or "")
                )
    if faults:
        raise BadInput(faults)
    try:
        value = formula_bounds(formula, values)
    except FormulaError as error:
        raise BadInput([Fault("calc", 0, "bad-value", str(error), "inputs for which the formula is valid")]) from error
    measure = "ratio" if formula.result.measure == ANY else formula.result.measure
    return CalcDocument(
        formula=name,
        about=" ".join(formula.sections["summary"].split()),
        inputs=tuple(shown),
        result=number(value, measure, units),
        result_about=formula.result.about,
        valid_for=" ".join(formula.sections.get("valid for", "").split()),
        source=formula.source,
    )
