"""Which car a list means by the words it has for make and model: for certain, or perhaps.

Lists abbreviate, misspell, write both into one cell, and put a body (``wagon``, ``van``) or a trim behind the model.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from difflib import SequenceMatcher
from functools import lru_cache

from shared.part import Part

LEAST_PREFIX = 3
ALIKE = 0.75

Words = tuple[str, ...]


@dataclass(frozen=True)
class Names:
    """The makes, models and trims the catalogue speaks of; what a list abbreviates is read against them."""

    models: Mapping[str, frozenset[str]]
    trims: frozenset[str]

    @classmethod
    def of(cls, parts: Iterable[Part]) -> Names:
        """The names in the donors of some parts."""
        models: dict[str, set[str]] = {}
        trims: set[str] = set()
        for part in parts:
            for donor in part.donors:
                models.setdefault(donor.make, set()).add(donor.model)
                trims.update(donor.trims)
        return cls({make: frozenset(found) for make, found in sorted(models.items())}, frozenset(trims))

    def models_of(self, make: str | None) -> frozenset[str]:
        """The models of a make, of every make where none is told."""
        return frozenset().union(*self.models.values()) if make is None else self.models.get(make, frozenset())


@lru_cache(maxsize=20_000)
def words_of(text: str) -> Words:
    """A text as plain small words: no accents, no punctuation."""
    plain = "".join(c for c in unicodedata.normalize("NFKD", text.casefold()) if not unicodedata.combining(c))
    return tuple(re.findall(r"[a-z0-9]+(?:[.,]\d+)?", plain))


def _means(short: str, whole: str) -> bool:
    return whole == short or (len(short) >= LEAST_PREFIX and whole.startswith(short))


def abbreviates(short: Words, whole: Words) -> bool:
    """Whether every word is the same, or its first letters, :data:`LEAST_PREFIX` or more of them."""
    return len(short) == len(whole) and all(map(_means, short, whole))


def _among(whole: Words, told: Words) -> bool:
    """Whether all words of a name are told, in their order, with others between or behind."""
    rest = iter(told)
    return all(any(_means(word, wanted) for word in rest) for wanted in whole)


@lru_cache(maxsize=20_000)
def names_in(words: Words, known: frozenset[str]) -> Mapping[str, bool]:
    """The known names some words may mean, each with whether that is sure.

    Sure is only the same words, or an abbreviation that one known name has; then it is the only one.  Not sure are
    several with one abbreviation, a name with further words about it (of such the longest), a name that looks alike.

    >>> models = frozenset({"Fellgate", "Fellgate Van"})
    >>> names_in(("fellg",), models), names_in(("fellgate", "wagon"), models)
    ({'Fellgate': True}, {'Fellgate': False})
    """
    spelled = {name: words_of(name) for name in sorted(known)}
    same = [n for n, w in spelled.items() if "".join(w) == "".join(words)]
    if same or not words:
        return dict.fromkeys(same[:1], True)
    begun = [n for n, w in spelled.items() if abbreviates(words, w)]
    if begun:
        return {n: len(begun) == 1 for n in begun}
    among = [n for n, w in spelled.items() if w and _among(w, words)]
    if among:
        longest = max(len(spelled[n]) for n in among)
        return {n: False for n in among if len(spelled[n]) == longest}
    alike = {n: _likeness(words, w) for n, w in spelled.items()}
    best = max(alike.values(), default=0.0)
    return {n: False for n, ratio in alike.items() if ratio == best >= ALIKE}


def _likeness(words: Words, whole: Words) -> float:
    """How much some words, or as many of the first of them as are most like it, look like a name."""
    told = ("".join(words[:count]) for count in range(1, len(words) + 1))
    return max(SequenceMatcher(None, text, "".join(whole)).ratio() for text in told)


@dataclass(frozen=True)
class Named:
    """A make a list may mean (``None`` where it tells none), whether that is sure, and its words for the model."""

    make: str | None
    sure: bool
    model: Words


def _led_by(words: Words, makes: frozenset[str]) -> tuple[str | None, Words]:
    """The make that words surely begin with, and the words behind it; all of them where they begin with none."""
    for count in range(len(words), 0, -1):
        found = names_in(words[:count], makes)
        if True in found.values():
            return next(iter(found)), words[count:]
    return None, words


def makes_told(make_cell: str, model_cell: str, names: Names) -> tuple[Named, ...]:
    """Every make a list may mean by its two cells, whichever holds what; none where the catalogue knows no such make.

    >>> names = Names({"Orrin": frozenset({"Fellgate"})}, frozenset())
    >>> makes_told("", "Orrin Fellgate", names) == makes_told("Orrin Fellgate", "", names)
    True
    """
    makes = frozenset(names.models)
    first, second = words_of(make_cell), words_of(model_cell)
    make, rest = _led_by(first, makes)
    again, behind = _led_by(second, makes)
    if again is not None and (not first or (make == again and behind)):
        make, rest, second = again, rest, behind
    if make is not None:
        return (_with_rest(make, rest, second, names.models_of(make)),)
    if not first:
        return (Named(None, True, second),)
    perhaps = names_in(first, makes)
    if not perhaps and not second and names_in(first, names.models_of(None)):
        return (Named(None, True, first),)
    return tuple(Named(name, False, second or first[1:]) for name in perhaps)


def _with_rest(make: str, rest: Words, second: Words, models: frozenset[str]) -> Named:
    """A make with what stands behind it in its cell: the model, its first words, or words nobody knows."""
    whole = second if second[: len(rest)] == rest else (*rest, *second)
    if rest and second and not names_in(rest, models) and True not in names_in(whole, models).values():
        return Named(make, False, second)
    return Named(make, True, whole)
