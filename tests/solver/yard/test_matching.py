"""Cars against donor patterns: yes, no, and what to look for where the list does not tell.

The expected answers follow from the words of the pattern and of the list by themselves.
"""

from __future__ import annotations

import pytest

from knowledge.yard.car import YardCar
from shared.part import Donor
from shared.verdict import Verdict
from solver.yard.matching import litres_of, match
from solver.yard.naming import Names

NAMES = Names(
    {"Orrin": frozenset({"Fellgate", "Fellgate Van", "Marram"}), "Tessaly": frozenset({"Lindel"})},
    frozenset({"Base", "Trail", "Crest", "Tarn"}),
)
PATTERN = Donor("Orrin", "Marram", 1992, 2001, ("4.4",), ("Tarn",), ("tow pack",))
CAR = YardCar(2, "Orrin", "Marram", (1999, 1999), "4.4", "Tarn", ("tow pack",), "A1")


def answer(car: YardCar, donor: Donor = PATTERN) -> Verdict:
    return match(car, donor, NAMES).verdict


def changed(**more: object) -> YardCar:
    return YardCar(**{**vars(CAR), **more})  # type: ignore[arg-type]


def test_everything_told_and_right() -> None:
    assert answer(CAR) is Verdict.FITS
    assert match(CAR, PATTERN, NAMES).look == ()


@pytest.mark.parametrize(
    "more",
    [
        {"make": "ORRIN", "model": "marram"},
        {"make": " orrin.", "model": "Marr."},
        {"make": "Orr"},
        {"model": "MÁRRAM"},
        {"engine": "4.4L V8"},
        {"engine": "4,4 l"},
        {"engine": "4398 cc"},
        {"trim": "TARN"},
        {"trim": "Tar."},
        {"trim": "Tarn 4x4"},
        {"options": ("Tow Pack", "alloy")},
        {"options": ("heavy tow pack",)},
        {"years": (1992, 1992)},
        {"years": (2000, 2001)},
    ],
)
def test_the_same_said_otherwise(more: dict[str, object]) -> None:
    assert answer(changed(**more)) is Verdict.FITS


@pytest.mark.parametrize(
    ("more", "word"),
    [
        ({"years": None}, "year 1992 to 2001"),
        ({"years": (1990, 1999)}, "the list says 1990-1999"),
        ({"engine": ""}, "engine 4.4"),
        ({"engine": "diesel"}, "the list says 'diesel'"),
        ({"trim": ""}, "trim Tarn"),
        ({"trim": "Taern"}, "the list says 'Taern'"),
        ({"options": None}, "tow pack"),
        ({"options": ("alloy",)}, "which the list does not name"),
        ({"make": ""}, "make Orrin"),
        ({"model": ""}, "model Marram"),
        ({"make": "Orin"}, "the list says Orin Marram"),
        ({"make": "", "model": "", "notes": "could be a Marram"}, "only the notes say so"),
        ({"make": "", "model": ""}, "neither make nor model"),
    ],
)
def test_what_is_not_told_is_looked_for(more: dict[str, object], word: str) -> None:
    found = match(changed(**more), PATTERN, NAMES)
    assert found.verdict is Verdict.CHECK
    assert any(word in look for look in found.look), found.look


@pytest.mark.parametrize(
    "more",
    [
        {"make": "Tessaly"},
        {"make": "Pellow"},
        {"model": "Fellgate"},
        {"years": (1991, 1991)},
        {"years": (2002, 2003)},
        {"engine": "3.1"},
        {"engine": "4.0L"},
        {"trim": "Base"},
        {"options": ()},
        {"options": ("no tow pack",)},
    ],
)
def test_what_is_told_and_wrong_refuses(more: dict[str, object]) -> None:
    found = match(changed(**more), PATTERN, NAMES)
    assert found.verdict is Verdict.NO
    assert found.against


def test_a_no_outweighs_what_is_not_told() -> None:
    assert answer(changed(years=None, trim="", engine="3.1")) is Verdict.NO


def test_a_van_is_not_the_wagon() -> None:
    wagon, van = Donor("Orrin", "Fellgate"), Donor("Orrin", "Fellgate Van")
    assert answer(YardCar(2, "Orrin", "fellgate van"), wagon) is Verdict.NO
    assert answer(YardCar(2, "Orrin", "FELLGATE"), van) is Verdict.NO
    assert answer(YardCar(2, "Orrin", "Fellgate"), wagon) is Verdict.FITS
    assert answer(YardCar(2, "Orrin", "Fellg."), wagon) is Verdict.FITS


def test_an_empty_pattern_means_any() -> None:
    assert answer(YardCar(2, "Orrin", "Marram"), Donor("Orrin", "Marram")) is Verdict.FITS


@pytest.mark.parametrize(
    ("excluded", "more", "verdict"),
    [
        ("1999", {}, Verdict.NO),
        ("1993-1996", {}, Verdict.FITS),
        ("1998-2000", {"years": (1996, 1998)}, Verdict.CHECK),
        ("1998-2000", {"years": None}, Verdict.CHECK),
        ("4.4", {}, Verdict.NO),
        ("engine 3.1", {}, Verdict.FITS),
        ("engine 3.1", {"engine": ""}, Verdict.CHECK),
        ("Tarn", {}, Verdict.NO),
        ("trim Base", {}, Verdict.FITS),
        ("Base", {"trim": ""}, Verdict.CHECK),
        ("tow pack", {}, Verdict.NO),
        ("option air suspension", {"options": ()}, Verdict.FITS),
        ("air suspension", {"options": None}, Verdict.CHECK),
        ("air suspension", {"options": ("no air suspension",)}, Verdict.FITS),
    ],
)
def test_what_a_pattern_leaves_out(excluded: str, more: dict[str, object], verdict: Verdict) -> None:
    donor = Donor("Orrin", "Marram", excluded=(excluded,))
    assert answer(changed(**more), donor) is verdict


@pytest.mark.parametrize(
    ("text", "litres"),
    [("3.1", 3.1), ("3.1L", 3.1), ("3,1 litre", 3.1), ("3098cc", 3.1), ("998 ccm", 1.0), ("2 l", 2.0), ("V6", None)],
)
def test_displacements(text: str, litres: float | None) -> None:
    assert litres_of(text) == litres


@pytest.mark.parametrize(
    ("make", "model"),
    [
        ("Orrin Marram", ""),
        ("", "Orrin Marram"),
        ("", "ORRIN  marr."),
        ("Orrin", "Orrin Marram"),
        ("Orrin Marram", "Marram"),
        ("Orr. Marram", ""),
    ],
)
def test_make_and_model_may_stand_in_one_cell(make: str, model: str) -> None:
    assert answer(changed(make=make, model=model)) is Verdict.FITS
    assert answer(changed(make=make, model=model), Donor("Orrin", "Fellgate")) is Verdict.NO
    assert answer(changed(make=make, model=model), Donor("Tessaly", "Lindel")) is Verdict.NO


def test_a_model_begun_in_the_make_s_cell_ends_in_its_own() -> None:
    car = YardCar(2, "Orrin Fellgate", "Van")
    assert answer(car, Donor("Orrin", "Fellgate Van")) is Verdict.FITS
    assert answer(car, Donor("Orrin", "Fellgate")) is Verdict.NO


@pytest.mark.parametrize(
    ("make", "model"),
    [
        ("Orrin", "Fellgate wagon"),
        ("Orrin Fellgate estate", ""),
        ("", "Orrin Fellgate hardtop 3 door"),
        ("Orrin", "Fellgate Crest"),
        ("Orin Fellgate", ""),
        ("Orrin Motors", "Fellgate"),
        ("Orrin Motors Fellgate", ""),
    ],
)
def test_further_words_about_a_model_are_a_doubt_that_is_told(make: str, model: str) -> None:
    """A wagon is no van, so it is not the van; whether the Fellgate that is meant is one is to be looked at."""
    found = match(YardCar(2, make, model), Donor("Orrin", "Fellgate"), NAMES)
    assert found.verdict is Verdict.CHECK
    said = " ".join(x for x in (make, model) if x)
    assert found.look == (f"make and model Orrin Fellgate; the list says {said}",) or "model Fellgate" in found.look[0]


def test_a_body_behind_another_word_is_that_model() -> None:
    car = YardCar(2, "Orrin", "Fellgate panel van")
    assert answer(car, Donor("Orrin", "Fellgate Van")) is Verdict.CHECK
    assert answer(car, Donor("Orrin", "Fellgate")) is Verdict.NO
    assert answer(YardCar(2, "Orrin", "Fellgate wagon"), Donor("Orrin", "Fellgate Van")) is Verdict.NO
    assert answer(YardCar(2, "Tessaly", "Lindel van"), Donor("Tessaly", "Lindel")) is Verdict.CHECK


def test_an_abbreviation_that_two_models_have_may_be_either() -> None:
    names = Names({"Orrin": frozenset({"Marram", "Marden"})}, frozenset())
    for model in ("Marram", "Marden"):
        found = match(YardCar(2, "Orrin", "Mar"), Donor("Orrin", model), names)
        assert found.verdict is Verdict.CHECK and "the list says Orrin Mar" in found.look[0]
