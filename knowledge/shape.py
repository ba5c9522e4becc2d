"""The base of every file's shape, and the way from a tree to a shape and from its complaint to a fault.

A shape says which keys there are and what stands under them; what the values mean is settled by the readers, which
know the vocabulary.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from copy import deepcopy
from difflib import get_close_matches
from typing import Any, TypeVar

from pydantic import BaseModel, ConfigDict, ValidationError

from .documents import Document, Faults, Loc


class Shape(BaseModel):
    """Base of all file shapes: closed, and every leaf a text."""

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


S = TypeVar("S", bound=Shape)

_MOST_TURNS = 3
_EXPECTED = {
    "int_parsing": "a whole number",
    "float_parsing": "a number",
    "bool_parsing": "yes or no",
    "string_type": "one text",
    "list_type": "a list",
    "dict_type": "keys and values",
    "model_type": "keys and values",
    "model_attributes_type": "keys and values",
    "tuple_type": "a list",
}


def nearest(word: str, known: Any) -> str:
    """A mend naming the nearest known word, or an empty text."""
    names = sorted(str(k) for k in known)
    close = get_close_matches(word, names, 1, 0.6)
    if close:
        return f"did you mean {close[0]!r}?"
    return f"one of: {', '.join(names)}" if 0 < len(names) <= 12 else ""


def known_names(
    names: Iterable[str], known: Iterable[str], code: str, what: str, document: Document, loc: Loc, faults: Faults
) -> tuple[str, ...]:
    """The names that are known; a fault for each that is not."""
    words = set(known)
    good = []
    for name in names:
        if name in words:
            good.append(name)
        else:
            faults.add(document, loc, code, repr(name), what, nearest(name, words))
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
            items = error.errors(include_url=False)
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
        faults.add(document, loc, "unknown-key", f"the key {last!r}", "a key this place knows", nearest(last, known))
    elif kind == "literal_error":
        words = str(item.get("ctx", {}).get("expected", ""))
        faults.add(document, loc, "unknown-word", repr(item["input"]), words)
    else:
        faults.add(document, loc, "shape", repr(item["input"]), _EXPECTED.get(kind, item["msg"]))


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
