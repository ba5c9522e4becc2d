"""``swapwright work`` as a person runs it."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from shared.faults import BadInput
from solver import demo_goal, plan, work
from solver.work import WorkDocument
from solver.work.document import NoWork
from solver.work.text import work_text

ROOT = Path(__file__).parents[3]
TRAILER = ROOT / "tests" / "data" / "trailer"


def run(*arguments: object, seed: str = "0") -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONHASHSEED": seed}
    code = "from solver.cli import main; main()"
    return subprocess.run(
        [sys.executable, "-c", code, *map(str, arguments)], capture_output=True, text=True, env=environment, check=False
    )


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    shutil.copytree(TRAILER, tmp_path / "t")
    return tmp_path / "t"


@pytest.fixture(scope="module")
def tight() -> WorkDocument:
    found = work(demo_goal("tight"))
    assert isinstance(found, WorkDocument)
    return found


def test_a_second_layout_needs_data_only(folder: Path) -> None:
    found = work(folder / "goal.yaml")
    assert isinstance(found, WorkDocument)
    assert [step.id for step in found.steps] == ["lift-up.up", "springs", "lift-up.down", "tow"]
    assert found.stands == 2 and found.drives[0].checks == 1


def test_what_is_to_be_measured_first_is_named_and_what_hangs_on_it(folder: Path) -> None:
    """114 +/- 1 mm on 114.3 mm within 0.1 mm: nobody knows but who measures the wheel."""
    goal = folder / "goal.yaml"
    goal.write_text(
        goal.read_text("utf-8") + "use: {axle: axle-big, spring: spring-wide, wheel: wheel-tape}\n", "utf-8"
    )
    found = work(goal)
    assert isinstance(found, WorkDocument)
    assert found.to_measure == ("circle of Wheel read with a tape (wheel-tape)",)
    assert f"To be measured first: {found.to_measure[0]}; for wheel-on-hub" in " ".join(work_text(found).split())


def test_a_plans_file_and_its_goal_give_the_same_work(folder: Path) -> None:
    (folder / "plan.json").write_text(plan(folder / "goal.yaml").model_dump_json())
    done = run("work", folder / "plan.json", "--json", seed="1")
    assert done.returncode == 0 and not done.stderr
    document = WorkDocument.model_validate_json(done.stdout)
    assert document == work(folder / "goal.yaml")
    assert done.stdout == document.model_dump_json(indent=2) + "\n"
    assert (document.format, document.version, document.answer) == ("swapwright work", 1, "work")


def test_no_build_is_an_answer(folder: Path) -> None:
    (folder / "goal.yaml").write_text(
        "format: swapwright goal\nversion: 1\nname: Up\nwant: {bed_lift: at least 200 mm}\n"
    )
    done = run("work", folder / "goal.yaml", "--json")
    assert done.returncode == 1 and not done.stderr
    document = NoWork.model_validate_json(done.stdout)
    assert document.answer == "no build" and "no build" in work_text(document)


def test_bad_input_is_said(folder: Path) -> None:
    done = run("work", folder / "goal.yaml", "--stands", 1)
    assert done.returncode == 2 and "at least 2" in done.stderr and "Traceback" not in done.stderr
    (folder / "plan.json").write_text("{}")
    for source, number in ((folder / "nowhere.json", 1), (folder / "plan.json", 1), (folder / "goal.yaml", 9)):
        with pytest.raises(BadInput):
            work(source, number)


def test_stands_that_stay_idle_are_accounted_for(tight: WorkDocument) -> None:
    """With three the order is that of two, and the text says why; with two or four there is nothing to say."""
    two, three = work(demo_goal("tight"), stands=2), work(demo_goal("tight"), stands=3)
    assert isinstance(two, WorkDocument) and isinstance(three, WorkDocument)
    assert (three.stands, three.stands_there, three.stands_for_all) == (2, 3, 4)
    assert three.model_copy(update={"stands_there": 2}) == two
    said = "Of 3 stands 2 are under the car at once: it would take 4 to have everything up together"
    assert said in work_text(three).splitlines()
    assert "under the car at once" not in work_text(two) + work_text(tight)


def test_out_and_units(folder: Path) -> None:
    done = run("work", folder / "goal.yaml", "--units", "us", "--people", 2, "--out", folder / "work.txt")
    assert done.returncode == 0 and not done.stdout
    text = (folder / "work.txt").read_text()
    assert "50 to 99 miles" in text and "Two people: 2 h 30 min" in text


def test_the_text_says_everything_once(tight: WorkDocument) -> None:
    text = " ".join(work_text(tight, 2).split())
    for caution in tight.cautions:
        assert text.count(" ".join(caution.says.split())) == 1, caution.id
    for step in tight.steps:
        assert f"{step.number}. {step.does}" in text
        for check in step.checks:
            assert check.says in text
    for torque in tight.torques:
        assert torque.name in text and torque.how in text
    assert "never calls one safe or legal" in text


def test_the_document_hangs_together(tight: WorkDocument) -> None:
    ids = {step.id for step in tight.steps}
    nodes = ids | {f"{step.id}/check" for step in tight.steps if step.checks}
    place = {step.id: step.number for step in tight.steps}
    for step in tight.steps:
        assert set(step.after) <= nodes
        assert all(place[name.removesuffix("/check")] < step.number for name in step.after)
        assert set(step.torques) <= {t.id for t in tight.torques}
        assert set(step.cautions) <= {c.id for c in tight.cautions}
    assert {slot.step for slot in tight.two.slots} == {s.id for s in tight.steps if s.hours.hi}
    assert set(tight.longest_chain) <= ids
    assert tight.longest.hi is not None and tight.two.hours.hi is not None and tight.hours.hi is not None
    assert tight.two.proved and tight.two.hours.hi < tight.hours.hi
    json.dumps(tight.model_dump())


def test_the_demos_tight_plan_as_a_mechanic_reads_it(tight: WorkDocument) -> None:
    """Coils and blocks: the bolts in play, what is due later, and what comes before the car moves."""
    torques = {t.id: t for t in tight.torques}
    assert {"wheel-nuts-front", "wheel-nuts-rear", "u-bolts", "track-bar"} <= set(torques)
    assert not {"pitman-nut", "leaf-bolts", "shackle-bolts", "ring-bolts-rear"} & set(torques)
    assert torques["wheel-nuts-front"].basis == "the car's maker"
    # 1/2-20 grade 8 at 65 to 75 % of proof, K 0.20: 75 % is 119.9 lbf ft in the handbook example, 162.6 N m.
    assert torques["u-bolts"].torque.hi == pytest.approx(162.6, abs=0.4)
    due = {row.distance.text: row for row in tight.later}
    assert {"wheel-nuts-front", "u-bolts", "track-bar"} <= set(due["80 to 160 km"].torques)
    assert due["5000 km"].torques == ("u-bolts",)
    first = tight.drives[0]
    assert first.step == "pedal-test.stops" and first.checks >= 20
    assert tight.steps[-1].id == "re-torque" and tight.steps[-2].id == "inspection.road"
