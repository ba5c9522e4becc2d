"""The tree of a plain YAML text, made at once from the parser's events."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from sys import intern
from typing import Any

from ruamel.yaml.cyaml import CBaseLoader
from ruamel.yaml.events import (
    DocumentStartEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
    StreamEndEvent,
)

_DEEPEST = 30
_FIRST_DIGITS = re.compile(r"[+-]?\d(.*\d)?", re.ASCII)


class Odd(Exception):
    """Something out of the ordinary, right or wrong."""


def goes_on(before: Any, key: str) -> bool:
    """Whether a key without a value, in braces, is the rest of the value before it: ``{wire: 13,6 mm}``.

    YAML makes two of it, ``wire: 13`` and a key ``6 mm``; as it was meant it is one value with a comma, which the
    number's own grammar refuses.

    >>> goes_on("13", "6 mm"), goes_on("13 mm", "6 mm"), goes_on("13", "mm")
    (True, False, False)
    """
    return key[:1].isdecimal() and isinstance(before, str) and _FIRST_DIGITS.fullmatch(before) is not None


def tree_at_once(text: str) -> tuple[dict[str, Any], dict[str, list[int]]]:
    """The tree of a text, and the lines of the items of the lists at its top; :class:`Odd` if it is not plain.

    >>> tree_at_once("parts:\\n  - id: hub\\n")
    ({'parts': [{'id': 'hub'}]}, {'parts': [2]})
    """
    get: Callable[[], Any] = CBaseLoader(text).get_event
    get()
    if type(get()) is not DocumentStartEvent or type(get()) is not MappingStartEvent:
        raise Odd
    tree: dict[str, Any] = {}
    starts: dict[str, list[int]] = {}
    while type(key := get()) is not MappingEndEvent:
        word = _word(key, tree)
        event = get()
        if type(event) is SequenceStartEvent and event.anchor is None:
            tree[word], starts[word] = [], []
            while type(item := get()) is not SequenceEndEvent:
                starts[word].append(item.start_mark.line + 1)
                tree[word].append(_value(item, get, _DEEPEST))
        else:
            tree[word] = _value(event, get, _DEEPEST)
            if tree[word] == "" and word[:1].isdecimal():  # braces round a whole file may have broken a number
                raise Odd
    get()
    if type(get()) is not StreamEndEvent:
        raise Odd
    return tree, starts


def _word(key: Any, tree: Mapping[str, Any]) -> str:
    """A key as text, which must not be there yet."""
    if type(key) is not ScalarEvent or key.anchor is not None or key.value in tree:
        raise Odd
    return intern(key.value)


def _value(event: Any, get: Callable[[], Any], deepest: int) -> Any:
    """The tree that begins with an event; the same words are one object, for there are thousands of each."""
    kind = type(event)
    if kind not in (ScalarEvent, MappingStartEvent, SequenceStartEvent) or event.anchor is not None or not deepest:
        raise Odd
    if kind is ScalarEvent:
        return intern(event.value)
    if kind is SequenceStartEvent:
        items = []
        while type(item := get()) is not SequenceEndEvent:
            items.append(_value(item, get, deepest - 1))
        return items
    tree: dict[str, Any] = {}
    last = ""
    while type(key := get()) is not MappingEndEvent:
        word = _word(key, tree)
        value = _value(get(), get, deepest - 1)
        if value == "" and event.flow_style and goes_on(tree.get(last), word):
            tree[last] = f"{tree[last]},{word}"
        else:
            tree[word], last = value, word
    return tree
