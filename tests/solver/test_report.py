"""The text of a plan: what a number must not be taken for is said under it."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from knowledge.garage import read_goal
from shared.plan import PlanDocument
from shared.units import System
from solver import check, demo_goal, measure, new, plan, why, work
from solver.folding import fitted
from solver.page.sheet import page_of_build
from solver.planning import consequences
from solver.problem import build_problem
from solver.report import check_text, consequence_lines, plan_text
from solver.work.text import work_text

TRAILER = Path(__file__).parent.parent / "data" / "trailer"


@pytest.fixture(scope="module", params=["metric", "us"])
def planned(request: pytest.FixtureRequest) -> tuple[System, PlanDocument]:
    return request.param, plan(demo_goal("trail"), most=1, units=request.param)


def test_stopping_distances_are_told_in_metres_or_feet_with_what_they_are_not(
    planned: tuple[System, PlanDocument],
) -> None:
    units, document = planned
    lines = fitted(consequence_lines(document.builds[0])).splitlines()
    rows = [line.split() for line in lines if line.strip().startswith("stopping distance")]
    assert [row[2] for row in rows] == ["driver", "laden"]
    unit = {"metric": "m", "us": "ft"}[units]
    for row in rows:
        assert row[4] == row[6] == unit
        assert (40 if units == "metric" else 140) < float(row[3]) < (60 if units == "metric" else 180)
    caution = next(line for line in lines if line.startswith("  !"))
    assert caution.startswith("  ! stopping distance driver, stopping distance laden: ")
    assert "not a test" in caution


def test_what_is_outside_its_limit_does_not_print_as_the_limit(tmp_path: Path) -> None:
    """The trailer's tall spring lifts by 40 mm, by hand; asked for is 40.04 mm, which to a tenth is the same."""
    shutil.copytree(TRAILER, tmp_path / "t")
    (tmp_path / "t" / "goal.yaml").write_text(
        "format: swapwright goal\nversion: 1\nname: Bed\nwant: {bed_lift: exactly 40.04 mm}\n"
    )
    problem = build_problem(*read_goal(tmp_path / "t" / "goal.yaml"))
    build = {**problem.stock, "spring": problem.garage.parts["spring-tall"]}
    (lift,) = [q for q in consequences(problem, build, "metric") if q.name == "bed_lift"]
    assert (lift.verdict, lift.new.text, lift.limits) == ("does not fit", "40.00 mm", "exactly 40.04 mm")
    assert lift.margin is not None and lift.margin.text == "-0.04 mm"


def test_what_the_goal_says_and_what_is_usual_are_told_apart(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(Path(__file__).parents[1] / "data" / "trailer", tmp_path / "t"))
    text = (folder / "goal.yaml").read_text()
    for prefer, said, usual in (
        ("", (), ("hours", "donors", "advice")),
        ("prefer: [{least: hours, worth: 5 per h}]\n", ("hours",), ("donors", "advice")),
    ):
        (folder / "goal.yaml").write_text(text + prefer)
        document = plan(folder / "goal.yaml")
        assert [p.split()[1].rstrip(":") for p in document.preference] == list(said)
        assert [p.split()[1].rstrip(":") for p in document.usual] == list(usual)
        lines = plan_text(document).splitlines()
        start = next(i for i, line in enumerate(lines) if line.startswith("Ranking"))
        goal = ["  as the goal says:", *(f"    {p}" for p in document.preference)] if said else []
        told = [*goal, "  as usual, where the goal says nothing:", *(f"    {p}" for p in document.usual)]
        assert lines[start + 1 : start + 1 + len(told)] == told


def test_all_builds_there_are_is_said_wherever_they_are_counted() -> None:
    """Also where no more were asked for than there are: the ledger counts them."""
    goal = TRAILER / "goal.yaml"
    many = len(plan(goal, most=50).builds)
    document = plan(goal, most=many)
    assert document.complete and f"{many} builds, all there are" in plan_text(document)
    assert not plan(goal, most=many - 1).complete


def test_check_tells_what_was_read() -> None:
    trailer = Path(__file__).parents[1] / "data" / "trailer"
    found = check([trailer / "goal.yaml"])
    assert found.files == ("catalogue.yaml",)
    assert check_text(found).startswith("No faults: 1 goal, 12 candidate parts from 1 file, 4 positions")


def test_check_tells_what_of_the_car_is_unknown_or_claimed(tmp_path: Path) -> None:
    """What nobody wrote down counts as unknown, and a torque only the bench needs is no doubt of a plan."""
    folder = tmp_path / "c"
    new(folder)
    whole = {(d.part, d.attribute) for d in check([folder]).doubts}
    file = folder / "vehicle.yaml"
    text = file.read_text("utf-8")
    assert "  wheelbase: 2560 mm\n" in text and "  kerb_front: 781 kg\n" in text
    text = text.replace("  wheelbase: 2560 mm\n", "").replace(
        "front: 781 kg", "front: {value: 781 kg, evidence: claimed}"
    )
    file.write_text(text.replace("cg_height_driver: 648 mm", "cg_height_driver: 640 mm to 656 mm"), "utf-8")
    doubts = {(d.part, d.attribute): d for d in check([folder]).doubts}
    assert not any(part == "vehicle" for part, _ in whole)
    assert set(doubts) - whole == {
        ("vehicle", "wheelbase"),
        ("vehicle", "kerb_front"),
        ("vehicle", "cg_height_driver"),
    }
    assert (doubts["vehicle", "wheelbase"].value, doubts["vehicle", "wheelbase"].evidence) == ("unknown", "not stated")
    assert doubts["vehicle", "kerb_front"].evidence == "claimed"
    assert doubts["vehicle", "cg_height_driver"].value == "640.0 to 656.0 mm"


def test_check_tells_what_a_mate_or_a_formula_needs_and_nobody_stated(tmp_path: Path) -> None:
    folder = tmp_path / "c"
    new(folder)
    before = {(d.part, d.attribute) for d in check([folder]).doubts}
    car, mine = folder / "vehicle.yaml", folder / "catalogue" / "mine.yaml"
    text = car.read_text("utf-8")
    assert "front_line: {thread: M10x1.0, seat: double flare, " in text
    car.write_text(text.replace("front_line: {thread: M10x1.0, seat: double flare, ", "front_line: {"), "utf-8")
    mine.write_text(
        "format: swapwright catalogue\nversion: 1\nparts:\n"
        "  - {id: tyre-bare, name: Bare, kind: tyre, price: unknown, evidence: measured}\n",
        "utf-8",
    )
    doubts = {(d.part, d.attribute): d.evidence for d in check([folder]).doubts}
    found = {key: word for key, word in doubts.items() if key not in before}
    assert set(found.values()) == {"not stated"}
    assert {("vehicle", "front_line.thread"), ("vehicle", "front_line.seat"), ("tyre-bare", "size")} <= set(found)
    assert any(part == "tyre-bare" and name.startswith("bead.") for part, name in found)


def test_a_look_whose_figure_nobody_stated_is_not_told_as_if_it_were_so(tmp_path: Path) -> None:
    """Without the bumper's height nobody knows whether it stands high; with it, it does not (470 mm and a lift)."""
    folder = tmp_path / "c"
    new(folder)
    goal, car = folder / "goal.yaml", folder / "vehicle.yaml"
    assert not any("bumper stands high" in line for line in plan_text(plan(goal, most=1)).splitlines())
    text = car.read_text("utf-8")
    assert "  bumper_height: 470 mm\n" in text
    says = "Not known: The bumper stands high: places have limits by mass: measure the car's bumper height"
    car.write_text(text.replace("  bumper_height: 470 mm\n", ""), "utf-8")
    assert f"- {says} [state codes, example 24 in]" in plan_text(plan(goal, most=1)).splitlines()
    assert says in " ".join(work_text(work(goal)).split())
    car.write_text(text.replace("bumper_height: 470 mm", "bumper_height: 500 to 600 mm"), "utf-8")
    [line] = [x for x in plan_text(plan(goal, most=1)).splitlines() if "bumper stands high" in x]
    assert line.startswith("- Not sure: The bumper stands high") and "at most 610.0 mm" in line


def test_check_tells_a_part_that_is_only_claimed_as_a_whole(tmp_path: Path) -> None:
    """In one line, not value by value; what of it is unknown is told besides."""
    shutil.copytree(TRAILER, tmp_path / "t")
    file = tmp_path / "t" / "catalogue.yaml"
    text = file.read_text("utf-8")
    assert 'kind: trailer_spring, price: "40", evidence: measured, properties: {rate: 20 N/mm,' in text
    old = 'kind: trailer_spring, price: "40", evidence: measured, properties: {rate: 20 N/mm,'
    file.write_text(text.replace(old, old.replace("measured", "claimed").replace("20 N/mm", "unknown")), "utf-8")
    found = check([tmp_path / "t" / "goal.yaml"])
    told = [(d.attribute, d.value, d.evidence) for d in found.doubts if d.part == "spring-tall"]
    assert told == [("all of it", "", "claimed"), ("rate", "unknown", "claimed")]
    assert "  spring-tall   all of it" in check_text(found)


@pytest.mark.parametrize("evidence", ["measured", "claimed", "guessed"])
def test_a_build_of_hearsay_says_so(tmp_path: Path, evidence: str) -> None:
    """What is claimed counts unless the goal trusts less; whoever pays for it is told."""
    shutil.copytree(TRAILER, tmp_path / "t")
    file = tmp_path / "t" / "catalogue.yaml"
    text = file.read_text("utf-8")
    old = 'kind: trailer_spring, price: "40", evidence: measured'
    file.write_text(text.replace(old, old.replace("measured", evidence)), "utf-8")
    goal = tmp_path / "t" / "goal.yaml"
    goal.write_text(goal.read_text("utf-8") + "use: {spring: spring-tall}\n", "utf-8")
    told = f"  ! Tall spring: all that is known of it is {evidence}; measure it before paying"
    assert (told in plan_text(plan(goal, most=1)).splitlines()) is (evidence != "measured")
    says = {
        "measured": "nothing that decides is in doubt",
        "claimed": "all that is known of it is claimed, and is taken at its word; measure it before paying",
        "guessed": "what is worth measuring",
    }
    assert measure(goal, "spring-tall").says == f"Tall spring: {says[evidence]}"


def test_what_most_of_the_checks_hang_on_is_named_before_them(tmp_path: Path) -> None:
    folder = tmp_path / "c"
    new(folder)
    file = folder / "vehicle.yaml"
    file.write_text(file.read_text("utf-8").replace("  wheelbase: 2560 mm\n", ""), "utf-8")
    document = plan(folder / "goal.yaml", most=1)
    checks = document.builds[0].checks
    hang = sum("the car's wheelbase" in check.needs for check in checks)
    lines = plan_text(document).splitlines()
    first = lines[lines.index("Check before paying") + 1]
    assert hang > 20 and first == f"First of all measure the car's wheelbase: {hang} of these {len(checks)} hang on it"


def test_what_to_measure_is_asked_for_alike_everywhere(tmp_path: Path) -> None:
    """By what is read, and the part's name with the id it is measured under: in the plan, in why, on the page.

    The stiff spring lifts by 43.3 mm, known to 4 mm; 41 mm are asked for.
    """
    trailer = Path(shutil.copytree(Path(__file__).parents[1] / "data" / "trailer", tmp_path / "t")) / "goal.yaml"
    asked = {need for build in plan(trailer).builds for check_ in build.checks for need in check_.needs}
    assert "circle of Wheel read with a tape (wheel-tape)" in asked
    told = why(trailer, ["wheel-tape"]).model_dump_json()
    assert "circle of Wheel read with a tape (wheel-tape)" in told
    wanted = trailer.read_text().replace("15 mm to 70 mm", "41 mm to 70 mm") + "use: {spring: spring-stiff}\n"
    trailer.write_text(wanted.replace("bed_lift", "lift"))
    [check_] = [c for c in plan(trailer).builds[0].checks if c.relation == "want lift"]
    assert check_.needs == ("free height of Stiff spring (spring-stiff)",)
    goal, garage = read_goal(trailer)
    problem = build_problem(goal, garage)
    build = {**problem.stock, "spring": garage.parts["spring-stiff"]}
    page = page_of_build(problem, build, 1, "metric")
    assert ("free height of Stiff spring (spring-stiff)",) in [m.what for m in page.measure]


@pytest.mark.parametrize(
    ("buy", "told"), [("new", "bought new"), ("used", "bought used"), ("either", "bought used or new")]
)
def test_what_no_car_is_named_for_is_not_said_to_be_new_unless_it_is(tmp_path: Path, buy: str, told: str) -> None:
    shutil.copytree(TRAILER, tmp_path / "t")
    file = tmp_path / "t" / "catalogue.yaml"
    old = 'kind: trailer_spring, price: "40"'
    file.write_text(file.read_text("utf-8").replace(old, f"{old}, buy: {buy}"), "utf-8")
    goal = tmp_path / "t" / "goal.yaml"
    goal.write_text(goal.read_text("utf-8") + "use: {spring: spring-tall}\n", "utf-8")
    line = next(x for x in plan_text(plan(goal, most=1)).splitlines() if x.startswith("  spring  "))
    assert line.split("  ")[4:6] == [told, "40"]


def test_a_car_that_meets_the_goal_as_it_is_needs_nothing(tmp_path: Path) -> None:
    shutil.copytree(TRAILER, tmp_path / "t")
    goal = tmp_path / "t" / "goal.yaml"
    goal.write_text("format: swapwright goal\nversion: 1\nname: As it is\n", "utf-8")
    text = plan_text(plan(goal, most=1))
    assert "nothing: the car as it is" in next(x for x in text.splitlines() if x.startswith("  1  fits"))
    assert "\n  nothing: the car as it is\n" in text
