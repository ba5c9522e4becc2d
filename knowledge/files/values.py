"""Values in files: a text, or a mapping of a value and how it is known."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from shared.errors import FormulaError
from shared.evidence import EVIDENCE_WORDS, UNKNOWN, Evidence, Value
from shared.interface import WORD, Attribute
from shared.ranges import Range
from shared.reading import Read, ReadingError, read_quantity
from shared.units import measures

from ..standards.fastening import thread_word
from ..standards.tyre_code import parse_tyre_code
from .documents import Document, Faults, Loc, said
from .shape import nearest, unknown_name

WORDS_FOR_UNKNOWN = ("unknown", "?", "")
# How a person writes that a number is not known better than so much each way.
UNCERTAIN = re.compile(r"\+/-|±|\+-")
_STATED_KEYS = ("value", "evidence", "note")


def quantity_at(text: str, measure: str, document: Document, loc: Loc, faults: Faults) -> Range | None:
    """Read a quantity that must be there; ``None`` and a fault if it cannot be read."""
    try:
        return read_quantity(text, measure).value
    except ReadingError as error:
        faults.add(document, loc, "bad-value", error.found, error.expected, error.mend or "")
        return None


def cost_at(text: str, measure: str, document: Document, loc: Loc, faults: Faults) -> Range | None:
    """Read money or time that is spent, so zero or more; ``None`` and a fault if it cannot be read or is less."""
    cost = quantity_at(text, measure, document, loc, faults)
    if cost is not None and cost.lo < 0:
        faults.add(document, loc, "bad-value", repr(text), "nothing below zero: it is what is spent")
        return None
    return cost


def figure_at(
    text: str, measure: str, document: Document, loc: Loc, faults: Faults, valid: str | None = None
) -> float | None:
    """Read one figure in SI, within ``valid`` where that is said; ``None`` and a fault if it is none, or a range."""
    try:
        read = read_quantity(text, measure)
        _sized(read, measure, None if valid is None else read_quantity(valid, measure))
    except ReadingError as error:
        faults.add(document, loc, "bad-value", error.found, error.expected, error.mend or "")
        return None
    except _Impossible as error:
        what = str(loc[-1]).replace("_", " ")
        faults.add(document, loc, "bad-value", f'"{error.text}"', f"{what} from {error.valid}", error.mend)
        return None
    if not read.value.exact:
        faults.add(document, loc, "bad-value", f'"{read.text}"', "one figure", "give one figure, or make two goals")
        return None
    return read.value.lo


def valid_at(text: str | None, measure: str, document: Document, loc: Loc, faults: Faults) -> Read | None:
    """What an attribute may be stated as: its own range where it gives one, else that of its measure."""
    if measure == WORD:
        if text is not None:
            faults.add(document, loc, "unknown-key", "a valid range of a word", "`one_of`, the words there are")
        return None
    own = text is not None and quantity_at(text, measure, document, loc, faults) is not None
    return read_quantity(text if own and text is not None else measures()[measure].valid, measure)


def _may_be_meant(read: Read, measure: str, valid: Range) -> list[str]:
    """The same number in a common unit or without its minus, where that lies in what is valid."""
    number = read.text.strip().removesuffix(read.unit).strip()
    table = measures()[measure]
    units = dict.fromkeys((read.unit, table.metric.unit, table.us.unit))
    meant = []
    for one in dict.fromkeys((number, number.removeprefix("-"))):
        for unit in units:
            try:
                if read_quantity(f"{one} {unit}".strip(), measure).value.within(valid):
                    meant.append(f"{one} {unit}".strip())
            except ReadingError:
                continue
    return meant[:2]


class _Impossible(ValueError):
    """A number that its attribute may not have, what it may be, and what may have been meant."""

    def __init__(self, text: str, valid: str, mend: str) -> None:
        super().__init__(text, valid, mend)
        self.text = text
        self.valid = valid
        self.mend = mend


def _sized(read: Read, measure: str, valid: Read | None) -> Range:
    """The value, if it is one the attribute may have; :class:`_Impossible` with what may have been meant if not.

    What is stated with an uncertainty must be possible itself; where the uncertainty reaches beyond, it ends there.
    """
    value = read.value
    if valid is None or value.within(valid.value):
        return value
    if UNCERTAIN.search(read.text) and valid.value.contains((value.lo + value.hi) / 2):
        return Range(max(value.lo, valid.value.lo), min(value.hi, valid.value.hi))
    meant = " or ".join(f'"{text}"' for text in _may_be_meant(read, measure, valid.value))
    mend = f"did you mean {meant}?" if meant else "check the number, its sign and its unit"
    raise _Impossible(read.text, valid.text, mend)


def evidence_at(word: str, document: Document, loc: Loc, faults: Faults) -> Evidence:
    """Read how something is known."""
    found = EVIDENCE_WORDS.get(word)
    if found is None:
        unknown_name(word, EVIDENCE_WORDS, "unknown-word", "how it is known", document, loc, faults)
        return Evidence.GUESSED
    return found


def value_at(
    stated: Any, attribute: Attribute, evidence: Evidence, document: Document, loc: Loc, faults: Faults
) -> Value:
    """The value stated at a place for an attribute; :data:`UNKNOWN` (and a fault) if it cannot be read."""
    note = ""
    if isinstance(stated, Mapping):
        for key in stated:
            if key not in _STATED_KEYS:
                faults.add(
                    document,
                    (*loc, key),
                    "unknown-key",
                    f"the key {key!r}",
                    "value, evidence or note",
                    nearest(key, _STATED_KEYS),
                )
        if "value" not in stated:
            faults.add(document, loc, "missing-key", "no 'value' here", "the key 'value'")
            return UNKNOWN
        for key in ("evidence", "note"):
            if not isinstance(stated.get(key, ""), str):
                faults.add(document, (*loc, key), "shape", said(stated[key]), "one text")
                return UNKNOWN
        evidence = (
            evidence_at(stated["evidence"], document, (*loc, "evidence"), faults) if "evidence" in stated else evidence
        )
        note = stated.get("note", "")
        stated = stated["value"]
        loc = (*loc, "value")
    if not isinstance(stated, str):
        faults.add(document, loc, "shape", "a list or mapping", "one value")
        return UNKNOWN
    if not attribute.measure:  # a layout's fault, told where it stands
        return UNKNOWN
    try:
        found = _value(stated, attribute.measure, attribute.one_of, attribute.valid, evidence, note)
        if attribute.written is not None and isinstance(found.value, str):
            parse_tyre_code(found.value)
        return found
    except ReadingError as error:
        faults.add(document, loc, "bad-value", error.found, error.expected, error.mend or "")
    except _Impossible as error:
        faults.add(document, loc, "bad-value", f'"{error.text}"', f"{attribute.title} from {error.valid}", error.mend)
    except FormulaError as error:
        faults.add(document, loc, "bad-value", f'"{stated.strip()}"', f"a {attribute.written}", str(error))
    except _UnknownWord as error:
        word = str(error)
        unknown_name(word, attribute.one_of, "unknown-word", f"a {attribute.title}", document, loc, faults)
    return UNKNOWN


class _UnknownWord(ValueError):
    """A word that is not one of those asked for."""


@lru_cache(maxsize=20_000)
def _value(
    text: str, measure: str, one_of: tuple[str, ...], valid: Read | None, evidence: Evidence, note: str
) -> Value:
    """The value a text says: the same text said of the same thing in the same way is one object, looked at once."""
    text = text.strip()
    if text.lower() in WORDS_FOR_UNKNOWN:
        return Value(None, "unknown", evidence, note)
    if measure != WORD:
        return Value(_sized(read_quantity(text, measure), measure, valid), text, evidence, note)
    word = " ".join(text.split())
    if one_of and word not in one_of:
        raise _UnknownWord(word)
    return Value(word if one_of else thread_word(word), word, evidence, note)


def values_at(
    stated: Mapping[str, Any],
    attributes: Mapping[str, Attribute],
    what: str,
    evidence: Evidence,
    document: Document,
    loc: Loc,
    faults: Faults,
) -> dict[str, Value]:
    """The values of a mapping of attributes; unknown names are faults."""
    found: dict[str, Value] = {}
    for name, entry in stated.items():
        attribute = attributes.get(name)
        if attribute is None:
            unknown_name(
                name, attributes, "unknown-attribute", f"an attribute of {what}", document, (*loc, name), faults
            )
            continue
        found[name] = value_at(entry, attribute, evidence, document, (*loc, name), faults)
    return found


def known_measure(measure: str) -> bool:
    """Whether a measure of that name exists, words included."""
    return measure == WORD or measure in measures()
