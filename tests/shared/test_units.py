"""The table of units: it is sound, pint agrees with it, and prints come out as a person expects."""

import subprocess
import sys
from fractions import Fraction
from typing import Any

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st
from ruamel.yaml import YAML

from shared.ranges import Range
from shared.reading import read_quantity
from shared.units import (
    TABLE,
    _read_table,
    convert,
    dimension_of,
    finer_between,
    finer_to_tell,
    measures,
    quantity,
    show,
    show_apart,
    show_number,
    show_within,
    to_system,
    unit_of,
)

UNITS = [(name, spelling) for name, table in measures().items() for spelling in table.exact]
SYSTEMS = ("metric", "us")


@pytest.fixture(scope="module")
def floats() -> pint.UnitRegistry[Any]:
    return pint.UnitRegistry()


@pytest.fixture(scope="module")
def fractions() -> pint.UnitRegistry[Any]:
    return pint.UnitRegistry(non_int_type=Fraction)


# The table --------------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def as_yaml() -> dict[str, Any]:
    """The table as a general YAML reader sees it; it also refuses a key that stands twice."""
    loaded: dict[str, Any] = YAML(typ="safe").load(TABLE)
    return loaded


def test_our_reader_and_a_yaml_reader_agree(as_yaml: dict[str, Any]) -> None:
    assert list(as_yaml) == list(measures())
    for name, row in as_yaml.items():
        table = measures()[name]
        assert (table.name, table.called, table.si) == (name, row["called"], row["si"])
        for system in SYSTEMS:
            how = table.printed(system)
            assert {"unit": how.unit, "decimals": how.decimals} | ({"trim": True} if how.trim else {}) == row[system]
        assert table.whole == row.get("whole", False)
        assert table.valid == row["valid"]
        assert table.plain_limit == row.get("plain_limit")
        spelled = [(spelling, unit) for unit in row["spellings"] for spelling in unit["spelled"]]
        assert list(table.exact) == [spelling for spelling, _ in spelled]
        assert list(table.offered) == [unit["spelled"][0] for unit in row["spellings"]]
        for spelling, unit in spelled:
            assert table.pint[spelling] == unit["pint"]
            for key, ours in zip(("factor", "offset"), table.spellings[spelling], strict=True):
                above, _, below = str(unit.get(key, 0)).partition("/")
                assert ours == pytest.approx(float(above) / float(below or 1), rel=1e-15)


def test_every_measure_has_a_range_for_what_is_stated() -> None:
    for name, table in measures().items():
        read = read_quantity(table.valid, name).value
        assert read.lo < read.hi, name
        assert read.lo >= 0 or name in ("angle", "acceleration", "angular_acceleration", "rotation"), name


def test_no_spelling_stands_twice_in_a_measure(as_yaml: dict[str, Any]) -> None:
    for name, row in as_yaml.items():
        spelled = [spelling for unit in row["spellings"] for spelling in unit["spelled"]]
        assert len(spelled) == len(set(spelled)), name


def test_no_spelling_runs_into_a_number() -> None:
    for name, spelling in UNITS:
        assert not spelling[:1].isdigit() and spelling[:1] not in tuple("+-–±.,/ "), (name, spelling)
        assert spelling == " ".join(spelling.split())
        assert not any(joint in f" {spelling} " for joint in (" to ", "±", "–", "+"))


def test_every_measure_prints_in_units_it_has_and_is_called_something() -> None:
    for table in measures().values():
        assert table.metric.unit in table.exact and table.us.unit in table.exact
        assert table.called.startswith(("a ", "an "))


# The measures a formula's docstring, a catalogue or a goal may name.
NAMED = """length area volume angle mass force torque pressure stress spring_rate torsion_rate damping frequency speed
acceleration angular_acceleration rotation count turns ratio share money time temperature flow mass_flow inertia
resistance density turns_per_distance second_moment section_modulus"""


def test_the_measures_others_name_are_there() -> None:
    assert set(NAMED.split()) <= set(measures())


@pytest.mark.parametrize("bad", ["length:\n  si meter\n", "length:\n  units:\n", "length:\n    - {pint: meter}\n"])
def test_a_line_of_another_shape_is_named(bad: str) -> None:
    with pytest.raises(ValueError, match="line 2"):
        _read_table(bad)


@pytest.mark.parametrize(("name", "spelling"), UNITS)
def test_pint_agrees_with_every_factor(name: str, spelling: str, floats: pint.UnitRegistry[Any]) -> None:
    table = measures()[name]
    unit = table.pint[spelling]
    if name == "temperature":
        offset = floats.Quantity(0.0, unit).to(table.si).magnitude
        factor = floats.Quantity(1.0, f"delta_{unit}" if unit != "kelvin" else unit).to(table.si).magnitude
    else:
        offset, factor = 0.0, floats.Quantity(unit).to(table.si).magnitude
    assert table.spellings[spelling] == (pytest.approx(factor, rel=1e-15), pytest.approx(offset, rel=1e-15))


# Units with pi or an offset in them have no exact fraction.
RATIONAL = [
    (name, spelling)
    for name, spelling in UNITS
    if not any(word in measures()[name].pint[spelling] for word in ("degree", "arcminute", "revolution"))
]


@pytest.mark.parametrize(("name", "spelling"), RATIONAL)
def test_factors_without_pi_are_exact(name: str, spelling: str, fractions: pint.UnitRegistry[Any]) -> None:
    table = measures()[name]
    factor = fractions.Quantity(table.pint[spelling]).to(table.si).magnitude
    assert isinstance(factor, Fraction | int)
    assert table.exact[spelling] == (factor, 0)


def test_reading_and_printing_load_no_unit_library() -> None:
    code = """
import sys
from shared.reading import read_quantity, read_limits
from shared.units import show
assert show(read_quantity("4 1/2 in", "length").value, "length") == "114.3 mm"
read_limits("at most 900", "money")
heavy = {"pint", "numpy", "ruamel", "ruamel.yaml", "pydantic", "networkx"} & set(sys.modules)
assert not heavy, heavy
"""
    root = TABLE.parent.parent
    subprocess.run([sys.executable, "-c", code], cwd=root, check=True, timeout=60)


# Conversion -------------------------------------------------------------------------------------------------------


@given(st.sampled_from(UNITS), st.data(), st.floats(-1e9, 1e9))
def test_converting_there_and_back(unit: tuple[str, str], data: st.DataObject, x: float) -> None:
    name, spelling = unit
    other = data.draw(st.sampled_from(sorted(measures()[name].exact)))
    # Each way rounds once, to the nearest float; an offset (temperature) adds its own size to the error.
    back = convert(convert(x, spelling, other, name), other, spelling, name)
    assert back == pytest.approx(x, rel=1e-12, abs=1e-9 if name == "temperature" else 1e-300)


def test_convert_by_hand() -> None:
    assert convert(4.5, "in", "mm", "length") == 114.3  # 4.5 x 25.4
    assert convert(1, "N/mm", "N/m", "spring_rate") == 1000
    assert convert(-40, "degC", "degF", "temperature") == -40  # where the two scales cross
    assert convert(90, "cpm", "Hz", "frequency") == 1.5
    assert convert(60, "rpm", "rad/s", "rotation") == pytest.approx(6.283185307179586, rel=1e-15)  # one turn a second


def test_convert_knows_only_the_measures_own_units() -> None:
    with pytest.raises(KeyError):
        convert(1, "kg", "mm", "length")
    with pytest.raises(KeyError):
        convert(1, "mm", "mm", "no such measure")


def test_to_system() -> None:
    assert to_system(0.0254, "length", "us") == 1
    assert to_system(0.0254, "length", "metric") == pytest.approx(25.4, rel=1e-15)
    assert to_system(273.15, "temperature", "us") == pytest.approx(32, rel=1e-14)


# Prints -----------------------------------------------------------------------------------------------------------


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


@pytest.mark.parametrize("system", SYSTEMS)
def test_unit_of(system: Any) -> None:
    assert unit_of("length", system) == {"metric": "mm", "us": "in"}[system]
    assert unit_of("ratio", system) == ""


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


# Pint at the edge -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("unit", "kind"),
    [
        ("kg", "mass"),
        ("mm", "length"),
        ('"', "length"),
        ("ft-lb", "torque"),
        ("lb/in", "spring_rate"),
        ("ksi", "pressure"),
        ("%", "share"),
        ("deg", "angle"),
        ("degF", "temperature"),
        ("g", "mass"),
        ("furlong", None),
        ("9**9**9", None),
    ],
)
def test_dimension_of(unit: str, kind: str | None) -> None:
    assert dimension_of(unit) == kind


def test_every_unit_has_a_dimension_that_is_its_measures() -> None:
    for name, spelling in UNITS:
        kind = dimension_of(spelling)
        assert kind is not None
        floats = quantity(Range(0, 1), kind)
        if not floats.dimensionless:
            assert any(
                floats.check(quantity(Range(0, 1), holder.name).dimensionality)
                for holder in measures().values()
                if spelling in holder.exact
            ), (name, spelling)


def test_quantity() -> None:
    made = quantity(Range(0.1, 0.2), "length")
    assert list(made.to("millimeter").magnitude) == pytest.approx([100, 200])
    assert made.check("[length]")
    assert quantity(Range(273.15, 283.15), "temperature").to("degree_Celsius").magnitude[0] == pytest.approx(0)
