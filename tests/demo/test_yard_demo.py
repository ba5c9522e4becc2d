"""The demo's goal taken to the demo's yard: one walk, the right things measured, and the list that goes with it."""

from __future__ import annotations

from pathlib import Path

import pytest

from solver.demo import demo_folder, demo_goal
from solver.shopping import shop
from solver.yard import yard
from solver.yard.document import YardDocument


@pytest.fixture(scope="module")
def walked() -> YardDocument:
    return yard(demo_goal("yard"), demo_folder() / "yard.csv")


def test_one_walk_along_the_rows_brings_home_what_the_plan_wants(walked: YardDocument) -> None:
    best = walked.plan.builds[0]
    wanted = {p.position for p in best.parts if p.status == "new" and p.comes_with is None}
    pulled = {p.position for s in walked.stops for p in s.pulls}
    assert wanted == pulled | {b.position for b in walked.bought}
    assert [s.row for s in walked.stops] == sorted(s.row for s in walked.stops)
    assert not walked.missing


@pytest.mark.parametrize("goal", ["trail", "yard"])
def test_what_is_read_and_in_which_order_does_not_hang_on_the_units(goal: str) -> None:
    def asked(document: YardDocument) -> list[tuple[object, ...]]:
        pulls = [(stop.row, pull) for stop in document.stops for pull in stop.pulls]
        return [(row, p.part, r.part, r.what, r.doubtful, r.sorts_out) for row, p in pulls for r in p.readings]

    metric, us = (yard(demo_goal(goal), demo_folder() / "yard.csv", units=units) for units in ("metric", "us"))
    assert asked(metric) == asked(us)


def test_the_shafts_come_off_a_crest_and_are_counted_first(walked: YardDocument) -> None:
    """Facts of the invented catalogue and list: 31 splines only in a Crest of 1999 to 2003; A2 and A5 are such."""
    (stop,) = walked.stops
    assert stop.row == "A2"
    shafts = next(p for p in stop.pulls if p.position == "rear_shafts")
    assert shafts.part == "rear-shafts-31" and shafts.verdict == "fits"
    first = shafts.readings[0]
    assert (first.what, first.good) == ("side gear splines", "31")
    assert "Fellgate rear shafts, 25 splines" in first.sorts_out
    assert [(o.row, o.verdict) for o in shafts.other_cars] == [("A5", "fits"), ("A7", "fits if checked")]
    assert shafts.leave_when and shafts.recognise
    assert all(len(p.readings) <= 5 for p in stop.pulls)


def test_the_shopping_list_comes_to_the_plans_price(walked: YardDocument, tmp_path: Path) -> None:
    file = tmp_path / "plan.json"
    file.write_text(walked.plan.model_dump_json(), "utf-8")
    made = shop(file)
    assert made.totals is not None
    assert (made.totals.all.lo, made.totals.all.hi) == (walked.plan.builds[0].price.lo, walked.plan.builds[0].price.hi)
    assert any(line.once for line in made.lines) and any(line.sort == "fluid" for line in made.lines)
