"""The smallest set of cars against other methods, and lists against other readers and writers of CSV.

* exhaustive search over all sets of cars;
* CP-SAT of OR-Tools on larger cases;
* Koenig's theorem with networkx: where every thing stands on two cars of a bipartite yard, the smallest set of cars is
  as large as the largest matching;
* RFC 4180 by a reader written from its grammar (section 2), which takes nothing the grammar does not allow;
* openpyxl, for what a spreadsheet takes for a formula; pyexcel, a spreadsheet library's own CSV reader and writer.
"""

from __future__ import annotations

import io
from itertools import combinations
from pathlib import Path

import networkx as nx
import openpyxl
import pyexcel
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from ortools.sat.python import cp_model

from knowledge.yard.cars import read_cars
from shared.plan import Number
from solver.shopping import ShopLine, ShoppingDocument, totals
from solver.shopping_written import COLUMNS, shopping_csv
from solver.yard.covering import smallest_cover


def wanted(cars: int, having: int, things: int, least: int = 0) -> st.SearchStrategy[list[tuple[set[int], int]]]:
    """Things wanted: which of so many cars have each, and off how many different ones it is wanted, up to three."""
    thing = st.sets(st.integers(0, cars - 1), min_size=1, max_size=having).flatmap(
        lambda found: st.tuples(st.just(found), st.integers(1, min(3, len(found))))
    )
    return st.lists(thing, min_size=least, max_size=things)


@settings(max_examples=200)
@given(wanted(cars=10, having=5, things=9))
def test_against_every_set_of_cars(things: list[tuple[set[int], int]]) -> None:
    cars = sorted(set().union(*(found for found, _ in things)))
    every = (c for k in range(len(cars) + 1) for c in combinations(cars, k))
    first = next(c for c in every if all(len(found & set(c)) >= count for found, count in things))
    # The smallest, and the first in order among equals.
    assert smallest_cover([found for found, _ in things], [count for _, count in things]).cars == first


@settings(max_examples=25)
@given(wanted(cars=60, having=12, things=25, least=5))
def test_against_cp_sat(things: list[tuple[set[int], int]]) -> None:
    model = cp_model.CpModel()
    taken = {car: model.new_bool_var(str(car)) for car in sorted(set().union(*(found for found, _ in things)))}
    for having, count in things:
        model.add(sum(taken[car] for car in sorted(having)) >= count)
    model.minimize(sum(taken.values()))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    assert solver.solve(model) == cp_model.OPTIMAL
    havings, counts = [having for having, _ in things], [count for _, count in things]
    found = smallest_cover(havings, counts)
    assert all(len(having.intersection(found.cars)) >= count for having, count in things)
    assert len(found.cars) == found.at_least == round(solver.objective_value)
    # With its work cut short what is found has everything too, and what is told of the smallest is true of it.
    for work in (0, 50, 500):
        cut = smallest_cover(havings, counts, work)
        assert all(len(having.intersection(cut.cars)) >= count for having, count in things)
        assert cut.at_least <= round(solver.objective_value) <= len(cut.cars)


@settings(max_examples=60)
@given(st.lists(st.tuples(st.integers(0, 11), st.integers(12, 23)), min_size=1, max_size=30))
def test_against_koenigs_theorem(pairs: list[tuple[int, int]]) -> None:
    graph = nx.Graph(pairs)
    left = {a for a, _ in pairs}
    matching = nx.bipartite.hopcroft_karp_matching(graph, left)
    assert len(smallest_cover([{a, b} for a, b in pairs]).cars) == len(matching) // 2


# -- CSV


def rfc4180(text: str) -> list[list[str]]:
    """Reads CSV by the grammar of RFC 4180 section 2; raises ``ValueError`` where it does not allow something.

    file = record *(CRLF record) [CRLF]; record = field *(COMMA field);
    escaped = DQUOTE *(TEXTDATA / COMMA / CR / LF / 2DQUOTE) DQUOTE; TEXTDATA excludes DQUOTE, COMMA, CR and LF.
    """
    records: list[list[str]] = []
    record: list[str] = []
    i = 0
    while True:
        if text.startswith('"', i):
            i, field = i + 1, ""
            while True:
                if i >= len(text):
                    raise ValueError("a quote that never closes")
                if text.startswith('""', i):
                    field, i = field + '"', i + 2
                elif text[i] == '"':
                    i += 1
                    break
                else:
                    field, i = field + text[i], i + 1
        else:
            start = i
            while i < len(text) and text[i] not in '",\r\n':
                i += 1
            field = text[start:i]
        record.append(field)
        if i == len(text) or text.startswith("\r\n", i):
            records.append(record)
            record, i = [], i + 2
            if i >= len(text):
                break
        elif text[i] == ",":
            i += 1
        else:
            raise ValueError(f"{text[i]!r} where the grammar allows a comma or a line's end")
    assert len({len(r) for r in records}) == 1, "each line should contain the same number of fields (2.4)"
    return records


ANY = st.text(st.characters(exclude_categories=("Cs",)), max_size=20)
MONEY = Number(lo=12.0, hi=20.5, measure="money", text="12 to 20.50")


def listed(name: str, note: str, where: str) -> ShoppingDocument:
    line = ShopLine(
        sort="used part", name=name, quantity=1.5, unit="l", grade=note, use=where, where=where, price=MONEY, note=note
    )
    return ShoppingDocument(goal="g", build=1, lines=(line, line), totals=totals([line]))


@settings(max_examples=100)
@given(ANY, ANY, ANY)
def test_every_list_is_rfc_4180(name: str, note: str, where: str) -> None:
    records = rfc4180(shopping_csv(listed(name, note, where)))
    assert records[0] == list(COLUMNS)
    assert len(records) == 3 and records[1] == records[2]


@settings(max_examples=80)
@given(ANY, ANY)
def test_no_cell_is_a_formula_to_a_spreadsheet(name: str, note: str) -> None:
    sheet = openpyxl.Workbook().active
    for row, cells in enumerate(rfc4180(shopping_csv(listed("=" + name, note, "@" + name))), 1):
        for column, text in enumerate(cells, 1):
            cell = sheet.cell(row, column)
            cell.value = text
            assert cell.data_type != "f", text


FORMULAS = ["=1+1", '=HYPERLINK("x")', "+cmd|' /C calc'!A0", "@SUM(1)", "-2+3", "a;=1+1", 'He said "no", twice', "ü, é"]


@pytest.mark.parametrize("text", FORMULAS)
def test_a_spreadsheet_librarys_reader_gets_the_same_cells(text: str) -> None:
    content = shopping_csv(listed(text, text, "x"))
    sheet = pyexcel.get_sheet(file_type="csv", file_content=content, auto_detect_int=False, auto_detect_float=False)
    ours = rfc4180(content)
    assert [[str(c) for c in row] for row in sheet.to_array()] == [[*row] for row in ours]
    numbers = pyexcel.get_sheet(file_type="csv", file_content=content, name_columns_by_row=0)
    assert numbers.column["price high"] == [20.5, 20.5] and numbers.column["price low"] == [12, 12]


WORDS = st.text(st.characters(categories=("L", "N", "P", "S")), min_size=1, max_size=10).filter(
    lambda t: t.lower() not in ("?", "??", "???", "-", "--", "n/a", "na", "unk", "unknown")
)


@settings(max_examples=40, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.tuples(WORDS, WORDS, st.integers(1930, 2029), WORDS), min_size=1, max_size=5))
def test_a_list_a_spreadsheet_library_wrote_is_read(tmp_path: Path, rows: list[tuple[str, str, int, str]]) -> None:
    file = tmp_path / "cars.csv"
    stream = pyexcel.save_as(array=[["Make", "Model", "Year", "Notes"], *map(list, rows)], dest_file_type="csv")
    assert isinstance(stream, io.StringIO)
    file.write_text(stream.getvalue(), "utf-8", newline="")
    assert [(c.make, c.model, c.years, c.notes) for c in read_cars(file)] == [
        (make, model, (year, year), notes) for make, model, year, notes in rows
    ]
