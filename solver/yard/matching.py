"""Whether a car in the yard is a donor of a part: three answers, and what to look for where the list does not tell.

A donor pattern asks for make, model, years, one of its engines, one of its trims, all of its options, and for none of
what it excludes.  What the list tells and the pattern refuses is *does not fit*; what the list does not tell is *fits
if checked*, with what to look for.  Lists of options are rarely whole, so an option that is not in one is still
looked for, unless the list says the car has none.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from knowledge.catalogue_files.parts import years_in
from knowledge.yard.car import YardCar
from shared.part import Donor
from shared.verdict import Verdict

from .naming import Names, abbreviates, makes_told, names_in, words_of


@dataclass(frozen=True)
class Told:
    """The answer of one field: the verdict, and what to look for (or, on *no*, what stands against it)."""

    verdict: Verdict
    says: str = ""


YES = Told(Verdict.FITS)


@dataclass(frozen=True)
class Match:
    """Whether a car is a donor; ``look`` says what to look for, ``against`` what refuses it."""

    car: YardCar
    donor: Donor
    verdict: Verdict
    look: tuple[str, ...] = ()
    against: tuple[str, ...] = ()


_LITRES = re.compile(r"(?<![\d.,])(\d{1,2}[.,]\d)\d?\s*(?:l|litres?|liters?|ltr)?\b|(?<![\d.,])(\d{1,2})\s*l\b", re.I)
_CUBIC = re.compile(r"(?<!\d)(\d[ ,.]?\d{3}|\d{3})\s*(?:cc|ccm|cm3)\b", re.I)


def litres_of(text: str) -> float | None:
    """The displacement an engine's name tells, in litres to one place; ``None`` where it tells none.

    >>> litres_of("3.1L V6"), litres_of("3098 cc"), litres_of("diesel")
    (3.1, 3.1, None)
    """
    if match := _CUBIC.search(text):
        return round(int(re.sub(r"\D", "", match[1])) / 1000, 1)
    if match := _LITRES.search(text):
        return float((match[1] or match[2]).replace(",", "."))
    return None


def engine_told(engine: str, wanted: tuple[str, ...]) -> Told:
    """Whether a car's engine is one of those wanted."""
    if not wanted:
        return YES
    asked = " or ".join(wanted)
    if not engine:
        return Told(Verdict.CHECK, f"engine {asked}")
    answers = [_one_engine(engine, one) for one in wanted]
    best = min(answers)
    if best is Verdict.FITS:
        return YES
    if best is Verdict.CHECK:
        return Told(best, f"engine {asked}; the list says {engine!r}")
    return Told(best, f"engine {engine}, not {asked}")


def _one_engine(engine: str, wanted: str) -> Verdict:
    mine, theirs = litres_of(engine), litres_of(wanted)
    if mine is not None and theirs is not None and mine != theirs:
        return Verdict.NO
    rest = set(words_of(_LITRES.sub(" ", _CUBIC.sub(" ", wanted)))) - {"l"}
    told = set(words_of(engine))
    if mine is None and theirs is not None:
        return Verdict.CHECK
    return Verdict.FITS if rest <= told else Verdict.CHECK


def trim_told(trim: str, wanted: tuple[str, ...], known: Iterable[str]) -> Told:
    """Whether a car's trim is one of those wanted."""
    if not wanted:
        return YES
    asked = " or ".join(wanted)
    if not trim:
        return Told(Verdict.CHECK, f"trim {asked}")
    told = set(words_of(trim))
    if any(set(words_of(w)) <= told for w in wanted):
        return YES
    meant = names_in(words_of(trim), frozenset(known))
    if any(name in meant for name in wanted):
        sure = True in meant.values()
        return YES if sure else Told(Verdict.CHECK, f"trim {asked}; the list says {trim!r}")
    return Told(Verdict.NO, f"trim {trim}, not {asked}")


def options_told(options: tuple[str, ...] | None, wanted: tuple[str, ...]) -> list[Told]:
    """Whether a car has every option wanted."""
    found = []
    for option in wanted:
        says = _option(options, option)
        if says is Verdict.CHECK:
            found.append(Told(says, f"{option}" if options is None else f"{option}, which the list does not name"))
        elif says is Verdict.NO:
            found.append(Told(says, f"no {option}"))
    return found


def _option(options: tuple[str, ...] | None, wanted: str) -> Verdict:
    if options is None:
        return Verdict.CHECK
    asked = words_of(wanted)
    for option in options:
        words = words_of(option)
        if words[:1] in (("no",), ("without",)) and words[1:] == asked:
            return Verdict.NO
        if abbreviates(words, asked) or set(asked) <= set(words):
            return Verdict.FITS
    return Verdict.CHECK if options else Verdict.NO


def years_told(years: tuple[int, int] | None, first: int | None, last: int | None) -> Told:
    """Whether a car's year lies within a donor's."""
    if first is None and last is None:
        return YES
    low, high = first or 0, last or 9999
    asked = f"year {first or 'any'} to {last or 'any'}" if first != last else f"year {first}"
    if years is None:
        return Told(Verdict.CHECK, asked)
    if low <= years[0] and years[1] <= high:
        return YES
    told = str(years[0]) if years[0] == years[1] else f"{years[0]}-{years[1]}"
    if years[1] < low or years[0] > high:
        return Told(Verdict.NO, f"{told}, not {asked}")
    return Told(Verdict.CHECK, f"{asked}; the list says {told}")


def excluded_told(car: YardCar, excluded: str, known: Iterable[str]) -> Told:
    """Whether a car is one of those a donor pattern leaves out: years, an engine, a trim or an option by name.

    ``engine``, ``trim`` or ``option`` in front say which of them it is; without, a displacement is an engine, a trim
    the catalogue knows is a trim, and anything else is an option.
    """
    span = years_in(excluded)
    if span is not None:
        told = years_told(car.years, *span)
        return _turned(told, f"not of {excluded}", f"{excluded} is left out")
    field, _, rest = excluded.strip().partition(" ")
    field = field.lower()
    if field not in ("engine", "trim", "option") or not rest:
        rest = excluded.strip()
        is_trim = any(words_of(rest) == words_of(name) for name in known)
        field = "trim" if is_trim else "engine" if litres_of(rest) is not None else "option"
    if field == "engine":
        told = engine_told(car.engine, (rest,))
    elif field == "trim":
        told = trim_told(car.trim, (rest,), known)
    else:
        told = next(iter(options_told(car.options, (rest,))), YES)
    return _turned(told, f"not with {field} {rest}", f"{field} {rest} is left out")


def _turned(told: Told, look: str, against: str) -> Told:
    if told.verdict is Verdict.FITS:
        return Told(Verdict.NO, against)
    return Told(Verdict.CHECK, look) if told.verdict is Verdict.CHECK else YES


def _identity(car: YardCar, donor: Donor, names: Names) -> Told:
    """Whether make and model are the donor's; notes count only where the list tells neither."""
    both = f"make and model {donor.make} {donor.model}"
    if not car.make and not car.model:
        if set(words_of(donor.model)) <= set(words_of(car.notes)):
            return Told(Verdict.CHECK, f"{both}; only the notes say so")
        return Told(Verdict.CHECK, f"{both}; the list names neither make nor model")
    said = " ".join(cell for cell in (car.make, car.model) if cell)
    told = makes_told(car.make, car.model, names)
    mine = next((one for one in told if one.make in (None, donor.make)), None)
    if mine is None:
        return Told(Verdict.NO, f"make {car.make or said}, not {donor.make}")
    if not mine.model:
        return Told(Verdict.CHECK, f"model {donor.model}" if mine.sure else f"{both}; the list says {said}")
    models = names_in(mine.model, names.models_of(mine.make))
    if donor.model not in models:
        return Told(Verdict.NO, f"model {car.model or said}, not {donor.model}")
    if not (mine.sure and models[donor.model]):
        return Told(Verdict.CHECK, f"{both}; the list says {said}")
    return Told(Verdict.CHECK, f"make {donor.make}") if mine.make is None else YES


def match(car: YardCar, donor: Donor, names: Names) -> Match:
    """Whether a car is a donor of this pattern."""
    told = [_identity(car, donor, names)]
    if told[0].verdict is not Verdict.NO:
        told += [
            years_told(car.years, donor.first_year, donor.last_year),
            engine_told(car.engine, donor.engines),
            trim_told(car.trim, donor.trims, names.trims),
            *options_told(car.options, donor.options),
            *(excluded_told(car, one, names.trims) for one in donor.excluded),
        ]
    verdict = max(t.verdict for t in told)
    says = tuple(t.says for t in told if t.verdict is verdict and t.says)
    return Match(car, donor, verdict, says if verdict is Verdict.CHECK else (), says if verdict is Verdict.NO else ())
