"""The trailer with donors: a yard small enough to be worked out by hand.

The bed has to rise by 15 to 70 mm.  A spring carries 2 kN, so it stands at free height less 2 kN over its rate: the
old one at 200 - 100 = 100 mm, the tall one at 240 - 100 = 140 mm, the stiff one at 210 +/- 4 - 66.7 mm.  Either lifts
enough, the stiff one is the cheaper by 10.  All other parts need a Corrick.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

TRAILER = Path(__file__).parents[2] / "data" / "trailer"
DONORS = {
    "spring-tall": "buy: used, donors: [{make: Halden, model: Drover, years: 1990-1999, recognise: red paint}]",
    "spring-stiff": "buy: used, donors: [{make: Halden, model: Drover, years: 2000-2006, options: [heavy load]}]",
    "spring-wide": "buy: used, donors: [{make: Corrick, model: Tramper}]",
    "axle-big": "buy: used, donors: [{make: Corrick, model: Tramper, excluded: [trim Light]}]",
    "hub-big": "buy: used, donors: [{make: Corrick, model: Tramper}]",
    "wheel-five": "buy: used, donors: [{make: Corrick, model: Tramper}]",
    "wheel-tape": "buy: used, donors: [{make: Corrick, model: Tramper}]",
}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A copy of the trailer whose parts come from cars and can be measured."""
    made = tmp_path / "trailer"
    shutil.copytree(TRAILER, made)
    catalogue = made / "catalogue.yaml"
    text = catalogue.read_text("utf-8")
    for name, more in DONORS.items():
        assert f"id: {name}," in text
        text = text.replace(f"id: {name},", f"id: {name}, {more},")
    catalogue.write_text(text, "utf-8")
    layout = made / "layout" / "trailer.yaml"
    text = layout.read_text("utf-8")
    for old, new in (
        ("rate: {measure: spring_rate}", "rate: {measure: spring_rate, read: press, uncertainty: 0.5 N/mm}"),
        ("free_height: {measure: length}", "free_height: {measure: length, read: rule, uncertainty: 2 mm}"),
    ):
        assert old in text
        text = text.replace(old, new)
    text = text.replace(
        "    about: A leaf spring\n",
        "    about: A leaf spring\n    leave_when: [cracked leaf]\n    always_new: [Bushes]\n",
    )
    layout.write_text(text, "utf-8")
    return made


@pytest.fixture
def listed(folder: Path) -> Callable[[str], Path]:
    """Writes a list of cars: lines of make, model, year, options, row, notes."""

    def write(rows: str) -> Path:
        file = folder / "cars.csv"
        lines = [",".join(c.strip() for c in row.split("|")) for row in rows.strip().splitlines()]
        file.write_text("\n".join(["make,model,year,trim,options,row,notes", *lines]) + "\n", "utf-8")
        return file

    return write
