"""The tables are whole, say how they are known, and are read once."""

from __future__ import annotations

import csv
from importlib.resources import files

import pytest

from knowledge import standards

TABLES = sorted(f.name for f in files("knowledge.standards").iterdir() if f.name.endswith(".csv"))
OURS = [
    "brake_fluid.csv",
    "brake_hose_expansion.csv",
    "speed_symbol.csv",
    "stopping_distance.csv",
    "tyre_load_index.csv",
    "tyre_speed_load.csv",
]


def test_every_table_has_its_line_in_the_readme() -> None:
    readme = files("knowledge.standards").joinpath("README.md").read_text(encoding="utf-8")
    assert set(OURS) <= set(TABLES)
    for table in TABLES:
        assert f"`{table}`" in readme


@pytest.mark.parametrize("table", OURS)
def test_header_row_and_how_known(table: str) -> None:
    text = files("knowledge.standards").joinpath(table).read_text(encoding="utf-8")
    assert "http" not in text
    header = next(csv.reader([text.splitlines()[0]]))
    assert header[-2:] == ["known_by", "source"]
    for row in standards.rows(table.removesuffix(".csv")):
        assert row["known_by"] in ("read", "memory")
        assert row["source"]
        assert None not in row


def test_first_column_names_a_row_once() -> None:
    for table in OURS:
        rows = standards.rows(table.removesuffix(".csv"))
        names = [next(iter(row.values())) for row in rows]
        assert len(names) == len(set(names))


def test_tables_are_read_once_and_cannot_be_changed() -> None:
    table = standards.load_index_table()
    assert standards.load_index_table() is table
    with pytest.raises(TypeError):
        table[91] = 1.0  # type: ignore[index]


def test_sizes() -> None:
    assert list(standards.load_index_table()) == list(range(127))
    assert len(standards.speed_symbol_table()) == 17
    assert set(standards.speed_load_table()) == {"V", "W", "Y"}
    assert set(standards.hose_expansion()) == {"regular", "low"}
