"""The base of every file's shape, and the way from a tree to a shape and from its complaint to a fault.

A shape says which keys there are and what stands under them; what the values mean is settled by the readers, which
know the vocabulary.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from copy import deepcopy
from difflib import get_close_matches
from typing import Any, TypeVar

from pydantic import BaseModel, ConfigDict, ValidationError

from shared.part import Part

from .documents import Document, Faults, Loc, said


class Shape(BaseModel):
    """Base of all file shapes: closed, and every leaf a text."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


S = TypeVar("S", bound=Shape)

_MOST_TURNS = 3
_MOST_NAMED = 12
_MOST_MEANT = 3
_BRANCHES = ("str", "list[str]", "dict[str,any]")  # how pydantic calls what may stand in one place, beside its name
_SOMETHING_ELSE = "something else, as README and the demo's files have it"
_EXPECTED = {
    "int_parsing": "a whole number",
    "int_type": "a whole number",
    "int_parsing_size": "a whole number, and not so long a one",
    "float_parsing": "a number",
    "float_type": "a number",
    "bool_parsing": "yes or no",
    "bool_type": "yes or no",
    "string_type": "one text",
    "string_unicode": "text in UTF-8",
    "list_type": "a list",
    "dict_type": "keys and values",
    "model_type": "keys and values",
    "model_attributes_type": "keys and values",
    "tuple_type": "a list",
}


def _meant(word: str, names: Iterable[str]) -> str:
    """A mend naming the word nearest to one, or those few with that word in them; empty where none is near."""
    known = {name.casefold(): name for name in sorted(names, reverse=True)}
    word = word.casefold()
    close = get_close_matches(word, sorted(known), 1, 0.6)
    if not close:
        close = [name for name in sorted(known) if word in re.split(r"[_.\-+]", name)]
    close = [known[name] for name in close]
    return f"did you mean {' or '.join(map(repr, close))}?" if 0 < len(close) <= _MOST_MEANT else ""


def spelt(name: str, known: Iterable[str]) -> str:
    """The known name that is the same but for hyphens, underscores, spaces and capitals; the name itself if none is.

    >>> spelt("Brake-balance", ["brake_balance"]), spelt("leaf", ["coil"])
    ('brake_balance', 'leaf')
    """

    def letters(word: str) -> str:
        return re.sub(r"[-_\s]+", "_", word.strip().casefold())

    names = list(known)
    return name if name in names else next((n for n in names if letters(n) == letters(name)), name)


def nearest(word: str, known: Iterable[str]) -> str:
    """A mend naming the nearest known word; where none is near, all of them if they are few."""
    names = sorted(known)
    few = 0 < len(names) <= _MOST_NAMED
    return _meant(word, names) or (f"one of: {', '.join(names)}" if few else "")


def nearest_or_all(word: str, known: Iterable[str], what: str, most: int = 60) -> str:
    """A mend naming the nearest known word; where none is near, all of them, or what stands in for them.

    >>> nearest_or_all("colis", ["coil", "leaf"], "known kinds"), nearest_or_all("x", ["coil", "leaf"], "known kinds")
    ("did you mean 'coil'?", 'known kinds: coil, leaf')
    """
    names = sorted(known)
    if meant := _meant(word, names):
        return meant
    more = f" and {len(names) - most} more" if len(names) > most else ""
    return f"{what}: {', '.join(names[:most])}{more}" if names else ""


def nearest_part(name: str, parts: Mapping[str, Part], position: str = "") -> str:
    """A mend naming the part whose id is nearest; where none is near, those that fit the position it is named for.

    A part is also found by the words it is called, as every answer prints them.
    """
    there = [i for i, p in parts.items() if position in p.positions and p.base is None]
    called = {p.name.casefold(): p.id for p in parts.values()}.get(name.casefold())
    return (
        (f"did you mean {called!r}?" if called else _meant(name, parts))
        or nearest_or_all(name, there, f"parts for {position}", _MOST_NAMED)
        or "look the id up in the catalogue's files"
    )


def unknown_name(
    name: str, known: Iterable[str], code: str, what: str, document: Document, loc: Loc, faults: Faults
) -> None:
    """A fault for a name that is none of the known ones, with the nearest that is."""
    faults.add(document, loc, code, repr(name), what, nearest(name, known))


def known_names(
    names: Iterable[str], known: Iterable[str], code: str, what: str, document: Document, loc: Loc, faults: Faults
) -> tuple[str, ...]:
    """The names of a list at a place that are known; a fault, at its line, for each that is not."""
    words = set(known)
    good = []
    for i, name in enumerate(names):
        if name in words:
            good.append(name)
        else:
            unknown_name(name, words, code, what, document, (*loc, i), faults)
    return tuple(good)


def shaped(shape: type[S], tree: Any, document: Document, at: Loc, faults: Faults) -> S | None:
    """The tree as the shape's model, and a fault for each thing that is off.

    What is off is left out of the model, so that whatever else is wrong can be told as well; ``None`` where nothing
    can be made of the rest.
    """
    left = tree
    for turn in range(_MOST_TURNS):
        try:
            return shape.model_validate(left)
        except ValidationError as error:
            items = _once(error.errors(include_url=False))
        for item in items:
            if not (turn and item["type"] == "missing"):  # what is missing now was taken out in the turn before
                _tell(shape, item, document, at, faults)
        left = deepcopy(left)
        taken = [_left_out(left, i["loc"][:-1] if i["type"] == "missing" else i["loc"]) for i in items]
        if not all(taken):
            return None
    return None


def _left_out(tree: Any, loc: Sequence[str | int]) -> bool:
    """Take the deepest key there is on the way to a place out of a tree; false for the whole tree."""
    found: tuple[dict[str, Any], str] | None = None
    here = tree
    for step in loc:
        if isinstance(here, dict) and str(step) in here:
            found, here = (here, str(step)), here[str(step)]
        elif isinstance(here, list) and isinstance(step, int) and step < len(here):
            here = here[step]
        else:
            break
    if found is not None:
        del found[0][found[1]]
    return bool(loc)


def _tell(shape: type[Shape], item: Any, document: Document, at: Loc, faults: Faults) -> None:
    """A fault for one thing that is off."""
    loc = at + tuple(item["loc"])
    kind, last = item["type"], str(item["loc"][-1]) if item["loc"] else ""
    if kind == "missing":
        faults.add(document, loc, "missing-key", f"no {last!r} here", f"the key {last!r}")
    elif kind == "extra_forbidden":
        known = _keys_at(shape, item["loc"])
        mend = nearest(last, known)
        if item["input"] == "" and not mend.startswith("did you mean"):  # as {name: Springs, tall}
            mend = "where it belongs to the text before the comma, put the whole text in double quotes"
        faults.add(document, loc, "unknown-key", f"the key {last!r}", "a key this place knows", mend)
    elif kind == "literal_error":
        words = str(item.get("ctx", {}).get("expected", ""))
        faults.add(document, loc, "unknown-word", said(item["input"]), words)
    else:
        stands = item["input"]
        mend = ""
        if kind == "list_type" and isinstance(stands, Mapping):
            mend = "put a hyphen and a space before its first key, or in one line [ and ] around it"
        elif kind == "list_type" and stands and isinstance(stands, str):
            mend = f"as a list: [{stands}]"
        faults.add(document, loc, "shape", said(stands), expected_of(item), mend)


def expected_of(item: Any) -> str:
    """What should stand where pydantic says something is off, in our own words and never in the library's."""
    context = item.get("ctx", {})
    if "max_length" in context or "min_length" in context:
        return f"at most {context['max_length']}" if "max_length" in context else f"at least {context['min_length']}"
    if item["type"] == "literal_error":
        return str(context.get("expected", _SOMETHING_ELSE))
    if "le" in context or "ge" in context:
        return f"at most {context['le']}" if "le" in context else f"at least {context['ge']}"
    return " or ".join(_EXPECTED.get(kind, _SOMETHING_ELSE) for kind in item["type"].split("|"))


def _once(items: Sequence[Any]) -> list[Any]:
    """What is off, each thing once: of a place where this or that may stand both are told to be amiss.

    The one that fits further in is what was meant; where neither does, the two are told as one.
    """
    found: dict[tuple[str | int, ...], list[Any]] = {}
    for item in items:
        loc = item["loc"]
        at = next((i for i, step in enumerate(loc) if step in _BRANCHES), None)
        place = loc if at is None else loc[:at]
        found.setdefault(place, []).append({**item, "loc": place if at is None else (*place, *loc[at + 1 :])})
    told = []
    for place, here in found.items():
        inner = [item for item in here if item["loc"] != place]
        if inner or len(here) == 1:
            told += inner or here
        else:
            told.append({**here[0], "type": "|".join(item["type"] for item in here)})
    return told


def _keys_at(shape: type[Shape], loc: tuple[str | int, ...]) -> list[str]:
    """The keys known where an unknown one was found (top of the shape only: deeper ones are found by name)."""
    model: Any = shape
    for step in loc[:-1]:
        field = model.model_fields.get(str(step)) if hasattr(model, "model_fields") else None
        if field is None:
            continue
        found = _models_in(field.annotation)
        if found:
            model = found[0]
    return [f.alias or name for name, f in model.model_fields.items()]


def _models_in(annotation: Any) -> list[type[Shape]]:
    if isinstance(annotation, type) and issubclass(annotation, Shape):
        return [annotation]
    found: list[type[Shape]] = []
    for inner in getattr(annotation, "__args__", ()):
        found += _models_in(inner)
    return found
