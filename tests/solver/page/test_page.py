"""What is on the page."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from solver import demo_goal, page, plan
from solver.page.document import PageDocument
from solver.page.markup import page_html
from tests.solver.page.pages import DOUBTFUL, TRAILER, page_with, refused_page, refused_trailer, trailer_problem

ROOT = Path(__file__).parents[3]


@pytest.fixture(scope="module")
def doubtful() -> PageDocument:
    return page_with(DOUBTFUL)


def test_what_to_buy_with_prices_and_what_comes_along(doubtful: PageDocument) -> None:
    bought = {item.position: item for item in doubtful.buy}
    # tests/data/trailer/catalogue.yaml: the big axle brings the big hub.
    assert set(bought) == {"spring", "axle", "hub", "wheel"}
    assert bought["axle"].price.text == "90" and bought["wheel"].name == "Wheel read with a tape"
    assert bought["hub"].comes_with == "Big axle" and bought["spring"].count == 2
    assert [s.name for s in doubtful.supplies] == ["grease"] and doubtful.supplies[0].price.text == "4"


def test_an_own_part_to_be_altered_is_told_as_ones_own(tmp_path: Path) -> None:
    catalogue = shutil.copytree(TRAILER, tmp_path / "t") / "catalogue.yaml"
    arched = 'alterations: {arch: {name: arched, price: "5", properties: {free_height: 240 mm}}}, '
    catalogue.write_text(catalogue.read_text("utf-8").replace("id: spring-old, ", f"id: spring-old, {arched}"), "utf-8")
    document = page_with(("spring-old+arch",), tmp_path / "t")
    assert [(item.name, item.own, item.altered) for item in document.buy] == [("Old spring, arched", True, ("arch",))]
    assert ">5, your own; known as measured<" in page_html(document)


def test_what_to_measure_before_paying_with_the_good_answer(doubtful: PageDocument) -> None:
    assert doubtful.answer == "yes if checked"
    (item,) = doubtful.measure
    assert "circle" in item.what[0] and "Wheel read with a tape" in item.what[0]
    # The hub's circle is 4 1/2 in = 114.3 mm, holes within 0.1 mm of it: 114.2 to 114.4 mm will do.
    assert any("114.20 to 114.40 mm" in good for good in item.good_enough)
    assert item.answers[0].says == "holes are drilled to a tenth"


def test_consequences_stand_against_stock_and_limits(doubtful: PageDocument) -> None:
    rows = {q.name: q for q in doubtful.changed}
    # 40 mm of spring and 20 mm of wheel; asked for 15 to 70 mm, advised at most 60 mm.
    lift = rows["bed_lift"]
    assert (lift.stock.text, lift.new.text, lift.limits) == ("0.0 mm", "60.0 mm", "15.0 mm to 60.0 mm")
    assert lift.margin is not None and lift.margin.text == "0.0 mm"
    assert not {q.name for q in doubtful.unchanged} & set(rows)


def test_cautions_stand_at_the_step_they_belong_to(doubtful: PageDocument) -> None:
    cautions = {step.key: step.cautions for step in doubtful.steps if step.cautions}
    assert cautions == {
        "work:lift-up.up": ("Never work under a trailer that only a jack holds.",),
        "work:tow": ("Local rules come before the road.",),
    }


def test_the_work_comes_in_an_order_that_can_be_done() -> None:
    from knowledge.garage import read_goal
    from solver.demo import demo_goal
    from solver.graph.sources import put, resolve
    from solver.page.steps import steps_of
    from solver.problem import build_problem

    problem = build_problem(*read_goal(demo_goal()))
    build = problem.stock
    for name in ("coil-lindel-long", "block-40", "tyre-225-75"):
        if name in problem.garage.parts:
            at, part = resolve(problem, name, demo_goal())
            assert part is not None
            build = put(problem, build, at, part)
    order = [step.key.removeprefix("work:") for step in steps_of(problem, build, "metric")]
    tasks = problem.effort.tasks(build)
    assert set(order) == {step.id for task in tasks for step in task.steps}
    for i, name in enumerate(order):
        step = next(step for task in tasks for step in task.steps if step.id == name)
        assert not set(step.after) & set(order[i + 1 :]), name
    assert order[-2:] == ["inspection.road", "re-torque"]


def test_every_key_is_its_own_and_the_same_again(doubtful: PageDocument) -> None:
    lists = (doubtful.buy, doubtful.supplies, doubtful.measure, doubtful.steps, doubtful.looks, doubtful.advice)
    keys = [item.key for some in lists for item in some]  # type: ignore[attr-defined]
    assert len(keys) == len(set(keys))
    assert page_with(DOUBTFUL) == doubtful and page_with(("spring-tall",)).key != doubtful.key


def test_the_picture_is_there_with_the_same_in_words(doubtful: PageDocument) -> None:
    assert doubtful.picture is not None and doubtful.picture.svg.startswith("<svg")
    words = " ".join(doubtful.picture.words)
    assert "NEW CHECK wheel" in words and "Big axle" in words and "CHECK wheel-on-hub" in words


def test_a_refusal_shows_each_conflict_drawn_and_what_would_help(tmp_path: Path) -> None:
    found = refused_page(tmp_path / "trailer")
    assert found.answer == "no" and not found.buy and found.helps
    (clash,) = found.clashes
    # The tall spring sits at 1000 mm, the big axle's perches at 1100 mm, within 3 mm.
    assert any("97.0 mm off" in reason for m in clash.members for reason in m.reasons)
    assert clash.picture is not None and "97.0 mm off" in clash.picture.svg
    assert "Why there is no build" in page_html(found) and "What would help" in page_html(found)


def test_a_build_that_no_longer_fits_says_so() -> None:
    found = page_with(("spring-wide",))
    assert found.answer == "no" and "does not fit any more" in found.headline
    assert any(reason.gap == "97.0 mm" for reason in found.broken)
    assert "What no longer fits" in page_html(found)


def test_that_every_rule_holds_does_not_hide_what_is_to_be_looked_into() -> None:
    found = page(demo_goal("tight"))
    assert found.answer == "yes" and found.looks
    held = re.fullmatch(
        r"\d+ parts: every rule holds(; \d+ of its advice not followed)?; (\d+) to look into", found.headline
    )
    assert held is not None and int(held[2]) == len(found.looks)
    assert (held[1] is None) == (not found.advice)


def test_a_plans_file_and_its_goal_give_the_same_page(tmp_path: Path) -> None:
    file = tmp_path / "plan.json"
    file.write_text(plan(TRAILER / "goal.yaml", most=2).model_dump_json(), "utf-8")
    assert page(file, 2) == page(TRAILER / "goal.yaml", 2)
    assert page(file, 1, "us").changed[0].new.text.endswith("in")


def test_everything_the_plan_says_of_a_build_is_on_its_page() -> None:
    document = plan(TRAILER / "goal.yaml", most=1)
    (build,) = document.builds
    found = page(TRAILER / "goal.yaml")
    assert {q.name for q in (*found.changed, *found.unchanged)} == {
        q.name for q in build.quantities if q.group != "effort"
    }
    assert {s.key.removeprefix("work:").partition(".")[0] for s in found.steps} == set(build.tasks)
    said = {c for s in found.steps for c in s.cautions} | {c for b in found.buy for c in b.cautions}
    assert said == set(build.cautions)
    assert dict(found.facts)["price"] == build.price.text and dict(found.facts)["work"] == build.hours.text
    html = page_html(found)
    assert all(part.name in html for part in build.parts if part.status == "new")


def test_nothing_to_do_is_a_page_too() -> None:
    problem = trailer_problem()
    from solver.page.sheet import page_of_build

    found = page_of_build(problem, problem.stock, 1, "metric")
    assert not found.buy and not found.steps and page_html(found)


# -- the command


def run(*arguments: object, seed: str = "0") -> subprocess.CompletedProcess[bytes]:
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONHASHSEED": seed}
    code = "from solver.cli import main; main()"
    return subprocess.run(
        [sys.executable, "-c", code, "page", *map(str, arguments)], capture_output=True, env=environment, check=False
    )


def test_on_stdout_the_same_bytes_whatever_the_hash_seed() -> None:
    one, two = (run(TRAILER / "goal.yaml", seed=seed) for seed in "12")
    assert one.returncode == 0 and one.stdout == two.stdout and one.stdout.startswith(b"<!doctype html>")


def test_to_a_file_and_as_json(tmp_path: Path) -> None:
    out = tmp_path / "page.html"
    done = run(TRAILER / "goal.yaml", "--out", out)
    assert done.returncode == 0 and done.stdout == b"" and out.read_text("utf-8").startswith("<!doctype html>")
    other = tmp_path / "other"
    other.touch()
    # Whoever may read other files here may read the page.
    assert out.stat().st_mode == other.stat().st_mode
    told = json.loads(run(TRAILER / "goal.yaml", "--json").stdout)
    assert (told["format"], told["version"]) == ("swapwright page", 1)


def test_a_refusal_is_an_answer_of_no_and_bad_input_is_said_in_words(tmp_path: Path) -> None:
    goal = refused_trailer(tmp_path / "trailer") / "goal.yaml"
    assert run(goal).returncode == 1
    for wrong in ([tmp_path / "nothing.yaml"], [TRAILER / "goal.yaml", "--build", "40"]):
        done = run(*wrong)
        assert done.returncode == 2 and b"Traceback" not in done.stderr and done.stderr
