"""Tyre codes: what is read, and what is refused with a sentence."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowledge.standards.tyre_code import TyreCode, parse_tyre_code
from shared.errors import FormulaError


def test_metric_with_service_description() -> None:
    code = parse_tyre_code("215/75R15 100S")
    assert code.section == 0.215
    assert code.aspect == 0.75
    assert code.rim == pytest.approx(0.381)
    assert code.diameter == pytest.approx(0.7035)
    assert code.section_height == pytest.approx(0.16125)
    assert (code.construction, code.service, code.load_index, code.speed_symbol) == ("R", "P", 100, "S")


@pytest.mark.parametrize(
    ("text", "service", "construction", "load_index"),
    [
        ("P235/75R15 105S", "P", "R", 105),
        ("235/75R15", "P", "R", None),
        ("LT235/85R16 120/116Q", "LT", "R", 120),
        ("195/75R16C 107/105R", "LT", "R", 107),
        ("31x10.50R15LT 109Q", "LT", "R", 109),
        ("31X10.50R15", "LT", "R", None),
        ("31×10.50-15LT", "LT", "D", None),
        ("205/80D16", "P", "D", None),
        ("205/70B15", "P", "B", None),
        ("255/45ZR17", "P", "R", None),
        ("  235/75r15   105s xl ", "P", "R", 105),
        ("235/75 R 15", "P", "R", None),
        ("235 / 75 R15 105 S", "P", "R", 105),
        ("LT 235/85 R 16 120/116 Q M+S", "LT", "R", 120),
        ("31 x 10.50 R 15 LT 109Q", "LT", "R", 109),
    ],
)
def test_forms(text: str, service: str, construction: str, load_index: int | None) -> None:
    code = parse_tyre_code(text)
    assert (code.service, code.construction, code.load_index) == (service, construction, load_index)


def test_two_ways_to_write_one_size_are_equal() -> None:
    assert parse_tyre_code("31x10.50R15LT") == parse_tyre_code("31X10.5R15LT")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "not a tyre code"),
        ("about 31 inches", "not a tyre code"),
        ("235/75/15", "not a tyre code"),
        ("235/75R15 105", "not a tyre code"),
        ("235/75R15 105S; rm", "not a tyre code"),
        ("235,5/75R15", "not a tyre code"),
        ("٢٣٥/75R15", "not a tyre code"),
        ("195R14C", "no aspect ratio"),
        ("235/75R15 127S", "load index 127"),
        ("235/75R15 105I", "speed symbol 'I'"),
        ("235/15R15", "aspect ratio of 15 %"),
        ("995/75R15", "section of 995 mm"),
        ("235/75R40", "rim of 40 in"),
        ("50x6.00R15", "aspect ratio of 292 %"),
        ("P235/75R15C", "twice"),
    ],
)
def test_refused_with_a_sentence(text: str, says: str) -> None:
    with pytest.raises(FormulaError) as caught:
        parse_tyre_code(text)
    assert says in str(caught.value)
    assert repr(text) in str(caught.value)


@given(text=st.text(alphabet="0123456789/RxXLTPCDB.- SQ", max_size=24))
def test_anything_is_read_or_refused(text: str) -> None:
    try:
        code = parse_tyre_code(text)
    except FormulaError:
        return
    assert isinstance(code, TyreCode)
    assert code.diameter > code.rim > 0
    assert 0.25 <= code.aspect <= 1.0
