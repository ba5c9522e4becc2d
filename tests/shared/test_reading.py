"""Reading what people write: right, or refused with a mend that can itself be read."""

import pickle
import time
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from shared.errors import SwapwrightError
from shared.printing import show
from shared.ranges import Range
from shared.reading import ReadingError, read_limits, read_quantity
from shared.units import measures

UNITS = [(name, spelling) for name, table in measures().items() for spelling in table.exact]


def refused(text: str, measure: str = "length", read: Any = read_quantity) -> ReadingError:
    with pytest.raises(ReadingError) as caught:
        read(text, measure)
    return caught.value


def refusal(text: str, measure: str, read: Any) -> ReadingError | None:
    """The refusal of a text, if it is refused."""
    try:
        read(text, measure)
    except ReadingError as error:
        return error
    return None


def offered(error: ReadingError) -> list[str]:
    """The texts a mend offers in place of the one refused."""
    if error.mend is None or not error.mend.startswith('did you mean "'):
        return []
    return error.mend.removeprefix('did you mean "').removesuffix('"?').split('" or "')


# What can be read -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "measure", "lo", "hi", "unit"),
    [
        # Values by hand; 1 in = 0.0254 m, 1 lb = 0.45359237 kg, exactly.
        ("14 mm", "length", 0.014, 0.014, "mm"),
        ("14.0mm", "length", 0.014, 0.014, "mm"),
        (".5 mm", "length", 0.0005, 0.0005, "mm"),
        ("4 1/2 in", "length", 0.1143, 0.1143, "in"),
        ('4 1/2"', "length", 0.1143, 0.1143, '"'),
        ("31/32 in", "length", 0.02460625, 0.02460625, "in"),
        ("4 100/200 in", "length", 0.1143, 0.1143, "in"),
        ("-4 1/2 in", "length", -0.1143, -0.1143, "in"),
        ("+5 mm", "length", 0.005, 0.005, "mm"),
        ("  14\u00a0 mm ", "length", 0.014, 0.014, "mm"),
        ("40 to 60 mm", "length", 0.04, 0.06, "mm"),
        ("40mm to 60mm", "length", 0.04, 0.06, "mm"),
        ("4.5 in to 115 mm", "length", 0.1143, 0.115, "in"),
        ("1/2 to 3/4 in", "length", 0.0127, 0.01905, "in"),
        ("40–60 mm", "length", 0.04, 0.06, "mm"),
        ("40 – 60 mm", "length", 0.04, 0.06, "mm"),
        ("-5 to 3 mm", "length", -0.005, 0.003, "mm"),
        ("14 to 14 mm", "length", 0.014, 0.014, "mm"),
        ("3 ± 0.2 mm", "length", 0.0028, 0.0032, "mm"),
        ("3 +/- 0.2 mm", "length", 0.0028, 0.0032, "mm"),
        ("3 +- 0.2 mm", "length", 0.0028, 0.0032, "mm"),
        ("3 mm ± 1/4 in", "length", -0.00335, 0.00935, "mm"),
        ("230 Nm", "torque", 230, 230, "Nm"),
        ("80 ft-lb", "torque", 108.46543586651203, 108.46543586651204, "ft-lb"),  # 80 x 1.3558179483314004
        ("20 ± 5 degC", "temperature", 288.15, 298.15, "degC"),
        ("20 degC ± 9 degF", "temperature", 288.15, 298.15, "degC"),  # 9 degF of difference is 5 K
        ("401 °F", "temperature", 478.15, 478.15, "°F"),
        ("5", "count", 5, 5, ""),
        ("5.0", "count", 5, 5, ""),
        ("1 to 2", "count", 1, 2, ""),
        ("8 1/4", "turns", 8.25, 8.25, ""),
        ("8.25 turns", "turns", 8.25, 8.25, "turns"),
        ("3.73", "ratio", 3.73, 3.73, ""),
        ("3.73:1", "ratio", 3.73, 3.73, ":1"),
        ("40 %", "share", 0.4, 0.4, "%"),
        ("0.4", "share", 0.4, 0.4, ""),
        ("1", "share", 1, 1, ""),
        ("150 %", "share", 1.5, 1.5, "%"),
        ("5 to 10 %", "share", 0.05, 0.1, "%"),
        ("-3 %", "share", -0.03, -0.03, "%"),
        ("900", "money", 900, 900, ""),
        ("12.50", "money", 12.5, 12.5, ""),
        ("1 1/2 h", "time", 5400, 5400, "h"),
    ],
)
def test_reads(text: str, measure: str, lo: float, hi: float, unit: str) -> None:
    read = read_quantity(text, measure)
    assert read.value.lo == pytest.approx(lo, rel=1e-15) and read.value.hi == pytest.approx(hi, rel=1e-15)
    assert read.text == text
    assert read.unit == unit


def test_the_same_size_in_two_units_is_the_very_same_number() -> None:
    assert read_quantity("4.5 in", "length").value == read_quantity("114.3 mm", "length").value
    assert read_quantity("4.5 in", "length").value == read_quantity("11.43 cm", "length").value


def test_the_longest_text() -> None:
    assert read_quantity("14 mm".rjust(200), "length").value == Range.exactly(0.014)
    assert "200 characters" in refused("14 mm".rjust(201)).expected


# What is refused --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "measure", "meant"),
    [
        # Comma and space between digits: a decimal point or a thousand, no one knows which.
        ("12,5 mm", "length", ["12.5 mm", "125 mm"]),
        ("1,000 mm", "length", ["1000 mm", "1.000 mm"]),
        ("1 000 mm", "length", ["1000 mm"]),
        ("1\u00a0000 mm", "length", ["1000 mm"]),
        ("1\u202f000 mm", "length", ["1000 mm"]),
        ("1_000 mm", "length", ["1000 mm"]),
        ("1'000 mm", "length", ["1000 mm"]),
        ("1,234,567.8 mm", "length", ["1234567.8 mm"]),
        ("1.234,5 mm", "length", ["1234.5 mm"]),
        (",5 mm", "length", ["0.5 mm"]),
        ("0,5 mm", "length", ["0.5 mm"]),
        ("12,34,5 mm", "length", []),
        ("3 ± 0,2 mm", "length", ["3 ± 0.2 mm"]),
        ("1 140", "money", ["1140"]),
        # The number.
        ("nan mm", "length", []),
        ("NaN", "ratio", []),
        ("inf mm", "length", []),
        ("-Infinity mm", "length", []),
        ("∞ mm", "length", []),
        ("9**9**9 m", "length", []),
        ("9^9 m", "length", []),
        ("2*3 m", "length", []),
        ("1e3 mm", "length", ["1000 mm"]),
        ("1E-2 mm", "length", ["0.01 mm"]),
        ("3 x 10^3 mm", "length", ["3000 mm"]),
        ("1e999 mm", "length", []),
        ("1e16 mm", "length", []),
        ("1/2e3 mm", "length", []),
        ("1e3", "money", ["1000"]),
        ("1.2.3 mm", "length", []),
        ("14. mm", "length", ["14 mm"]),
        ("1/0 in", "length", []),
        ("4 5/4 in", "length", []),
        ("4 0/4 in", "length", []),
        ("1/2/3 in", "length", []),
        ("4.5 1/2 in", "length", []),
        ("4 1 / 2 in", "length", ["4 1/2 in"]),
        ("4-1/2 in", "length", ["4 1/2 in"]),
        ("1000000000000000 mm", "length", []),
        ("1/1000000000000000 mm", "length", []),
        ("--5 mm", "length", []),
        ("- 5 mm", "length", ["-5 mm"]),
        ("mm 5", "length", ["5 mm"]),
        ("$900", "money", ["900"]),
        ("about 50 mm", "length", []),
        ("~50 mm", "length", []),
        ("", "length", []),
        (" \t\n", "length", []),
        ("mm", "length", []),
        ("9" * 201, "count", []),
        # Digits and signs that only look so.
        ("１４ mm", "length", ["14 mm"]),
        ("١٤ mm", "length", ["14 mm"]),
        ("4½ in", "length", ["4 1/2 in"]),
        ("−5 mm", "length", ["-5 mm"]),
        ("4.5”", "length", ['4.5"']),
        ("14 ㎜", "length", ["14 mm"]),
        ("14 º", "angle", ["14 °"]),
        ("1² mm", "length", []),
        # Ranges.
        ("60 to 40 mm", "length", ["40 mm to 60 mm"]),
        ("1 in to 5 mm", "length", ["5 mm to 1 in"]),
        ("40-60 mm", "length", ["40 to 60 mm"]),
        ("40 mm - 60 mm", "length", ["40 mm to 60 mm"]),
        ("40 TO 60 mm", "length", ["40 to 60 mm"]),
        ("4 in to 5", "length", ["4 to 5 in"]),
        ("5 % to 1", "share", ["1 % to 5 %"]),
        ("14 mm ± 0.2", "length", ["14 +/- 0.2 mm"]),
        ("14 to 15 to 16 mm", "length", []),
        ("14 ± 1 ± 1 mm", "length", []),
        ("± 5 mm", "length", []),
        ("5 mm ±", "length", []),
        ("14 +/- -1 mm", "length", ["14 +/- 1 mm"]),
        ("14 +/- +1 mm", "length", ["14 +/- 1 mm"]),
        # Units.
        ("14", "length", ["14 mm", "14 in"]),
        ("14 to 15", "length", ["14 to 15 mm", "14 to 15 in"]),
        ("14 kg", "length", []),
        ("14 mm to 15 kg", "length", []),
        ("14 %", "length", []),
        ("100 lb", "force", ["100 lbf"]),
        ("100 kg", "force", ["100 kgf"]),
        ("14 MM", "length", ["14 mm"]),
        ("14 mm.", "length", ["14 mm"]),
        ("14 mm wide", "length", ["14 mm"]),
        ("14 milimetres", "length", ["14 millimetres", "14 millimetre"]),
        ("14 MM to 16 MM", "length", ["14 mm to 16 mm"]),
        ("14 hands", "length", []),
        ("5 ft 3 in", "length", []),
        ("40 %", "ratio", []),
        ("900 dollars", "money", ["900"]),
        ("5 lugs", "count", ["5"]),
        # What a measure does not allow.
        ("4.5", "count", []),
        ("-1", "count", []),
        ("1 ± 3", "count", []),
        ("40", "share", ["40 %"]),
        ("1.5", "share", ["1.5 %"]),
        ("-1.5", "share", ["-1.5 %"]),
        ("40 to 50", "share", ["40 to 50 %"]),
    ],
)
def test_refuses_and_mends(text: str, measure: str, meant: list[str]) -> None:
    error = refused(text, measure)
    assert offered(error) == meant
    assert "CALLED" not in str(error)


@pytest.mark.parametrize(
    ("text", "measure", "words"),
    [
        (
            "12,5 mm",
            "length",
            'found "12,5 mm", expected a length in mm, cm, m, km, in, ft or mile, with a decimal point and no commas; '
            'did you mean "12.5 mm" or "125 mm"?',
        ),
        ("14 kg", "length", 'found "14 kg", a mass, expected a length in mm, cm, m, km, in, ft or mile'),
        ("5 bar", "stress", 'found "5 bar", a pressure, expected a stress in MPa, GPa, kPa, Pa, kgf/mm2, psi or ksi'),
        (
            "14 hands",
            "mass",
            'found "14 hands", expected a mass in kg, g, t, lb or oz; "hands" is not a unit known here',
        ),
        ("", "money", "found nothing, expected an amount of money, a plain number, beginning with a number"),
        (
            "14",
            "torque",
            'found "14", expected a torque in N m, kN m, kgf m, kgf cm, ft-lb or in-lb, with its unit; '
            'did you mean "14 N m" or "14 ft-lb"?',
        ),
        ("-2", "count", 'found "-2", expected a count, a plain number: a whole number from 0 up'),
        (
            "40",
            "share",
            'found "40", expected a share, a plain number or %: from -1 to 1 without a unit; did you mean "40 %"?',
        ),
    ],
)
def test_what_a_person_reads(text: str, measure: str, words: str) -> None:
    assert str(refused(text, measure)) == words


def test_an_error_has_its_fields_and_survives_a_trip() -> None:
    error = refused("12,5 mm")
    assert isinstance(error, ValueError) and isinstance(error, SwapwrightError)
    again = pickle.loads(pickle.dumps(error))
    assert (again.found, again.expected, again.mend) == (error.found, error.expected, error.mend)
    assert str(again) == str(error)


def test_what_is_found_is_safe_to_print() -> None:
    found = refused("\x1b[31m\ud800\u202e" + "x" * 100).found
    assert found.isprintable() and len(found) < 100


def test_an_unknown_measure_is_the_callers_fault() -> None:
    with pytest.raises(KeyError):
        read_quantity("14 mm", "lengths")
    with pytest.raises(KeyError):
        read_limits("at least 14 mm", "lengths")


# Limits -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "measure", "at_least", "at_most"),
    [
        ("at least 35 mm", "length", 0.035, None),
        ("at most 900", "money", None, 900),
        ("40 mm to 60 mm", "length", 0.04, 0.06),
        ("40 to 60 mm", "length", 0.04, 0.06),
        ("40–60 mm", "length", 0.04, 0.06),
        ("50 ± 5 mm", "length", 0.045, 0.055),
        ("exactly 3.73", "ratio", 3.73, 3.73),
        ("at least -4 1/2 in", "length", -0.1143, None),
        (" at  least 35 mm", "length", 0.035, None),
    ],
)
def test_reads_limits(text: str, measure: str, at_least: float | None, at_most: float | None) -> None:
    limits = read_limits(text, measure)
    assert (limits.at_least, limits.at_most, limits.text) == (at_least, at_most, text)


@pytest.mark.parametrize(
    ("text", "measure", "meant"),
    [
        ("35 mm", "length", ["at least 35 mm", "at most 35 mm", "exactly 35 mm"]),
        ("about 50 mm", "length", []),
        (">= 35 mm", "length", ["at least 35 mm"]),
        ("<35 mm", "length", ["at most 35 mm"]),
        ("At least 35 mm", "length", ["at least 35 mm"]),
        ("no more than 1 140", "money", ["at most 1140"]),
        ("under 900", "money", ["at most 900"]),
        ("up to 5 mm", "length", ["at most 5 mm"]),
        ("from 5 to 10 mm", "length", ["5 to 10 mm"]),
        ("between 40 and 60 mm", "length", ["40 to 60 mm"]),
        ("at least 3 in and at most 5 in", "length", ["3 in to 5 in"]),
        ("at least 12,5 mm", "length", ["at least 12.5 mm", "at least 125 mm"]),
        ("at least 35", "length", ["at least 35 mm", "at least 35 in"]),
        ("at least 3 to 4 mm", "length", ["3 to 4 mm"]),
        ("at least 35 kg", "length", []),
        ("at least", "length", []),
        ("60 to 40 mm", "length", ["40 mm to 60 mm"]),
        ("at least at least 5 mm", "length", []),
        ("", "length", []),
        ("at least " + "9" * 200, "count", []),
    ],
)
def test_refuses_limits_and_mends(text: str, measure: str, meant: list[str]) -> None:
    assert offered(refused(text, measure, read_limits)) == meant


def test_a_limit_that_is_only_about_asks_for_a_range() -> None:
    assert refused("about 50 mm", "length", read_limits).mend == (
        'write the least and the most it may be, with "to" between'
    )


# Properties -------------------------------------------------------------------------------------------------------

whole = st.integers(0, 9999)
numerals = st.one_of(
    whole.map(lambda n: (str(n), Fraction(n))),
    st.decimals(0, 9999, places=3).map(lambda d: (str(d), Fraction(d))),
    st.integers(0, 999).map(lambda n: (f".{n:03d}", Fraction(n, 1000))),
    st.tuples(whole, st.integers(1, 99)).map(lambda p: (f"{p[0]}/{p[1]}", Fraction(*p))),
    st.tuples(whole, st.integers(2, 99), st.data()).map(
        lambda t: (lambda n: (f"{t[0]} {n}/{t[1]}", t[0] + Fraction(n, t[1])))(t[2].draw(st.integers(1, t[1] - 1)))
    ),
)
signed = st.tuples(st.sampled_from(["", "+", "-"]), numerals).map(
    lambda p: (p[0] + p[1][0], -p[1][1] if p[0] == "-" else p[1][1])
)


@given(st.sampled_from(UNITS), st.data(), st.sampled_from(["", " ", "  "]))
def test_written_then_read(unit: tuple[str, str], data: st.DataObject, gap: str) -> None:
    name, spelling = unit
    table = measures()[name]
    text, number = data.draw(numerals if table.whole else signed)
    if table.whole:
        text, number = str(int(number)), Fraction(int(number))
    if table.plain_limit is not None and not spelling:
        text, number = "1/3", Fraction(1, 3)
    factor, offset = table.exact[spelling]
    read = read_quantity(text + gap + spelling, name)
    assert read.value == Range.exactly(float(number * factor + offset))
    assert read.unit == spelling


@given(signed, signed, st.sampled_from([" to ", "–", " +/- ", " ± ", "±"]))
def test_pairs_written_then_read(one: tuple[str, Fraction], two: tuple[str, Fraction], joint: str) -> None:
    text = f"{one[0]}{joint}{two[0]} mm"
    if joint in (" to ", "–"):
        right = one[1] <= two[1] and (joint == " to " or two[0][0] not in "+-")
        lo, hi = one[1], two[1]
    else:
        right = two[0][0] not in "+-"
        lo, hi = one[1] - two[1], one[1] + two[1]
    if right:
        assert read_quantity(text, "length").value == Range(float(lo / 1000), float(hi / 1000))
    else:
        refused(text)


@given(st.sampled_from(sorted(measures())), st.integers(-20_000, 20_000), st.integers(0, 500))
def test_what_is_shown_in_either_system_reads_back_around_the_value(measure: str, middle: int, spread: int) -> None:
    table = measures()[measure]
    if table.whole:
        middle = abs(middle) + spread
    factor, offset = table.exact[table.metric.unit]
    scale = 1 if table.whole else Fraction(1, 8)
    value = Range(*(float(x * scale * factor + offset) for x in (middle - spread, middle + spread)))
    for system in ("metric", "us"):
        text = show(value, measure, system)  # type: ignore[arg-type]
        if table.whole and "." in text:
            continue
        back = read_quantity(text, measure).value
        how = table.printed(system)  # type: ignore[arg-type]
        step = float(table.exact[how.unit][0]) / 10**how.decimals
        slack = step * 0.501 if back.exact else step * 0.001
        assert back.lo - slack <= value.lo and value.hi <= back.hi + slack
        assert back.width <= value.width + 2 * step


letters = st.text(alphabet=" 0123456789./,+-–±%toeEmkginlbNf\"°²½１−*^_'<>=~\u00a0", max_size=40)
any_text = st.one_of(
    letters,
    st.text(max_size=250),
    st.text(alphabet=st.characters(), max_size=30).map(lambda s: "14 " + s),
    st.lists(st.sampled_from(["at least", "at most", "to", "+/-", "±", "4", "1/2", "12,5", "mm", "kg", "%", "-"])).map(
        " ".join
    ),
)


@given(any_text, st.sampled_from(sorted(measures())), st.sampled_from([read_quantity, read_limits]))
@example("14 \ud800", "length", read_quantity)
@example("²", "length", read_quantity)
@example("①", "count", read_quantity)
def test_any_text_is_read_or_refused_with_a_readable_mend(text: str, measure: str, read: Any) -> None:
    error = refusal(text, measure, read)
    if error is not None:
        assert error.found and error.expected and error.mend != ""
        assert str(error).isprintable()
        assert [one for one in offered(error) if refusal(one, measure, read)] == []


@pytest.mark.parametrize("read", [read_quantity, read_limits])
@pytest.mark.parametrize(
    "unit",
    ["1", "1 ", "-", "to ", " to 1", "±", "±1", "1,", ",1", "1,1 1/1 ", "1/", "–1", "½", ". ", "1'000", "M "],
)
def test_no_text_takes_long(unit: str, read: Any) -> None:
    text = (unit * 200)[:200]
    start = time.perf_counter()
    for measure in ("length", "ratio"):
        for one in (text, "at least " + text[:190], text[:197] + " mm"):
            refusal(one, measure, read)
    assert time.perf_counter() - start < 1.0  # seconds; it takes a few thousandths
