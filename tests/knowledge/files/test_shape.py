"""The nearest known name, where somebody types another; what is expected, in our own words."""

from __future__ import annotations

import pkgutil
from collections.abc import Iterator
from importlib import import_module
from typing import Any

import pytest
from pydantic import ValidationError

import knowledge
from knowledge.files.shape import Shape, expected_of, nearest

MANY = [f"x{n}" for n in range(20)]


@pytest.mark.parametrize(
    ("word", "known", "mend"),
    [
        ("colis", ["coil", "leaf", *MANY], "did you mean 'coil'?"),
        # Too unlike the whole of a name, but one of its words.
        ("coil", ["front_coil_spring", "leaf", *MANY], "did you mean 'front_coil_spring'?"),
        (
            "coil",
            ["front_coil_spring", "old-coil-spring", *MANY],
            "did you mean 'front_coil_spring' or 'old-coil-spring'?",
        ),
        ("coil", [*(f"coil-spring-{n}" for n in range(20)), *MANY], ""),
        ("oil", ["front_coil_spring", *MANY], ""),
        ("what", ["coil", "leaf"], "one of: coil, leaf"),
        ("what", MANY, ""),
    ],
)
def test_what_may_have_been_meant(word: str, known: list[str], mend: str) -> None:
    assert nearest(word, known) == mend


WRONG: list[Any] = ["x", "", [], {}, "-1", "9" * 5000, "1.5", "nan", [[]], ["x"], ["1", "2", "3"], {"a": {}}, "\ud800"]
# Words of pydantic, of which none is ours.
FOREIGN = ("Input", "Value error", "should ", "valid", "parse", "List", "Tuple", "String", "pydantic")


def shapes(of: type[Shape] = Shape) -> Iterator[type[Shape]]:
    for shape in of.__subclasses__():
        yield shape
        yield from shapes(shape)


def test_no_word_of_the_library_reaches_a_person() -> None:
    for module in pkgutil.walk_packages(knowledge.__path__, "knowledge."):
        import_module(module.name)
    told: set[str] = set()
    for shape in shapes():
        for name, field in shape.model_fields.items():
            for wrong in WRONG:
                try:
                    shape.model_validate({field.alias or name: wrong})
                except ValidationError as error:
                    told |= {expected_of(item) for item in error.errors() if item["type"] != "literal_error"}
    assert {"a whole number", "one text", "a list", "at most 2", "text in UTF-8"} <= told
    assert not [text for text in told if any(word in text for word in FOREIGN)]


def test_a_kind_of_complaint_nobody_foresaw_has_words_of_ours_too() -> None:
    item = {"type": "value_error", "msg": "Value error, no such thing", "ctx": {"error": ValueError("no such thing")}}
    assert expected_of(item).startswith("something else")
