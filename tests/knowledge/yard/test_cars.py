"""Lists of cars as people type them: read where they can be read, every fault named where not."""

from __future__ import annotations

import csv
import io
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from knowledge.yard.car import YardCar
from knowledge.yard.cars import MOST_CARS, read_cars
from shared.faults import BadInput, Fault


def cars(tmp_path: Path, text: str | bytes, name: str = "cars.csv") -> tuple[YardCar, ...]:
    file = tmp_path / name
    file.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))
    return read_cars(file)


def faults(tmp_path: Path, text: str | bytes, name: str = "cars.csv") -> tuple[Fault, ...]:
    with pytest.raises(BadInput) as caught:
        cars(tmp_path, text, name)
    return caught.value.faults


def test_a_plain_list(tmp_path: Path) -> None:
    found = cars(
        tmp_path, "make,model,year,engine,trim,options,row,notes\nOrrin,Marram,1999,4.4,Tarn,tow pack,B5,whole\n"
    )
    assert found == (YardCar(2, "Orrin", "Marram", (1999, 1999), "4.4", "Tarn", ("tow pack",), "B5", "whole"),)
    assert found[0].name == "Orrin Marram 1999 4.4 Tarn"


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("start", ["", "\ufeff"])
def test_separators_line_ends_and_byte_order_mark(tmp_path: Path, separator: str, end: str, start: str) -> None:
    rows = [["Make", "MODEL", "Yr", "MOTOR", "Place"], ["Orrin", "Marram", "99", "3.1 L", "C2"]]
    found = cars(tmp_path, start + end.join(separator.join(r) for r in rows) + end)
    assert found[0] == YardCar(2, "Orrin", "Marram", (1999, 1999), "3.1 L", "", None, "C2", "")


def test_make_and_model_may_be_one_column(tmp_path: Path) -> None:
    (tmp_path / "cars.csv").write_text("Make / Model,Year\nOrrin Fellgate,1997\n")
    [car] = read_cars(tmp_path / "cars.csv")
    assert (car.make, car.model, car.name) == ("Orrin Fellgate", "", "Orrin Fellgate 1997")


def test_what_is_not_told_stays_not_told(tmp_path: Path) -> None:
    found = cars(tmp_path, "model,make,year,engine,trim,options,row\nMarram,Orrin,?,n/a,-,unknown,\nMarram\n")
    assert found[0] == YardCar(2, "Orrin", "Marram") == YardCar(2, "Orrin", "Marram", None, "", "", None, "", "")
    assert found[1] == YardCar(3, "", "Marram")


def test_no_options_is_told(tmp_path: Path) -> None:
    found = cars(tmp_path, "make,model,options\nOrrin,Marram,none\nOrrin,Marram,\n")
    assert found[0].options == () and found[1].options is None


def test_line_numbers_count_lines_inside_quotes_and_blank_lines(tmp_path: Path) -> None:
    text = 'make,model,notes\nOrrin,Marram,"first\nsecond ""line"""\n\nTessaly,Lindel,\n'
    found = cars(tmp_path, text)
    assert [c.line for c in found] == [2, 5]
    assert found[0].notes == 'first second "line"'


def test_columns_of_the_lists_own_are_kept_in_the_notes(tmp_path: Path) -> None:
    found = cars(tmp_path, "make,model,stock number,notes\nOrrin,Marram,=1+1,hit in front\n")
    assert found[0].notes == "hit in front; stock number: =1+1"


def test_control_and_direction_marks_do_not_get_through(tmp_path: Path) -> None:
    found = cars(tmp_path, "make,model,notes\nOrrin,Marram,red \x1b[31m\u202egone\n")
    assert found[0].notes == "red [31m gone"


@pytest.mark.parametrize("text", ["yes", "1998-1996", "19997", "3.1", "1850", "97 98 99", "-1997"])
def test_what_is_no_year_is_a_fault_with_its_line(tmp_path: Path, text: str) -> None:
    (fault,) = faults(tmp_path, f"make,model,year\nOrrin,Marram,1999\nOrrin,Marram,{text}\n")
    assert (fault.line, fault.code) == (3, "bad-years")
    assert fault.mend


def test_all_faults_of_a_list_at_once(tmp_path: Path) -> None:
    text = "make,model,year,row\nOrrin,Marram,soon,A1\nOrrin,Marram,1999,A2,hit, hard\nOrrin,Marram,1850,A3\n"
    found = faults(tmp_path, text)
    assert [(f.line, f.code) for f in found] == [(2, "bad-years"), (3, "not-csv"), (4, "bad-years")]
    assert "double quotes" in found[1].mend


@pytest.mark.parametrize(
    ("text", "code", "line", "word"),
    [
        ("Orrin,Marram,1999\nOrrin,Marram,2000\n", "missing-key", 1, "columns"),
        ("make,year\nOrrin,1999\n", "missing-key", 1, "'model'"),
        ("make,modle,model\nOrrin,x,Marram\n", "", 0, ""),
        ("make,model,engin\nOrrin,Marram,3.1\n", "unknown-key", 1, "'engine'"),
        ("make,model,make\nOrrin,Marram,Orrin\n", "duplicate-key", 1, "once"),
        ('make,model\nOrrin,"Marram\nOrrin,Lindel\n', "not-csv", 2, "never closes"),
        ('make,model\nOrrin,"Mar"ram\n', "not-csv", 2, "quote"),
        ("make,model\n", "missing-key", 0, "no car"),
        ("", "missing-key", 0, "no car"),
        ("make,model\nOrrin,Mar\0ram\n", "not-utf8", 2, "NUL"),
        (b"make,model\nOrrin,Marr\xe4m\n", "not-utf8", 2, "UTF-8"),
        ("make,model\nOrrin,Marram\n".encode("utf-16"), "not-utf8", 0, "UTF-8"),
        ("make,model,notes\nOrrin,Marram," + "x" * 3000 + "\n", "too-big", 2, "characters"),
        ("make,model\n" + "Orrin,Marram\n" * (MOST_CARS + 1), "too-big", 0, "cars"),
        (b"make,model\n" + b"x" * 9_000_000, "too-big", 0, "bytes"),
    ],
)
def test_bad_lists(tmp_path: Path, text: str | bytes, code: str, line: int, word: str) -> None:
    if not code:
        assert cars(tmp_path, text)[0].notes == "modle: x"  # `model` is there: the other column is the list's own
        return
    (fault,) = faults(tmp_path, text)
    assert (fault.code, fault.line, Path(fault.file).name) == (code, line, "cars.csv")
    assert word in f"{fault.found} {fault.expected} {fault.mend}"


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(BadInput):
        read_cars(tmp_path / "none.csv")
    with pytest.raises(BadInput):
        read_cars(tmp_path)


YAML = """format: swapwright cars
version: 1
cars:
  - {make: Orrin, model: Marram, year: 1999, options: [tow pack, limited slip], row: B5}
  - {make: Orrin, model: Lindel, options: []}
"""


def test_a_list_in_yaml(tmp_path: Path) -> None:
    found = cars(tmp_path, YAML, "cars.yaml")
    assert found[0] == YardCar(4, "Orrin", "Marram", (1999, 1999), "", "", ("tow pack", "limited slip"), "B5", "")
    assert found[1].options == ()


@pytest.mark.parametrize(
    ("text", "code", "line"),
    [
        (YAML.replace("swapwright cars", "swapwright goal"), "no-format", 1),
        (YAML.replace("version: 1", "version: 2"), "version", 2),
        (YAML.replace("year:", "yeer:"), "unknown-key", 4),
        (YAML.replace("year: 1999", "year: [1999]"), "shape", 4),
        (YAML.replace("cars:\n", "cars: none\nmore:\n"), "shape", 3),
        (YAML + "  - Orrin Marram\n", "shape", 6),
        (YAML.replace("1999", "late"), "bad-years", 4),
        (YAML + "autos: []\n", "unknown-key", 6),
    ],
)
def test_bad_lists_in_yaml(tmp_path: Path, text: str, code: str, line: int) -> None:
    found = faults(tmp_path, text, "cars.yaml")
    assert (code, line) in [(f.code, f.line) for f in found]


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.text(max_size=200), st.sampled_from(["", "make,model,year,notes\n", "make;model\n", '"']))
def test_whatever_is_given_is_read_or_refused_in_words(tmp_path: Path, text: str, start: str) -> None:
    file = tmp_path / "any.csv"
    file.write_bytes((start + text).encode("utf-8", "surrogatepass"))
    with suppress(BadInput):
        read_cars(file)


WORDS = st.text(st.characters(codec="ascii", categories=("L", "N", "P", "S", "Zs")), min_size=1, max_size=12).map(
    lambda s: " ".join(s.split()) or "x"
)


@settings(max_examples=80, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.tuples(WORDS, WORDS, WORDS), min_size=1, max_size=6))
def test_what_a_csv_writer_wrote_comes_back(tmp_path: Path, rows: list[tuple[str, str, str]]) -> None:
    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(["make", "model", "notes"])
    writer.writerows(rows)
    blank = {"", "?", "??", "???", "-", "--", "n/a", "na", "unknown", "not known", "unk"}
    told = [tuple("" if c.lower() in blank else c for c in row) for row in rows]
    assert [(c.make, c.model, c.notes) for c in cars(tmp_path, out.getvalue())] == told
