"""Numbers as they are printed come out as a person expects, and say nothing untrue."""

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.printing import finer_between, finer_to_tell, show, show_apart, show_number, show_within
from shared.ranges import Range
from shared.units import measures

SYSTEMS = ("metric", "us")


@pytest.mark.parametrize(
    ("value", "measure", "system", "text"),
    [
        (Range(0.014, 0.014), "length", "metric", "14.0 mm"),
        (Range(0.0139, 0.0142), "length", "metric", "13.9 to 14.2 mm"),
        (Range(0.01391, 0.01412), "length", "metric", "13.9 to 14.2 mm"),  # outward
        (Range(-0.01412, -0.01391), "length", "metric", "-14.2 to -13.9 mm"),  # outward below zero too
        (Range(0.01396, 0.01404), "length", "metric", "14.0 mm"),  # every value in it prints so
        (None, "length", "metric", "unknown"),
        (Range(-1e-9, 0.0), "length", "metric", "0.0 mm"),  # never -0
        (Range(-0.0, -0.0), "length", "metric", "0.0 mm"),
        (Range(-0.00004, 0.0002), "length", "metric", "-0.1 to 0.2 mm"),
        (Range(0.1143, 0.1143), "length", "us", "4.50 in"),
        (Range(123.456, 123.456), "length", "metric", "123456.0 mm"),  # no thousands separator
        (Range(900, 900), "money", "metric", "900"),
        (Range(900, 912.5), "money", "metric", "900.00 to 912.50"),
        (Range(912.5, 912.5), "money", "us", "912.50"),
        (Range(5, 5), "count", "metric", "5"),
        (Range(8.25, 8.25), "turns", "metric", "8.25"),
        (Range(3.73, 3.73), "ratio", "metric", "3.73"),
        (Range(0.385, 0.42), "share", "metric", "38.5 to 42.0 %"),
        (Range(478.15, 478.15), "temperature", "metric", "205 degC"),
        (Range(478.15, 478.15), "temperature", "us", "401 degF"),
        (Range(0.1, 0.1), "angle", "metric", "5.7 deg"),  # 0.1 x 180 / pi = 5.7296
        (Range(5400, 5400), "time", "metric", "1.5 h"),
        (Range(30_000, 30_000), "spring_rate", "metric", "30.0 N/mm"),
        (Range(30_000, 30_000), "spring_rate", "us", "171 lb/in"),  # 30000 / 175.1268 = 171.30
        (Range(600 / 6e7, 600 / 6e7), "flow", "metric", "600 cm3/min"),
    ],
)
def test_show(value: Range | None, measure: str, system: Any, text: str) -> None:
    assert show(value, measure, system) == text


def test_halves_go_away_from_zero_however_they_came_about() -> None:
    # 4.125 in: exact in binary, but not after a conversion; both must print the same way.
    assert show_number(4.125 * 0.0254, "length", "us") == "4.13 in"
    assert show_number(-4.125 * 0.0254, "length", "us") == "-4.13 in"
    assert show_number(0.00005, "length") == "0.1 mm"


@given(st.integers(-30_000, 30_000), st.integers(1, 3000))
def test_what_a_conversion_leaves_behind_moves_no_digit(tenths: int, width: int) -> None:
    # tenths of a millimetre, in metres: many are not that number of millimetres again after the division by 0.001
    text = show(Range(tenths / 10_000, (tenths + width) / 10_000), "length")
    assert text == f"{tenths / 10:.1f} to {(tenths + width) / 10:.1f} mm"


def test_finer() -> None:
    assert show(Range.exactly(0.06815), "length", finer=1) == "68.15 mm"
    assert finer_to_tell((0.06810, 0.06814), "length") == 1
    assert finer_to_tell((0.0681, 0.0682), "length") == 0
    assert finer_to_tell((0.0681, 0.0681), "length") == 0
    assert finer_to_tell((0.0681, 0.0681 + 1e-15), "length") == 4  # too near to tell: the most there is


def test_finer_between_two_sides() -> None:
    def told(one: Range, other: Range) -> tuple[str, str]:
        finer = finer_between(one, [other], "length")
        return show(one, "length", finer=finer), show(other, "length", finer=finer)

    # 37.26 and 37.30 both print as 37.3 mm.
    assert told(Range.exactly(0.03726), Range.exactly(0.0373)) == ("37.26 mm", "37.30 mm")
    # A range is rounded outward, so 37.291 mm would print as 37.30 mm at its upper end.
    assert told(Range(0.036, 0.037291), Range.exactly(0.0373)) == ("36.000 to 37.291 mm", "37.300 mm")
    assert told(Range(0.036, 0.0373), Range.exactly(0.0373)) == ("36.0 to 37.3 mm", "37.3 mm")
    assert told(Range.exactly(0.0373), Range.exactly(0.0373 + 1e-12)) == ("37.3 mm", "37.3 mm")


@given(st.floats(-2.0, 2.0), st.floats(0.0, 0.01), st.integers(0, 6), st.sampled_from(SYSTEMS))
def test_what_misses_a_limit_never_prints_as_the_limit(limit: float, wide: float, places: int, system: Any) -> None:
    """By a metre down to a millionth of one, and however wide; read back from the print."""
    misses = Range(limit - 10.0**-places - wide, limit - 10.0**-places)
    finer = finer_between(misses, [Range.exactly(limit)], "length", system)
    low, *more = show(misses, "length", system, finer=finer).rpartition(" ")[0].split(" to ")
    asked = show_number(limit, "length", system, finer=finer).split()[0]
    assert asked not in (low, *more)
    assert Fraction((low, *more)[-1]) < Fraction(asked)


def test_how_far_apart_is_told_as_the_difference_of_what_is_printed() -> None:
    ten = Range.exactly(0.01)
    # 9.94 mm is told as 9.9 mm, the end of a range as 10.0 mm, which would leave nothing.
    assert show_apart(Range.exactly(0.00994), ten, 0.00006, "length") == (0, "0.1 mm")
    assert show_apart(Range(0.009, 0.00994), ten, 0.00006, "length") == (1, "0.06 mm")
    assert show_apart(Range(0.009, 0.00994), ten, -0.00006, "length") == (1, "-0.06 mm")
    assert show_apart(Range(0.009, 0.01), ten, 0.0, "length") == (0, "0.0 mm")
    # 12 mm in 10 mm with half a millimetre to be left: 2.5 mm.
    assert show_apart(Range.exactly(0.012), ten, 0.0025, "length", beside=0.0005) == (0, "2.5 mm")
    # Degrees lie apart without where their scale begins: 300 K is 80.3 degF, 290 K 62.3 degF.
    assert show_apart(Range.exactly(300.0), Range.exactly(290.0), 10.0, "temperature", "us")[1].startswith("18")


LIMITS = [
    (Range(0.0, 0.05), "length", "metric", "0.0 to 50.0 mm"),
    (Range(0.0, 0.05), "length", "us", "0.00 to 1.96 in"),  # 1.9685
    (Range(0.05, 0.2), "length", "us", "1.97 to 7.87 in"),  # 7.8740
    (Range(0.0, 1.2), "angle", "metric", "0.0 to 68.7 deg"),  # 68.755
    (Range(-0.4, 0.4), "angle", "metric", "-22.9 to 22.9 deg"),  # 22.918
    (Range(0.0, 1e5), "pressure", "us", "0 to 14.5 psi"),  # 14.504: a whole 14 would lose a thirtieth
    (Range(0.001, 1.0), "ratio", "metric", "0.001 to 1.00"),
    (Range(1e-12, 1.0), "ratio", "metric", "0.000001 to 1.00"),
    (Range(1, 8), "count", "us", "1 to 8"),
    (Range(0.01, 0.0101), "length", "us", "0.39371 to 0.3976 in"),  # 0.393701 to 0.397638, 0.0039 apart
    (Range.exactly(0.01), "length", "metric", "10.0 to 10.0 mm"),
]


@pytest.mark.parametrize(("limits", "measure", "system", "text"), LIMITS, ids=[row[3] for row in LIMITS])
def test_limits_are_rounded_inward(limits: Range, measure: str, system: Any, text: str) -> None:
    assert show_within(limits, measure, system) == text


@given(st.sampled_from(sorted(measures())), st.sampled_from(SYSTEMS), st.floats(-1e4, 1e4), st.floats(0, 100))
def test_a_print_holds_the_whole_range(measure: str, system: Any, middle: float, spread: float) -> None:
    table = measures()[measure]
    how = table.printed(system)
    factor, offset = table.exact[how.unit]
    lo, hi = (float(Fraction(x) * factor + offset) for x in (middle - spread, middle + spread))
    text = show(Range(lo, hi), measure, system)
    assert text.endswith(how.unit) and "-0 " not in f"{text} " and "e" not in text.removesuffix(how.unit)
    ends = [Fraction(word) for word in text.removesuffix(how.unit).split(" to ")]
    shown = [end * factor + offset for end in ends]
    step = Fraction(1, 10**how.decimals) * factor
    if len(ends) == 1:  # prints as one number: that number is the nearest to either end
        assert abs(shown[0] - Fraction(lo)) <= step * Fraction(501, 1000)
        assert abs(shown[0] - Fraction(hi)) <= step * Fraction(501, 1000)
    else:  # outward, by less than one step
        assert -step < shown[0] - Fraction(lo) <= step / 1000
        assert -step / 1000 <= shown[1] - Fraction(hi) < step
