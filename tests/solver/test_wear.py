"""A worn piece refuses its part, with both sides and the source, in every answer; a piece put aside does not."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from knowledge.garage import read_goal
from knowledge.layouts import layouts_folder, read_layout
from knowledge.measured.measurements import FILE, keep
from shared.faults import BadInput
from shared.ranges import Range
from shared.verdict import Verdict
from solver.demo import demo_folder
from solver.measuring.telling import Telling
from solver.planning import plan
from solver.problem import Problem, build_problem
from solver.wear import OF_THE_CAR, condition_name, wear_reasons

AT = "2024-03-07"


@pytest.fixture
def goal(tmp_path: Path) -> Path:
    shutil.copytree(demo_folder(), tmp_path / "f")
    return tmp_path / "f" / "goal-tight.yaml"


def read(goal: Path, part: str, attribute: str, value: str, piece: str = "", **more: str) -> int:
    record = {"at": AT, "part": part, "attribute": attribute, "value": value, "piece": piece, **more}
    return keep(goal.parent / FILE, record)


def problem_of(goal: Path) -> Problem:
    return build_problem(*read_goal(goal))


def verdict(problem: Problem, at: str, part: str) -> Verdict:
    relation = problem.named(condition_name(at))
    found = next(p for p in problem.domains[at] if p is not None and p.id == part)
    return relation.verdict({**problem.stock, at: found})


def test_every_way_a_piece_can_be_bad(goal: Path) -> None:
    read(goal, "rotor-marram", "disc.thickness", "22.2 mm", "left", tolerance="0.05 mm")  # marked 22.4 mm
    read(goal, "coil-marram", "free_length", "428 mm", "left", tolerance="5 mm")
    read(goal, "coil-marram", "free_length", "421 mm", "right", tolerance="5 mm")  # 7 mm apart, 5 mm allowed
    read(goal, "coil-bulwark", "state", "broken", "right")
    read(goal, "leaf-marram", "groove_depth", "0.7 mm")  # a tenth of 6.5 mm is 0.65 mm
    read(goal, "leaf-van", "groove_depth", "0.6 mm", tolerance="0.2 mm")  # the tool cannot tell
    read(goal, "coil-van", "pit_depth", "0.3 mm", tolerance="0.1 mm")
    problem = problem_of(goal)
    assert verdict(problem, "front_rotor", "rotor-marram") is Verdict.NO
    assert verdict(problem, "front_coil", "coil-marram") is Verdict.NO
    assert verdict(problem, "front_coil", "coil-bulwark") is Verdict.NO
    assert verdict(problem, "front_coil", "coil-van") is Verdict.FITS
    assert verdict(problem, "front_coil", "stock-front-coil") is Verdict.FITS
    assert verdict(problem, "rear_leaf", "leaf-marram") is Verdict.NO
    assert verdict(problem, "rear_leaf", "leaf-van") is Verdict.CHECK
    relation = problem.named(condition_name("front_coil"))
    coil = next(p for p in problem.domains["front_coil"] if p is not None and p.id == "coil-marram")
    (reason,) = relation.explain({**problem.stock, "front_coil": coil})
    assert reason.left.who == "front coil, Marram coils, left and right" and reason.left.what == "free length apart by"
    assert reason.gap == pytest.approx(0.002) and "common practice" in reason.source
    left = Telling(problem.garage, "metric").all_left()
    assert len(left) == 4 and left[0].startswith("front rotor, Marram front rotors 296 mm, left: leave it.")
    assert any("0.70 mm, 0.65 mm is the limit" in text for text in left)
    with pytest.raises(StopIteration):
        problem.named(condition_name("tyre"))


@pytest.mark.parametrize(
    ("left", "right", "said"),
    [
        # 10 mm apart as read, 5 mm allowed; a tape good to 10 mm may be off by all of it
        (("480 mm", "caliper", "0.1 mm"), ("470 mm", "tape", "10 mm"), Verdict.CHECK),
        (("480 mm", "tape", "10 mm"), ("470 mm", "tape", "10 mm"), Verdict.NO),  # one tape is off by the same on both
        (("480 mm", "caliper", "0.1 mm"), ("470 mm", "tape", "1 mm"), Verdict.NO),
        (("480 mm", "caliper", "0.1 mm"), ("476 mm", "tape", "0.5 mm"), Verdict.FITS),
        (("480 mm", "tape", "1 mm"), ("475 mm", "tape", "1 mm"), Verdict.FITS),
        (("480 mm", "tape", "1 mm"), ("475 mm", "tape", "0.1 cm"), Verdict.FITS),  # the same, written in another way
        (("480 mm", "tape", "1 mm"), ("475 mm", "tape", "0.5 mm"), Verdict.CHECK),
        (("480 +/- 1 mm", "", ""), ("475 +/- 1 mm", "", ""), Verdict.FITS),
        (("480 +/- 1 mm", "", ""), ("475 +/- 3 mm", "", ""), Verdict.CHECK),
        (("480 +/- 1 mm", "", ""), ("471 +/- 1.5 mm", "", ""), Verdict.NO),
        (("478 to 482 mm", "tape", "1 mm"), ("474 mm", "tape", "1 mm"), Verdict.CHECK),  # no one number was read
    ],
)
def test_what_two_tools_leave_open_adds_up(
    goal: Path, left: tuple[str, str, str], right: tuple[str, str, str], said: Verdict
) -> None:
    for piece, (value, how, tolerance) in (("left", left), ("right", right)):
        read(goal, "coil-lindel-long", "free_length", value, piece, how=how, tolerance=tolerance)
    garage = read_goal(goal)[1]
    reasons = wear_reasons(garage, "front_coil", garage.parts["coil-lindel-long"])
    assert max((r.verdict for r in reasons), default=Verdict.FITS) is said


def test_how_far_apart_pieces_of_two_tools_are_is_a_range(goal: Path) -> None:
    read(goal, "coil-lindel-long", "free_length", "480 mm", "left", how="caliper", tolerance="0.1 mm")
    read(goal, "coil-lindel-long", "free_length", "470 mm", "right", how="tape", tolerance="10 mm")
    problem = problem_of(goal)
    coil = next(p for p in problem.domains["front_coil"] if p is not None and p.id == "coil-lindel-long")
    (reason,) = problem.named(condition_name("front_coil")).explain({**problem.stock, "front_coil": coil})
    assert isinstance(reason.left.value, Range)
    assert (reason.left.value.lo, reason.left.value.hi) == pytest.approx((0.0, 0.0201))  # 479.9-480 and 480.1-460
    assert "left and right, both with one tool" in reason.needs[0]
    about = Telling(problem.garage, "metric").about("coil-lindel-long", None, False)
    assert "measure again: free length of" in about and "both with one tool" in about


def test_a_tool_good_to_a_share_is_one_tool_at_every_size(goal: Path) -> None:
    for piece, value in (("left", "2.0 mm"), ("right", "1.0 mm")):
        read(goal, "coil-lindel-long", "wire", value, piece, how="guess", tolerance=f"{float(value[:3]) / 10} mm")
    assert verdict(problem_of(goal), "front_coil", "coil-lindel-long") is Verdict.NO  # 1 mm apart, 0.4 mm allowed


def test_what_is_fitted_is_judged_too_and_so_is_its_alteration(goal: Path) -> None:
    read(goal, "stock-rear-leaf", "cracks", "cracked", "left")
    problem = problem_of(goal)
    assert verdict(problem, "rear_leaf", "stock-rear-leaf") is Verdict.NO
    assert verdict(problem, "rear_leaf", "stock-rear-leaf+re-arch") is Verdict.NO


def test_the_search_goes_on_without_a_worn_part_and_with_it_once_the_piece_is_aside(goal: Path) -> None:
    def left(problem: Problem) -> set[str]:
        rules = [r for r in problem.hard if r.scope == ("front_coil",)]
        coils = [p for p in problem.domains["front_coil"] if p is not None]
        return {p.id for p in coils if all(r.verdict({"front_coil": p}) is not Verdict.NO for r in rules)}

    read(goal, "coil-lindel-long", "pit_depth", "0.9 mm", "row 14", tolerance="0.2 mm")
    kept = left(problem_of(goal))
    assert "coil-lindel-long" not in kept and "coil-lindel-short" in kept
    keep(goal.parent / FILE, {"at": AT, "part": "coil-lindel-long", "piece": "row 14", "aside": True})
    assert "coil-lindel-long" in left(problem_of(goal))


# A layout of one's own, with limits of its own: a spring of the trailer, its axle, and the trailer itself.
CONDITION = """format: swapwright condition
version: 1
limits:
  trailer_spring:
    sag: {measure: length, at_most: 10 % of free_height, says: A sagged spring is soft, source: a club}
  vehicle:
    frame_bend: {measure: length, at_most: 5 mm, read: string, says: A bent frame is scrap, source: a club}
    coupling: {measure: word, one_of: [whole, cracked], accept: [whole], says: It lets go, source: a club}
"""


@pytest.fixture
def trailer(tmp_path: Path) -> Path:
    folder = Path(shutil.copytree(Path(__file__).parents[1] / "data" / "trailer", tmp_path / "t"))
    (folder / "layout" / "condition.yaml").write_text(CONDITION)
    return folder / "goal.yaml"


def test_a_layout_brings_limits_of_its_own(trailer: Path) -> None:
    read(trailer, "spring-tall", "sag", "25 mm")  # a tenth of 240 mm is 24 mm
    read(trailer, "spring-old", "sag", "5 mm")
    problem = problem_of(trailer)
    assert verdict(problem, "spring", "spring-tall") is Verdict.NO
    assert verdict(problem, "spring", "spring-old") is Verdict.FITS


@pytest.mark.parametrize(
    ("attribute", "value", "tolerance", "expected"),
    [
        ("frame_bend", "4 mm", "", None),
        ("frame_bend", "4.5 mm", "1 mm", Verdict.CHECK),
        ("frame_bend", "7 mm", "1 mm", Verdict.NO),
        ("coupling", "cracked", "", Verdict.NO),
    ],
)
def test_the_car_itself_can_be_bad(
    trailer: Path, attribute: str, value: str, tolerance: str, expected: Verdict | None
) -> None:
    assert plan(trailer).builds
    read(trailer, "vehicle", attribute, value, tolerance=tolerance)
    problem = problem_of(trailer)
    judged = [r.verdict(problem.stock) for r in problem.relations if r.name == OF_THE_CAR]
    assert judged == ([] if expected is None else [expected])
    document = plan(trailer)
    if expected is Verdict.NO:
        assert not document.builds and document.conflicts_complete
        [conflict] = document.conflicts
        assert [m.name for m in conflict.members] == [OF_THE_CAR]
        assert Telling(problem.garage, "metric").all_left()
    else:
        assert document.builds
        assert (document.builds[0].verdict == "fits if checked") is (expected is Verdict.CHECK)


def test_a_layout_s_entry_takes_the_place_of_the_shared_one(tmp_path: Path) -> None:
    """A layout for cars whose makers mark no drums: its own limit of the tread is what counts there."""
    own = tmp_path / "own"
    shutil.copytree(layouts_folder() / "solid-axle-4x4", own)
    (own / "tread.yaml").write_text(
        "format: swapwright condition\nversion: 1\nlimits:\n"
        "  tyre: {tread: {at_least: 3 mm, says: Mud wants tread, source: club rule}}\n"
        "  vehicle: {wheelbase: {at_least: 1 m, says: x, source: y}}\n"
    )
    before = {x.path: x for x in read_layout(layouts_folder() / "solid-axle-4x4").wear["tyre"]}
    layout = read_layout(own)
    after = {x.path: x for x in layout.wear["tyre"]}
    assert list(before) == list(after) and after["age"] == before["age"]
    assert [end.number for end in after["tread"].at_least] == [0.003]
    assert not {x.path: x for x in layout.wear["vehicle"]}["wheelbase"].own
    (own / "more.yaml").write_text(
        "format: swapwright condition\nversion: 1\nlimits:\n"
        "  tyre: {tread: {at_least: 4 mm, says: x, source: y}, treat: {at_least: 4 mm, says: x, source: y}}\n"
        "  tyres: {tread: {at_least: 4 mm, says: x, source: y}}\n"
    )
    with pytest.raises(BadInput) as caught:
        read_layout(own)
    assert {(Path(f.file).name, f.line, f.code) for f in caught.value.faults} == {
        ("tread.yaml", 4, "duplicate-id"),
        ("more.yaml", 4, "unknown-attribute"),
        ("more.yaml", 5, "unknown-kind"),
    }
