"""Any formula by itself, with its source and where it is valid."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from math import inf
from pathlib import Path

from knowledge.computing.bounds import formula_bounds
from knowledge.computing.dataflow import Dataflow
from knowledge.files.shape import nearest, nearest_or_all, spelt
from knowledge.formulas import Argument, Formula, formulas
from shared.errors import FormulaError
from shared.faults import BadInput, Fault
from shared.interface import WORD
from shared.printing import show_within
from shared.ranges import Range
from shared.reading import ReadingError, read_quantity
from shared.shown import Model, Number
from shared.units import System, measures

from .standing import as_it_stands
from .words import number, value_text

ANY = "any"
SEVERAL = ";"


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


@dataclass(frozen=True)
class Inputs:
    """The inputs of a formula as read: one list of values for every argument, and how they were given.

    A named argument has one value unless several were asked for; the argument of a variadic formula has as many as
    it pleases.
    """

    values: Mapping[str, tuple[Range | str, ...]]
    shown: tuple[InputShown, ...]


def subjects() -> dict[str, tuple[Formula, ...]]:
    """All formulas by subject, for a list."""
    found: dict[str, tuple[Formula, ...]] = {}
    for formula in formulas().values():
        found[formula.subject] = (*found.get(formula.subject, ()), formula)
    return dict(sorted(found.items()))


def fault(code: str, found: str, expected: str, mend: str = "") -> Fault:
    """A fault of the command line, which has no file."""
    return Fault("calc", 0, code, found, expected, mend)


def given_inputs(texts: Iterable[str]) -> dict[str, str]:
    """Inputs written as ``name=value``; what follows without a sign belongs to the value before it.

    Raises :class:`BadInput` where there is none before it, and for a name that comes twice.

    >>> given_inputs(["rate=21", "N/mm", "sprung_mass=300 kg"])
    {'rate': '21 N/mm', 'sprung_mass': '300 kg'}
    """
    found: dict[str, str] = {}
    name = ""
    for text in texts:
        key, sign, value = text.partition("=")
        if not sign and not name:
            raise BadInput([fault("shape", repr(key), "name=value", "as rate=21 N/mm")])
        if sign and key.strip() in found:
            raise BadInput([fault("duplicate-key", f"{key.strip()} a second time", "each input once")])
        name = key.strip() if sign else name
        found[name] = value.strip() if sign else f"{found[name]} {text.strip()}"
    return found


def formula_named(name: str) -> Formula:
    """The formula of a name; raises :class:`BadInput` with the nearest name, those of pictures among them."""
    formula = formulas().get(spelt(name, formulas()))
    if formula is None:
        from .plotting.pictures import PICTURES

        mend = nearest(name, [*PICTURES, *formulas()])
        raise BadInput([fault("unknown-formula", repr(name), "a formula or a picture; see calc --list", mend)])
    return formula


def measure_of(argument: Argument) -> str:
    """The measure an argument or a result is read and printed in."""
    return "ratio" if argument.measure == ANY else argument.measure


def _shown(formula: Formula, argument: Argument, text: str, units: System) -> InputShown:
    valid = formula.valid.get(argument.name)
    limits = "" if valid is None else show_within(Range(*valid), measure_of(argument), units)
    return InputShown(name=argument.name, measure=argument.measure, about=argument.about, given=text, valid=limits)


def _read(argument: Argument, text: str, several: bool) -> tuple[Range | str, ...]:
    """The values a text gives; raises :class:`ReadingError`."""
    texts = [t.strip() for t in text.split(SEVERAL)] if several else [text]
    if argument.measure == WORD:
        return tuple(texts)
    return tuple(read_quantity(t, measure_of(argument)).value for t in texts)


def _owed(argument: Argument) -> str:
    """What an input is, for whoever left it out: ``a mass: that the spring carries, per corner``."""
    called = "a word" if argument.measure == WORD else measures()[measure_of(argument)].called
    about = argument.about.rstrip(".")
    return f"{called}: {about[0].lower()}{about[1:]}" if about else called


def _outside(
    formula: Formula, argument: Argument, text: str, values: Iterable[Range | str], units: System
) -> list[Fault]:
    """The fault of an input for which the formula is not valid, told in the units it is asked in."""
    low, high = formula.valid.get(argument.name, (-inf, inf))
    if all(isinstance(v, str) or (low <= v.lo and v.hi <= high) for v in values):
        return []
    limits = show_within(Range(low, high), measure_of(argument), units)
    return [fault("bad-value", f"{argument.name}: {text}", f"{limits}, for which {formula.name} is valid")]


def read_inputs(
    formula: Formula,
    given: Mapping[str, str],
    units: System,
    car: Mapping[str, tuple[Range | str, ...]] | None = None,
    left_out: Collection[str] = (),
    several: bool = False,
) -> Inputs:
    """The inputs of a formula from texts, then from the car as it stands, then as the formula has them by default.

    ``left_out`` need not be given; ``several`` lets one argument have more than one value, set apart by semicolons.
    Raises :class:`BadInput` with every input that is missing, unknown or cannot be read.
    """
    known = {a.name for a in formula.arguments}
    meant = {key: spelt(key, sorted(known)) for key in given}
    twice = [key for key in given if list(meant.values()).count(meant[key]) > 1]
    given = {meant[key]: text for key, text in given.items()}
    faults = [
        fault(
            "unknown-formula",
            f"{formula.name} has no input {key!r}",
            "an input of it",
            nearest_or_all(key, known - set(given), "to be given"),
        )
        for key in given
        if key not in known
    ]
    if twice:
        faults.append(fault("duplicate-key", " and ".join(twice), "each input once"))
    values: dict[str, tuple[Range | str, ...]] = {}
    shown: list[InputShown] = []
    from_car = car or {}
    for argument in formula.arguments:
        name = argument.name
        if name in left_out:
            continue
        text = given.get(name, "")
        if not text and name in from_car:
            values[name] = from_car[name]
            told = "; ".join(value_text(v, measure_of(argument), units) for v in from_car[name])
            text = f"{told} (the car)"
        elif not text and argument.default is not None:
            text = str(argument.default)
            default = argument.default
            values[name] = (default if isinstance(default, str) else Range.exactly(float(default)),)
        elif not text:
            where = "" if car is not None else "or take it from a car with --car GOAL"
            faults.append(fault("missing-key", f"no {name}", _owed(argument), where))
        else:
            try:
                values[name] = _read(argument, text, several or not formula.names)
            except ReadingError as error:
                faults.append(fault("bad-value", f"{name}: {error.found}", error.expected, error.mend or ""))
            else:
                faults += _outside(formula, argument, text, values[name], units)
        shown.append(_shown(formula, argument, text, units))
    if sum(len(v) > 1 for v in values.values()) > 1:
        faults.append(fault("bad-value", "several values of more than one input", "one input with several values"))
    if faults:
        raise BadInput(faults)
    return Inputs(values, tuple(shown))


def calc(
    name: str, given: Mapping[str, str], units: System = "metric", car: Path | Dataflow | None = None
) -> CalcDocument:
    """Compute one formula; inputs are texts with units and may be ranges.

    With ``car``, a goal's file or what was read of one, the inputs not given are those of the car as it stands, and
    ``name`` may also be a quantity of its layout.  A formula of any number of values takes them as one text, set apart
    by semicolons.  Raises :class:`BadInput` naming every input that is missing, unknown, or cannot be read, and where
    the formula is not valid.

    >>> from solver import calc
    >>> calc("bolt_circle_from_adjacent", {"spacing": "2.75 in", "lugs": "5"}).result.text
    '118.8 mm'
    """
    standing = None if car is None else as_it_stands(car, name)
    formula = formula_named(name if standing is None else standing.formula)
    inputs = read_inputs(formula, given, units, None if standing is None else standing.inputs)
    try:
        value = formula_bounds(formula, [v for values in inputs.values.values() for v in values])
    except FormulaError as error:
        raise BadInput([fault("bad-value", str(error), "inputs for which the formula is valid")]) from error
    return CalcDocument(
        formula=formula.name,
        about=" ".join(formula.sections["summary"].split()),
        inputs=inputs.shown,
        result=number(value, measure_of(formula.result), units),
        result_about=formula.result.about,
        valid_for=" ".join(formula.sections.get("valid for", "").split()),
        source=formula.source,
    )
