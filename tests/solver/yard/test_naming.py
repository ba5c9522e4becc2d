"""Names a list may mean: the same words, abbreviations, further words, what looks alike."""

from __future__ import annotations

import pytest

from solver.yard.naming import Named, Names, makes_told, names_in, words_of

MODELS = frozenset({"Marram", "Lindel", "Fellgate", "Fellgate Van"})
NAMES = Names({"Orrin": frozenset({"Fellgate", "Fellgate Van"}), "Tessaly": frozenset({"Lindel"})}, frozenset())


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("Mar", {"Marram": True}),
        ("Ma", {}),
        ("fellgate", {"Fellgate": True}),
        ("Fellgate-Van", {"Fellgate Van": True}),
        ("Fellg. Van", {"Fellgate Van": True}),
        ("Fellgate wagon", {"Fellgate": False}),
        ("Fellgate van, high roof", {"Fellgate Van": False}),
        ("Felgate", {"Fellgate": False}),
        ("Felgate wagon", {"Fellgate": False}),
        ("Skerry", {}),
        ("", {}),
    ],
)
def test_names_that_are_meant(text: str, meant: dict[str, bool]) -> None:
    assert names_in(words_of(text), MODELS) == meant


def test_an_abbreviation_that_two_names_have_is_neither_for_sure() -> None:
    assert names_in(("mar",), frozenset({"Marram", "Marden", "Lindel"})) == {"Marram": False, "Marden": False}


@pytest.mark.parametrize(
    ("make", "model", "told"),
    [
        ("Orrin", "Fellgate", (Named("Orrin", True, ("fellgate",)),)),
        ("Orrin", "", (Named("Orrin", True, ()),)),
        ("", "Orrin", (Named("Orrin", True, ()),)),
        ("", "Fellgate", (Named(None, True, ("fellgate",)),)),
        ("Fellgate", "", (Named(None, True, ("fellgate",)),)),
        ("Orrin Fellgate", "Fellgate Van", (Named("Orrin", True, ("fellgate", "van")),)),
        ("Orrin Cars", "Fellgate", (Named("Orrin", False, ("fellgate",)),)),
        ("Pellow", "Skerry", ()),
        ("Pellow Skerry", "", ()),
    ],
)
def test_make_and_the_words_of_the_model(make: str, model: str, told: tuple[Named, ...]) -> None:
    assert makes_told(make, model, NAMES) == told
