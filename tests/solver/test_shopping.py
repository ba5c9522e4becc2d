"""The shopping list: nothing left out, nothing twice, and safe to open."""

from __future__ import annotations

import csv
import io
import shutil
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from knowledge.garage import read_goal
from knowledge.layouts import layouts_folder, read_layout
from knowledge.shopping_notes import shopping_notes
from shared.part import Part
from shared.plan import Number
from solver.demo import demo_goal
from solver.planning import plan
from solver.problem import Problem, build_problem
from solver.shopping import ShopLine, ShoppingDocument, shop, shopping_lines, totals
from solver.shopping_written import COLUMNS, safe, shopping_csv, shopping_markdown, shopping_text

TRAILER = Path(__file__).parents[1] / "data" / "trailer"


@pytest.fixture(scope="module")
def demo() -> Problem:
    """The demo's car and catalogue, with nothing asked for."""
    goal, garage = read_goal(demo_goal())
    return build_problem(replace(goal, limits=(), keep=()), garage)


def built(problem: Problem, **parts: str) -> Mapping[str, Part | None]:
    return {**problem.stock, **{at: problem.garage.parts[name] for at, name in parts.items()}}


def named(lines: tuple[ShopLine, ...], name: str) -> ShopLine:
    return next(line for line in lines if line.name == name)


def test_the_list_of_a_plan_comes_to_what_the_plan_says(tmp_path: Path) -> None:
    document = plan(TRAILER / "goal.yaml", most=2)
    file = tmp_path / "plan.json"
    file.write_text(document.model_dump_json(), "utf-8")
    for build in document.builds:
        made = shop(file, build.rank)
        assert made.totals is not None
        assert (made.totals.all.lo, made.totals.all.hi) == (build.price.lo, build.price.hi)
        assert {x.name for x in made.lines if x.sort.endswith(" part")} >= {
            p.name for p in build.parts if p.status == "new" and p.comes_with is None
        }


def test_no_build_is_an_empty_list(tmp_path: Path) -> None:
    goal = tmp_path / "t" / "goal.yaml"
    shutil.copytree(TRAILER, goal.parent)
    goal.write_text(goal.read_text("utf-8").replace("15 mm to 70 mm", "at least 900 mm"), "utf-8")
    made = shop(goal)
    assert made.lines == () and made.build is None and made.totals is None
    assert "nothing to get" in shopping_text(made) and "nothing to get" in shopping_markdown(made)
    assert list(csv.reader(io.StringIO(shopping_csv(made)))) == [list(COLUMNS)]


def test_parts_fluids_seals_and_single_use_fasteners(demo: Problem) -> None:
    build = built(demo, rear_shafts="rear-shafts-31", rear_carrier="rear-carrier-31", front_hose="hose-front-450")
    lines = shopping_lines(demo, build)
    assert named(lines, "Fellgate rear shafts, 31 splines").sort == "used part"
    assert named(lines, "New front hoses, 450 mm").sort == "new part"
    assert named(lines, "New front hoses, 450 mm").quantity == 2.0
    fluid = named(lines, "brake fluid")
    assert (fluid.sort, fluid.quantity, fluid.unit) == ("fluid", 1.0, "l")
    assert "DOT 4" in fluid.grade and "cap" in fluid.grade
    assert named(lines, "crush sleeve").once and named(lines, "crush sleeve").part_of
    assert named(lines, "Carrier bearings").price.lo is None
    price = demo.effort.price(build)
    assert price is not None
    sums = totals(lines)
    assert (sums.all.lo, sums.all.hi) == (price.lo, price.hi)
    assert sums.unpriced == sum(x.price.lo is None and not x.part_of for x in lines) > 0


def test_nothing_stands_twice(demo: Problem) -> None:
    build = built(
        demo,
        rear_shafts="rear-shafts-31",
        rear_carrier="rear-carrier-31",
        front_coil="coil-lindel-long",
        rear_leaf="leaf-van",
        front_hose="hose-front-450",
        rear_hose="hose-rear-380",
        front_gears="front-gears-410",
        rear_gears="rear-gears-410",
    )
    lines = shopping_lines(demo, build)
    keys = [(x.sort, x.name, x.unit, x.grade, x.part_of, x.use) for x in lines]
    assert len(keys) == len(set(keys))
    # Gear oil of both axles is one line: 1.5 l and 2 l, common practice of the layout's data.
    assert named(lines, "gear oil").quantity == 3.5


def test_core_charges_are_on_top_and_paid_back(demo: Problem) -> None:
    lines = shopping_lines(demo, built(demo, front_caliper="caliper-new"))
    line = named(lines, "Reconditioned front calipers, 60 mm")
    assert line.core is not None and (line.core.lo, line.core.hi) == (25.0, 30.0)
    sums = totals(lines)
    price = demo.effort.price(built(demo, front_caliper="caliper-new"))
    assert price is not None and sums.all.hi == price.hi and sums.core.hi == 30.0
    text = shopping_text(ShoppingDocument(goal="g", build=1, lines=lines, totals=sums))
    assert "Core charges 25 to 30 on top, paid back against the old parts" in text


def test_against_new_where_a_new_part_could_stand_in_its_place(demo: Problem) -> None:
    lines = shopping_lines(demo, built(demo, front_hub="hub-127", wheel="wheel-127", tie_rod="tie-rod-thick"))
    line = named(lines, "Marram tie rod")
    assert line.new is None  # the catalogue has no new tie rod
    assert totals(lines).not_compared >= 1
    found = shopping_lines(demo, built(demo, track_bar="track-bar-series-2"))
    bar = named(found, "Fellgate series 2 track bar")
    assert bar.new is not None and bar.new_name == "New adjustable track bar" and bar.new.text == "90 to 120"


def test_every_note_is_about_something_the_layout_uses() -> None:
    layout = read_layout(layouts_folder() / "solid-axle-4x4")
    used = {c.name for t in layout.tasks.values() for c in t.consumables}
    assert set(shopping_notes()) <= used, set(shopping_notes()) - used
    for rows in shopping_notes().values():
        assert all(r.source and (r.says or r.item) for r in rows)


# -- safety of what is written


@pytest.mark.parametrize(
    "text",
    [
        "=1+1",
        "+1",
        "-1",
        "@SUM(A1)",
        "  =1",
        "\t=1",
        "\r\n=1",
        "a;=1+1",
        "a,=cmd",
        '",=1',
        "a\t=1",
        "＝1",
        "−1",
        "'=1",
        "x | -1",
    ],
)
def test_no_cell_begins_like_a_formula_whatever_it_is_split_at(text: str) -> None:
    made = safe(text)
    for separator in (None, ";", ",", "\t", "|"):
        for cell in [made] if separator is None else made.split(separator):
            assert not cell.strip(' "').startswith(("=", "+", "-", "@", "＝", "＋", "－", "＠", "−")), made
    assert "\n" not in made and "\r" not in made


@pytest.mark.parametrize(
    "text", ["Orrin Fellgate 1999-2003", "15x8, offset -19 mm", "5 x 125", "4.4/tow pack", "a - b"]
)
def test_ordinary_names_stay_as_they_are(text: str) -> None:
    assert safe(text) == text


def nasty(text: str) -> ShoppingDocument:
    money = Number(lo=1.0, hi=2.5, measure="money", text="1 to 2.50")
    line = ShopLine(
        sort="used part", name=text, quantity=2.0, unit="", grade=text, use=text, where=text, price=money, note=text
    )
    return ShoppingDocument(goal=text, build=1, lines=(line,), totals=totals([line]))


def test_markdown_marks_of_strangers_are_text() -> None:
    text = shopping_markdown(nasty("<img src=x> [a](http://b.c) *x* | `y` ~z~ www.d.e"))
    for mark in ("<img", "](http:", " *x*", "`y`", " | ", "://", "www.d"):
        assert mark not in text.replace("\\" + mark[0], ""), mark


def test_a_csv_line_holds_numbers_as_numbers() -> None:
    head, row = csv.reader(io.StringIO(shopping_csv(nasty("=2+3"))))
    cells = dict(zip(head, row, strict=True))
    assert (cells["quantity"], cells["price low"], cells["price high"], cells["core low"]) == ("2", "1", "2.5", "")
    assert cells["item"] == "'=2+3"


def test_the_document_is_read_back(demo: Problem) -> None:
    lines = shopping_lines(demo, built(demo, rear_shafts="rear-shafts-31", rear_carrier="rear-carrier-31"))
    document = ShoppingDocument(goal="g", build=1, lines=lines, totals=totals(lines))
    assert ShoppingDocument.model_validate_json(document.model_dump_json()) == document


def test_an_own_part_to_be_altered_is_not_bought(demo: Problem) -> None:
    """The spring smith takes 90 to 120 for the car's own leaves; the leaves cost nothing."""
    lines = shopping_lines(demo, built(demo, rear_leaf="stock-rear-leaf+re-arch"))
    own = named(lines, "Fellgate leaves, four a side, re-arched by 35 mm")
    assert (own.sort, own.where, own.price.text) == ("own part", "your own, altered", "90 to 120")
    document = ShoppingDocument(goal="g", build=1, lines=lines, totals=totals(lines))
    assert document.totals is not None and document.totals.altering.text == "90 to 120"
    assert (document.totals.used.hi, document.totals.new.hi) == (0.0, 0.0)
    text = shopping_text(document)
    assert "\nYour own, altered\n  [ ] 2 x Fellgate leaves" in text and "altering your own 90 to 120, what" in text


def test_what_a_price_is_for_and_how_many_there_are_is_said(demo: Problem) -> None:
    """Two coils for 30 to 45 in all; a name that begins with a number is set apart from how many there are."""
    lines = shopping_lines(demo, built(demo, front_coil="coil-lindel-long", tyre="tyre-225"))
    document = ShoppingDocument(goal="g", build=1, lines=lines, totals=totals(lines))
    for text in (shopping_text(document), shopping_markdown(document)):
        assert "[ ] 2 x Lindel long soft coils: 30 to 45" in text and "[ ] 4 x 225/75R15" in text
        assert "[ ] 1 can penetrating oil" in text
        assert "each price is for all the pieces of its line" in text
