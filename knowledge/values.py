"""Values in files: a text, or a mapping of a value and how it is known."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from shared.evidence import EVIDENCE_WORDS, UNKNOWN, Evidence, Value
from shared.interface import WORD, Attribute
from shared.ranges import Range
from shared.reading import ReadingError, read_quantity
from shared.units import measures

from .documents import Document, Faults, Loc
from .shapes import nearest

WORDS_FOR_UNKNOWN = ("unknown", "?", "")
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


def evidence_at(word: str, document: Document, loc: Loc, faults: Faults) -> Evidence:
    """Read how something is known."""
    found = EVIDENCE_WORDS.get(word)
    if found is None:
        faults.add(document, loc, "unknown-word", repr(word), "how it is known", nearest(word, EVIDENCE_WORDS))
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
        evidence = (
            evidence_at(stated["evidence"], document, (*loc, "evidence"), faults) if "evidence" in stated else evidence
        )
        note = str(stated.get("note", ""))
        stated = stated["value"]
        loc = (*loc, "value")
    if not isinstance(stated, str):
        faults.add(document, loc, "shape", "a list or mapping", "one value")
        return UNKNOWN
    text = stated.strip()
    if text.lower() in WORDS_FOR_UNKNOWN:
        return Value(None, "unknown", evidence, note)
    if attribute.measure == WORD:
        word = " ".join(text.split())
        if attribute.one_of and word not in attribute.one_of:
            faults.add(
                document, loc, "unknown-word", repr(word), f"a {attribute.title}", nearest(word, attribute.one_of)
            )
            return UNKNOWN
        return Value(word, word, evidence, note)
    read = quantity_at(text, attribute.measure, document, loc, faults)
    return UNKNOWN if read is None else Value(read, text, evidence, note)


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
            faults.add(
                document,
                (*loc, name),
                "unknown-attribute",
                f"{name!r}",
                f"an attribute of {what}",
                nearest(name, attributes),
            )
            continue
        found[name] = value_at(entry, attribute, evidence, document, (*loc, name), faults)
    return found


def known_measure(measure: str) -> bool:
    """Whether a measure of that name exists, words included."""
    return measure == WORD or measure in measures()
