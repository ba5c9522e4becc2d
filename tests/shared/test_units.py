"""The table of units: it is sound, and pint agrees with it."""

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
from shared.units import TABLE, _read_table, convert, dimension_of, measures, quantity, to_system, unit_of

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
from shared.printing import show
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


@pytest.mark.parametrize("system", SYSTEMS)
def test_unit_of(system: Any) -> None:
    assert unit_of("length", system) == {"metric": "mm", "us": "in"}[system]
    assert unit_of("ratio", system) == ""


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
