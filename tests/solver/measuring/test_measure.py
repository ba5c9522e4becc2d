"""The measure command: what it answers at once, before and after; its faults; readings kept as a person said them."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import pytest

from knowledge.garage import read_goal
from knowledge.measured.measurements import FILE
from knowledge.measured.readable import attributes_of
from shared.faults import BadInput
from solver import check, measure, new, plan
from solver.demo import demo_folder
from solver.measuring.document import MeasureDocument
from solver.measuring.records import Said, known_attribute, known_part, record_of, when
from solver.measuring.telling import Telling
from solver.measuring.text import measure_text
from solver.report import check_text

ROOT = Path(__file__).parent.parent.parent.parent
TRAILER = ROOT / "tests" / "data" / "trailer"
AT = "2024-03-07"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    shutil.copytree(TRAILER, tmp_path / "t")
    return tmp_path / "t"


def run(*arguments: object) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    code = "from solver.cli import main; main()"
    return subprocess.run(
        [sys.executable, "-c", code, *map(str, arguments)], capture_output=True, text=True, env=environment, check=False
    )


def test_a_reading_changes_the_verdict_at_once(folder: Path) -> None:
    """The stiff spring is the only single change that lifts the bed by 15 to 70 mm for 30: by hand, its free height
    less load over rate, 210 - 2000/30 = 143.3 mm, is 43.3 mm over the old one's 200 - 2000/20 = 100 mm.  Read at
    150 mm it lifts nothing, and the tall one, 140 - 100 = 40 mm for 40, takes its place."""
    told: list[tuple[int, str]] = []
    document = measure(
        folder,
        "spring-stiff",
        "free_height",
        "150 mm",
        how="tape",
        at=AT,
        told=lambda line, file: told.append((line, file)),
    )
    assert told == [(1, str(folder / FILE))] and document.kept == 1
    (want,) = [v for v in document.verdicts if v.relation == "want bed_lift"]
    assert (want.before, want.after) == ("fits", "does not fit")
    # 151 - 66.67 - 100 = -15.67 mm, the tape's 1 mm in the part's favour: told as -15.6 mm, 30.6 mm from 15 mm.
    assert want.reasons[0].gap == "30.6 mm"
    assert document.plan is not None and document.plan.changed
    assert document.plan.parts_out == ("Stiff spring",) and document.plan.parts_in == ("Tall spring",)
    assert [(s.before, s.after) for s in document.standing] == [(True, False)]
    assert {q.name: q.before for q in document.quantities}["lift"].startswith("39.3 to 47.4")
    assert document.known is not None and document.known.outcomes == ("contradicts and wins",)
    (built,) = plan(folder / "goal.yaml", 1).builds
    assert [p.id for p in built.parts if p.status == "new"] == ["spring-tall"]
    text = measure_text(document)
    assert "Tall spring" in text and "210 +/- 4 mm (measured), catalogue.yaml:6" in text


def test_the_text_says_on_which_car_the_rules_are_judged(tmp_path: Path) -> None:
    """The longer coils alone go solid before the front stops are crushed, though the best build, with stops 20 mm
    lower, has them: without the heading the two lines contradict each other."""
    new(tmp_path / "c")
    text = measure_text(measure(tmp_path / "c", "coil-longer", "wire", "13.7 mm", how="caliper", at=AT))
    heading = "  the rules that read it, on the car as it stands, with this at front coil and nothing else changed:"
    assert f"{heading}\n  as before, coil-bind: does not fit\n" in text
    assert re.search(r"^  as before, fits: \d+ rules \(--json has them\)$", text, re.M)


def test_a_reading_of_what_is_fitted_counts_for_everything_compared_with_it(folder: Path) -> None:
    """The old spring sagged by 20 mm: every lift is 20 mm more than was thought."""
    document = measure(folder, "spring-old", "free_height", "180 mm", tolerance="0 mm", at=AT)
    assert document.plan is not None and document.plan.changed
    assert document.plan.before == "fits, 30: Stiff spring; bed lift 39.3 to 47.4 mm"
    assert document.plan.after == "fits, 30: Stiff spring; bed lift 59.3 to 67.4 mm"


def test_the_car_can_be_measured(folder: Path) -> None:
    document = measure(folder, "vehicle", "mass", "820 kg", tolerance="10 kg", at=AT)
    assert [(v.relation, v.before, v.after) for v in document.verdicts] == [("X1", "fits", "does not fit")]
    assert document.plan is not None and "Big axle" in document.plan.parts_in


def test_nothing_is_written_for_a_fault(folder: Path) -> None:
    for arguments, more, says in (
        (("spring-stif", "rate", "1 N/mm"), {}, "spring-stiff"),
        (("wheel-tape", "face.circle", "110"), {}, "110 mm"),
        (("wheel-tape", "face.circle", "110 mm"), {"replaces": 3}, "none"),
        (("wheel-tape", "face.circle"), {"replaces": 3}, "--replaces 3 without a value"),
        (("Wheel-Tape", "face.circle", "110 mm"), {}, "did you mean 'wheel-tape'?"),
        (("wheel read with a tape", "face.circle", "110 mm"), {}, "did you mean 'wheel-tape'?"),
        (("Vehicle", "mass", "900 kg"), {}, "did you mean 'vehicle'?"),
    ):
        with pytest.raises(BadInput) as caught:
            measure(folder, *arguments, **more)  # type: ignore[arg-type]
        assert says in str(caught.value), caught.value
    assert not (folder / FILE).exists()


@pytest.mark.parametrize(
    "arguments",
    [("spring-stiff", "rate", "30 N/mm"), ("spring-tall", "free_height", "212 mm")],
    ids=["what", "of what"],
)
def test_a_slip_of_the_line_takes_back_no_other_reading(folder: Path, arguments: tuple[str, str, str]) -> None:
    measure(folder, "spring-stiff", "free_height", "212 mm", at=AT, planned=False)
    before = (folder / FILE).read_text()
    with pytest.raises(BadInput) as caught:
        measure(folder, *arguments, at=AT, replaces=1, planned=False)
    [fault] = caught.value.faults
    assert fault.found == "line 1, free_height of spring-stiff" and fault.mend.endswith("--withdraw 1")
    assert (folder / FILE).read_text() == before


def test_every_fault_has_a_mend() -> None:
    _, garage = read_goal(TRAILER / "goal.yaml")
    circle = known_attribute(garage, "wheel-tape", "face.circle")
    for asked, says in (
        (lambda: known_part(garage, "spring"), "spring-old"),
        (lambda: known_attribute(garage, "wheel-tape", "circle"), "face.circle"),
        (lambda: known_attribute(garage, "wheel-tape", "FACE.CIRCLE"), "did you mean 'face.circle'?"),
        (lambda: record_of(circle, "wheel-tape", "face.circle", Said("110 mm", how="calliper")), "caliper"),
        (lambda: record_of(circle, "wheel-tape", "face.circle", Said("110 mm", tolerance="1 kg")), "mass"),
        (lambda: record_of(circle, "wheel-tape", "face.circle", Said("110 mm", at="noon")), "2026-03-07"),
        (lambda: record_of(circle, "wheel-tape", "face.circle", Said("unknown")), "a reading of"),
        (lambda: record_of(circle, "wheel-tape", "face.circle", Said("-110 mm")), "110 mm"),
    ):
        with pytest.raises(BadInput) as caught:
            asked()
        assert says in str(caught.value), caught.value


@pytest.mark.parametrize(
    ("at", "past"),
    [
        ("2024-03-07", True),
        ("2024-03-07T11:20", True),
        ("2024-03-07T11:21", False),
        ("2024-03-08", False),
        ("2024-03-07T13:20+03:00", True),
        ("2024-03-07T10:21+00:00", False),
        ("0001-01-01T00:00+14:00", True),
        ("9999-12-31T23:59-12:00", False),
    ],
)
def test_nothing_is_read_tomorrow(at: str, past: bool) -> None:
    """By a clock that says 11:20 one hour east of Greenwich, where 13:20 three hours east of it is 11:20 as well."""
    now = datetime(2024, 3, 7, 11, 20, tzinfo=timezone(timedelta(hours=1)))
    if past:
        assert when(at, now) == at
    else:
        with pytest.raises(BadInput, match="it is 2024-03-07T11:20"):
            when(at, now)


def test_a_day_to_come_that_was_kept_before_stops_nothing(folder: Path) -> None:
    with pytest.raises(BadInput, match="has been"):
        measure(folder, "spring-tall", "free_height", "190 mm", at="9998-01-01")
    assert not (folder / FILE).exists()
    measure(folder, "spring-tall", "free_height", "190 mm", at=AT)
    kept = (folder / FILE).read_text()
    (folder / FILE).write_text(kept.replace(AT, "9998-01-01"))
    assert [r.at for r in measure(folder).records] == ["9998-01-01"] and plan(folder / "goal.yaml").builds


def test_an_attribute_like_none_is_answered_with_all_there_are() -> None:
    """A coil has more than a person keeps in mind, and the car many more; no other command lists them."""
    _, garage = read_goal(demo_folder() / "goal-tight.yaml")
    for part, some in (("coil-lindel-long", ("wire", "upper.outside", "mean_diameter")), ("vehicle", ("wheelbase",))):
        with pytest.raises(BadInput) as caught:
            known_attribute(garage, part, "zzzzzz")
        assert all(name in caught.value.faults[0].mend for name in some), caught.value


def test_the_tool_sets_tolerance_and_evidence() -> None:
    """The template is how a bolt circle is usually read (to 0.3 mm there); a caliper is as good as the caliper."""
    _, garage = read_goal(TRAILER / "goal.yaml")
    circle = known_attribute(garage, "wheel-tape", "face.circle")
    for how, tolerance, evidence in (
        ("template", "0.3 mm", "measured"),
        ("caliper", "0.1 mm", "measured"),
        ("", "0.3 mm", "measured"),
        ("mark", "", "marked"),
        ("told", "", "claimed"),
        ("guess", "11.43 mm", "guessed"),
    ):
        record = record_of(circle, "wheel-tape", "face.circle", Said("4 1/2 in", how=how))
        assert (record["tolerance"], record["evidence"], record["value"]) == (tolerance, evidence, "4 1/2 in"), how


def test_correcting_and_withdrawing(folder: Path) -> None:
    measure(folder, "spring-stiff", "free_height", "150 mm", at=AT, planned=False)
    document = measure(folder, "spring-stiff", "free_height", "212 mm", at=AT, replaces=1, planned=False)
    assert [r.line for r in document.records] == [2]
    document = measure(folder, withdraws=2, at=AT, planned=False)
    assert [r.line for r in document.records] == [1]
    document = measure(folder, withdraws=1, at=AT)
    assert document.records == () and document.plan is not None and "Stiff spring" in document.plan.after
    assert len((folder / FILE).read_text().splitlines()) == 4


def test_a_line_that_cannot_be_read_can_be_withdrawn(folder: Path) -> None:
    (folder / FILE).write_text("spoiled by hand\n")
    with pytest.raises(BadInput, match="--withdraw 1"):
        measure(folder)
    document = measure(folder, withdraws=1, at=AT)
    assert document.kept == 2 and "could not be read" in document.says
    assert measure(folder).records == ()
    with pytest.raises(BadInput, match="not taken back"):
        measure(folder, withdraws=1, at=AT)


def test_what_is_worth_measuring_and_which_answer_is_good_enough(folder: Path) -> None:
    """At least 43 mm of lift: 43 + 100 + 2000/30 = 209.67 mm free, of the 206 to 214 it may be."""
    goal = folder / "goal.yaml"
    goal.write_text(goal.read_text().replace("15 mm to 70 mm", "43 mm to 70 mm"))
    document = measure(folder, "spring-stiff")
    (worth,) = document.worth
    assert (worth.attribute, worth.settles) == ("free_height", ("want bed_lift",))
    assert worth.good_enough == "209.67 to 214.00 mm" and worth.removes == "100 % of the doubt in bed lift"
    again = measure(folder, "spring-stiff", "free_height", "211 mm", tolerance="0.5 mm", at=AT)
    assert [(v.before, v.after) for v in again.verdicts if v.relation == "want bed_lift"] == [
        ("fits if checked", "fits")
    ]
    assert again.worth == ()


def test_check_lists_readings_and_what_they_contradict(folder: Path) -> None:
    measure(folder, "wheel-tape", "face.circle", "110 mm", at=AT, planned=False)
    with (folder / FILE).open("a") as file:
        file.write('{"measurement": 1, "at"')
    document = check([folder])
    assert [(m.line, m.part, m.text) for m in document.measurements] == [(1, "wheel-tape", "110 mm")]
    assert [o.where for o in document.odd] == [f"{FILE}:2", f"{FILE}:1"]
    text = check_text(document)
    assert "110 mm" in text and "never finished" in text


def test_the_command(folder: Path) -> None:
    done = run("measure", "spring-stiff", "free_height", "150 mm", "--goal", folder, "--at", AT, "--json")
    document = MeasureDocument.model_validate_json(done.stdout)
    assert done.returncode == 0 and document.kept == 1
    assert done.stderr == f"kept: line 1 of {folder / FILE}\n"
    record = json.loads((folder / FILE).read_text())
    assert record["value"] == "150 mm" and record["at"] == AT
    wrong = run("measure", "spring-stiff", "free_height", "-150", "--goal", folder)
    assert wrong.returncode == 2 and "Traceback" not in wrong.stderr and "-150 mm" in wrong.stderr


def test_killed_right_after_it_was_acknowledged(folder: Path) -> None:
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    code = "from solver.cli import main; main()"
    command = ["measure", "spring-stiff", "free_height", "150 mm", "--goal", str(folder), "--piece", "left"]
    process = subprocess.Popen([sys.executable, "-c", code, *command], stderr=subprocess.PIPE, env=environment)
    assert process.stderr is not None and process.stderr.readline().startswith(b"kept: line 1 of ")
    process.kill()
    process.wait(60)
    (reading,) = measure(folder).records
    assert (reading.text, reading.piece) == ("150 mm", "left")


@pytest.mark.parametrize(
    ("piece", "near"),
    [("lfet", "left"), ("Left", "left"), ("lef", "left"), ("rigth", "right"), ("row 14 lfet", "row 14 left")],
)
def test_a_piece_that_is_nearly_another_is_refused_with_its_name(folder: Path, piece: str, near: str) -> None:
    for read in ("left", "row 14 left"):
        measure(folder, "spring-stiff", "free_height", "212 mm", piece=read, at=AT, planned=False)
    with pytest.raises(BadInput) as caught:
        measure(folder, "spring-stiff", "free_height", "212 mm", piece=piece, at=AT, planned=False)
    [fault] = caught.value.faults
    assert fault.found == f"piece {piece!r}" and "left, row 14 left" in fault.expected
    assert fault.mend == f"did you mean {near!r}? If it is a new one: --new-piece"
    assert len(measure(folder).records) == 2
    kept = measure(folder, "spring-stiff", "free_height", "212 mm", piece=piece, new_piece=True, at=AT, planned=False)
    assert kept.kept == 3


@pytest.mark.parametrize("piece", ["right", "row 15 left", "row 14 right", "rear left", "B5", "", "other"])
def test_a_piece_with_a_name_of_its_own_is_taken(folder: Path, piece: str) -> None:
    for read in ("left", "row 14 left", "front left", "B4"):
        measure(folder, "spring-stiff", "free_height", "212 mm", piece=read, at=AT, planned=False)
    assert measure(folder, "spring-stiff", "free_height", "212 mm", piece=piece, at=AT, planned=False).kept == 5


@pytest.mark.parametrize("where", ["piece", "note", "how", "tolerance", "at"])
def test_bytes_that_are_no_text_are_refused_before_anything_is_kept(folder: Path, where: str) -> None:
    more: dict[str, Any] = {where: "l\udcff"}
    with pytest.raises(BadInput, match="text in UTF-8"):
        measure(folder, "spring-stiff", "free_height", "212 mm", planned=False, **more)
    assert measure(folder).records == ()


def test_a_piece_more_than_go_on_the_car_is_told(folder: Path) -> None:
    """Two springs go on the trailer: a third is off another one, or has a slip in its name."""
    for piece in ("left", "right", "lfet"):
        told = measure(
            folder, "spring-stiff", "free_height", "212 mm", piece=piece, new_piece=True, at=AT, planned=False
        ).known
        assert told is not None
        unread = told.unread
        assert ("taken to be alike" in unread) is (piece == "left")
    assert unread == "3 pieces count together, and 2 go on the car: left, lfet, right; --aside leaves one out"
    aside = measure(folder, "spring-stiff", piece="lfet", aside=True, at=AT, planned=False)
    assert "count together" not in measure_text(aside)


def test_a_value_need_not_be_one_word(folder: Path) -> None:
    """As it is typed on a phone, without quotes; a number below nothing is no option."""
    done = run("measure", "spring-stiff", "free_height", "212", "mm", "--no-plan", "--goal", folder / "goal.yaml")
    assert done.returncode == 0 and "free height 212 mm kept" in done.stdout
    done = run("measure", "spring-stiff", "free_height", "-212", "mm", "--no-plan", "--goal", folder / "goal.yaml")
    assert done.returncode == 2 and 'did you mean "212 mm"' in done.stderr


def test_leave_it(tmp_path: Path) -> None:
    """11.2 mm left where 22.4 mm is marked: loud, with the source, and exit code 1."""
    shutil.copytree(demo_folder(), tmp_path / "f")
    goal = tmp_path / "f" / "goal-tight.yaml"
    arguments = ("rotor-marram", "disc.thickness", "11.2 mm", "--how", "micrometer", "--piece", "left")
    done = run("measure", *arguments, "--goal", goal, "--no-plan")
    assert done.returncode == 1
    head = done.stdout.splitlines()[0]
    assert head.startswith("front rotor, Marram front rotors 296 mm, left: leave it.")
    assert "(1 of 2 pieces read; the rest are taken to be alike)" in done.stdout
    assert "22.40 mm is the limit" in head and "left, " in head and "49 CFR 570.59(b)" in head
    assert "this piece is worn" in done.stdout


@pytest.mark.parametrize(("part", "attribute"), [("coil-longer", "state"), ("vehicle", "rails")])
def test_a_wear_limit_that_is_a_word_is_asked_about(tmp_path: Path, part: str, attribute: str) -> None:
    """It is read with no error to tell: only how, and which words there are."""
    new(tmp_path / "car")
    found = measure(tmp_path / "car", part, attribute)
    assert re.search(rf"{attribute}, now unknown; read it so: .+; one of .*(sound|whole)", found.says)


def test_everything_that_can_be_read_can_be_asked_about(tmp_path: Path) -> None:
    """Of every kind of part and of the car itself: what it is now, how it is read, with what."""
    new(tmp_path / "car")
    _, garage = read_goal(tmp_path / "car" / "goal.yaml")
    telling = Telling(garage, "metric")
    kinds = {part.kind: name for name, part in garage.parts.items()}
    for name in ("vehicle", *kinds.values()):
        for path in attributes_of(name, garage.layout, garage.parts):
            assert f"{path}, now " in telling.about(name, path, True)
