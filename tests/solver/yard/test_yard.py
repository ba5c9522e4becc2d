"""The yard as a whole, on a trailer worked out by hand (see conftest)."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from shared.faults import BadInput
from solver.yard import walking, yard
from solver.yard.covering import Cover
from solver.yard.document import YardDocument
from solver.yard.text import yard_text

Listed = Callable[[str], Path]


def pulls(document: YardDocument) -> list[tuple[str, str]]:
    return [(stop.row, pull.part) for stop in document.stops for pull in stop.pulls]


def test_the_best_build_out_of_what_stands_there(folder: Path, listed: Listed) -> None:
    found = yard(folder / "goal.yaml", listed("Halden|Drover|2003||heavy load|B1|\nHalden|Drover|1995|||A1|"))
    assert pulls(found) == [("B1", "spring-stiff")]
    assert found.plan.builds[0].verdict == "fits"
    assert found.plan.builds[0].price.text == "30"


def test_a_sure_car_goes_before_a_cheaper_doubtful_one(folder: Path, listed: Listed) -> None:
    found = yard(folder / "goal.yaml", listed("Halden|Drover|2003|||B1|\nHalden|Drover|1995|||A1|"))
    assert pulls(found) == [("A1", "spring-tall")]
    assert found.plan.builds[0].verdict == "fits"
    instead = found.stops[0].pulls[0].instead
    assert instead is not None and (instead.part, instead.verdict) == ("spring-stiff", "fits if checked")
    assert instead.dearer == -10.0


def test_what_the_list_does_not_tell_is_to_be_looked_for(folder: Path, listed: Listed) -> None:
    found = yard(folder / "goal.yaml", listed("Halden|Drover||||B1|"))
    assert found.plan.builds[0].verdict == "fits if checked"
    (pull,) = found.stops[0].pulls
    assert pull.part == "spring-stiff"
    assert pull.look == ("year 2000 to 2006", "heavy load")
    (check,) = found.plan.builds[0].checks
    assert check.needs == ("year 2000 to 2006 (B1)", "heavy load (B1)")
    text = yard_text(found)
    assert "look first, or leave the car: year 2000 to 2006; heavy load" in text


def test_rows_are_walked_in_order_and_other_cars_named(folder: Path, listed: Listed) -> None:
    rows = "Halden|Drover|1995|||A10|\nHalden|Drover|1996|||A2|\nHalden|Drover|1997|||C1|springs gone"
    found = yard(folder / "goal.yaml", listed(rows))
    assert pulls(found) == [("A2", "spring-tall")]
    assert found.stops[0].pulls[0].other_cars[0].row == "A10"


def test_of_many_other_cars_all_are_named(folder: Path, listed: Listed) -> None:
    """The first with what they are, the rest by where they stand, the doubtful ones as such."""
    rows = "\n".join(f"Halden|Drover|{'' if n == 6 else 1995}|||A{n}|" for n in range(1, 8))
    text = yard_text(yard(folder / "goal.yaml", listed(rows)))
    assert text.count("also in A") == 3
    assert "      and in A5, A7, A6 if checked\n" in text


def test_no_car_that_serves_is_a_no_with_the_nearest_way_round(folder: Path, listed: Listed) -> None:
    found = yard(folder / "goal.yaml", listed("Pellow|Skerry|1995|||E1|"))
    assert not found.plan.builds and not found.stops
    assert found.everything is not None and found.everything.builds
    assert [(m.part, m.why) for m in found.missing] == [("spring-stiff", "no such car stands here")]
    text = yard_text(found)
    assert text.startswith(
        "Higher bed: no build out of the 1 car here and what is bought new; the whole catalogue has one"
    )
    assert "Halden Drover 2000-2006 heavy load" in text


def test_an_own_part_that_is_altered_is_neither_pulled_nor_bought(folder: Path, listed: Listed) -> None:
    """Arching the old spring to the tall one's height costs less than the tall one, or more."""
    catalogue = folder / "catalogue.yaml"
    text, old = catalogue.read_text("utf-8"), "id: spring-old, "
    arched = 'alterations: {arch: {name: arched, price: "5", properties: {free_height: 240 mm}}}, '
    assert old in text
    catalogue.write_text(text.replace(old, old + arched), "utf-8")
    found = yard(folder / "goal.yaml", listed("Halden|Drover|1995|||A1|"))
    assert not found.stops and not found.bought
    assert [(a.part, a.price.text) for a in found.altered] == [("spring-old+arch", "5")]
    told = yard_text(found)
    assert "Your own, altered\n  part " in told and "Bought, not pulled" not in told
    catalogue.write_text(text.replace(old, old + arched.replace('"5"', '"500"')), "utf-8")
    found = yard(folder / "goal.yaml", listed("Halden|Drover|1995|||A1|"))
    instead = found.stops[0].pulls[0].instead
    assert instead is not None and (instead.part, instead.source) == ("spring-old+arch", "your own, altered")
    assert not found.altered


def test_a_set_of_cars_that_is_not_proved_smallest_is_said_to_be_so(
    folder: Path, listed: Listed, monkeypatch: pytest.MonkeyPatch
) -> None:
    rows = "Corrick|Tramper|1999|Long||A1|\nHalden|Drover|1995|||A2|"
    goal = folder / "goal.yaml"
    goal.write_text(goal.read_text("utf-8") + "change: [axle]\n", "utf-8")
    proved = yard(goal, listed(rows))
    assert proved.cars_at_least == len(proved.stops) == 1 and "Not proved" not in yard_text(proved)
    monkeypatch.setattr(walking, "smallest_cover", lambda *asked: Cover((0, 1), 1))
    found = yard(goal, listed(rows))
    assert (found.cars_at_least, len(found.stops)) == (1, 2)
    assert "\nNot proved to be the fewest cars that have it all: 1 might do, fewer never.\n" in yard_text(found)


def test_what_would_be_better_is_named_with_what_it_saves(folder: Path, listed: Listed) -> None:
    found = yard(folder / "goal.yaml", listed("Halden|Drover|1995|||A1|"))
    assert pulls(found) == [("A1", "spring-tall")]
    better = next(m for m in found.missing if m.part == "spring-stiff")
    assert better.saves == 10.0 and better.instead_of == "Tall spring"


def test_of_many_better_parts_the_best_are_told_and_that_there_are_more(folder: Path, listed: Listed) -> None:
    """Ten more like the stiff one, at 20 to 29, where the tall one costs 40."""
    catalogue = folder / "catalogue.yaml"
    text = catalogue.read_text("utf-8")
    like = "kind: trailer_spring, like: spring-stiff, donors: [{make: Pellow, model: Skerry}]"
    more = [f'  - {{id: spring-{n}, name: No {n}, {like}, price: "{20 + n}"}}\n' for n in range(10)]
    catalogue.write_text(text + "".join(more), "utf-8")
    found = yard(folder / "goal.yaml", listed("Halden|Drover|1995|||A1|"))
    assert [m.saves for m in found.missing] == [20.0 - n for n in range(10)] + [10.0]
    told = yard_text(found)
    assert told.count("better in score than Tall spring") == 6
    assert "\n- and 5 more (--json has them)\n" in told


def test_an_excluded_trim_is_not_a_donor(folder: Path, listed: Listed) -> None:
    goal = folder / "goal.yaml"
    goal.write_text(goal.read_text("utf-8") + "change: [axle]\n", "utf-8")
    assert not yard(goal, listed("Corrick|Tramper|1999|Light||A1|")).plan.builds
    assert yard(goal, listed("Corrick|Tramper|1999|Long||A1|")).plan.builds[0].verdict == "fits"
    assert yard(goal, listed("Corrick|Tramper|1999|||A1|")).plan.builds[0].verdict == "fits if checked"


def test_what_comes_with_an_assembly_comes_off_the_same_car(folder: Path, listed: Listed) -> None:
    goal = folder / "goal.yaml"
    goal.write_text(goal.read_text("utf-8") + "change: [axle]\n", "utf-8")
    found = yard(goal, listed("Corrick|Tramper|1999|Long||A1|"))
    (stop,) = found.stops
    axle = next(p for p in stop.pulls if p.part == "axle-big")
    assert axle.with_it == ("Big hub",)
    assert {p.part for p in stop.pulls} == {"axle-big", "spring-wide", "wheel-five"}


def test_readings_are_good_enough_where_the_goal_still_holds(folder: Path, listed: Listed) -> None:
    found = yard(folder / "goal.yaml", listed("Halden|Drover|1995|||A1|"))
    (pull,) = found.stops[0].pulls
    readings = {r.what: r for r in pull.readings}
    # 15 mm <= free height - 100 mm - 100 mm <= 70 mm
    assert readings["free height"].good == "215.0 mm to 270.0 mm"
    assert readings["free height"].how == "rule"
    assert readings["free height"].sorts_out == ("Old spring", "Stiff spring")  # 200 mm, and 206 to 214 mm
    # 15 mm <= 240 mm - 2 kN / rate - 100 mm <= 70 mm, so 16 N/mm <= rate <= 28.57 N/mm
    assert readings["rate"].good == "16.0 N/mm to 28.5 N/mm"
    assert readings["rate"].sorts_out == ("Stiff spring",)  # 30 N/mm
    assert pull.leave_when == ("cracked leaf",) and pull.always_new == ("Bushes",)


def test_a_reading_the_plan_hangs_on_comes_first(folder: Path, listed: Listed) -> None:
    catalogue = folder / "catalogue.yaml"
    text = catalogue.read_text("utf-8").replace(
        "rate: 20 N/mm, free_height: 240 mm", "rate: 18 to 32 N/mm, free_height: 240 mm", 1
    )
    catalogue.write_text(text, "utf-8")
    found = yard(folder / "goal.yaml", listed("Halden|Drover|1995|||A1|"))
    assert found.plan.builds[0].verdict == "fits if checked"
    first = found.stops[0].pulls[0].readings[0]
    assert (first.what, first.doubtful, first.good) == ("rate", True, "16.0 N/mm to 28.5 N/mm")


def test_no_reading_the_plan_hangs_on_is_left_out(
    folder: Path, listed: Listed, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Height 230 to 250 mm less 2 kN on 18 to 32 N/mm is up to 187.5 mm, 87.5 mm above the bed's 100 mm; 70 at most."""
    monkeypatch.setattr(walking, "MOST_READINGS", 1)
    catalogue = folder / "catalogue.yaml"
    old, new = "rate: 20 N/mm, free_height: 240 mm", "rate: 18 to 32 N/mm, free_height: 230 to 250 mm"
    catalogue.write_text(catalogue.read_text("utf-8").replace(old, new, 1), "utf-8")
    found = yard(folder / "goal.yaml", listed("Halden|Drover|1995|||A1|"))
    readings = found.stops[0].pulls[0].readings
    assert {(r.what, r.doubtful) for r in readings} == {("rate", True), ("free height", True)}


def test_a_car_of_no_name_is_told_apart_but_not_planned_on(folder: Path, listed: Listed) -> None:
    found = yard(folder / "goal.yaml", listed("|||||E2|stripped\nHalden|Drover|1995|||A1|"))
    assert [u.row for u in found.untold] == ["E2"]
    assert pulls(found) == [("A1", "spring-tall")]


def test_cars_that_no_part_comes_off_are_named(folder: Path, listed: Listed) -> None:
    """A make nobody knows and a year no donor has; a part gone from its donor, or only a note, is something else."""
    cars = "Halden|Drover|1995|||A1|\nPellow|Skerry|1995|||A2|front-wheel drive\nHalden|Drover|2015|||A3|\n"
    found = yard(folder / "goal.yaml", listed(cars + "Corrick|Tramper|||||\n|||||E2|stripped"))
    assert [(u.row, u.car, u.notes) for u in found.unknown] == [
        ("A2", "Pellow Skerry 1995", "front-wheel drive"),
        ("A3", "Halden Drover 2015", ""),
    ]
    assert "- A2: Pellow Skerry 1995: front-wheel drive" in yard_text(found).splitlines()
    many = "\n".join(f"Pellow|Skerry|1995|||A{n}|" for n in range(1, 16))
    told = yard_text(yard(folder / "goal.yaml", listed(f"Halden|Drover|1995|||B1|\n{many}")))
    assert "- A12: Pellow Skerry 1995" in told and "- A13" not in told and "- and 3 more (--json has them)" in told


def test_nothing_to_pull_is_said(folder: Path, listed: Listed) -> None:
    goal = folder / "goal.yaml"
    goal.write_text(goal.read_text("utf-8").replace("15 mm to 70 mm", "-5 mm to 5 mm"), "utf-8")
    found = yard(goal, listed("Halden|Drover|1995|||A1|"))
    assert not found.stops and found.plan.builds[0].verdict == "fits"
    assert "Nothing has to be pulled" in yard_text(found)


def test_faults_of_goal_and_list_come_together(folder: Path, listed: Listed) -> None:
    goal = folder / "goal.yaml"
    goal.write_text(goal.read_text("utf-8").replace("bed_lift", "bed_lfit"), "utf-8")
    with pytest.raises(BadInput) as caught:
        yard(goal, listed("Halden|Drover|soon|||A1|"))
    assert {Path(f.file).name for f in caught.value.faults} == {"goal.yaml", "cars.csv"}


def test_the_document_is_read_back(folder: Path, listed: Listed) -> None:
    found = yard(folder / "goal.yaml", listed("Halden|Drover|1995|||A1|"), compare=True)
    assert YardDocument.model_validate_json(found.model_dump_json()) == found
    assert found.everything is not None


def twins(folder: Path) -> Path:
    """The trailer with a second pair of springs under the drawbar, of the kind it has already, and both to be tall."""
    layout = folder / "layout" / "trailer.yaml"
    text = layout.read_text("utf-8")
    spring = "  spring: {kind: trailer_spring, count: 2, where: [0, 0.5]}\n"
    assert spring in text
    layout.write_text(text.replace(spring, spring + spring.replace("  spring:", "  helper:")), "utf-8")
    car = folder / "vehicle.yaml"
    car.write_text(car.read_text("utf-8").replace("{spring: spring-old,", "{spring: spring-old, helper: spring-old,"))
    goal = folder / "goal.yaml"
    goal.write_text(goal.read_text("utf-8") + "use: {spring: spring-tall, helper: spring-tall}\n", "utf-8")
    return goal


def test_one_car_is_asked_whether_it_has_a_part_twice(folder: Path, listed: Listed) -> None:
    """Two springs at each of two places are four; a catalogue does not tell how many a car has."""
    found = yard(twins(folder), listed("Halden|Drover|1995|||A1|"))
    assert pulls(found) == [("A1", "spring-tall"), ("A1", "spring-tall")]
    assert found.plan.builds[0].verdict == "fits if checked"
    count = "4 of Tall spring (spring-tall) on it: it is wanted for more than one place"
    assert [pull.look for pull in found.stops[0].pulls] == [(count,), (count,)]
    assert [check.needs for check in found.plan.builds[0].checks] == [(f"{count} (A1)",)]


def test_two_cars_give_a_part_each(folder: Path, listed: Listed) -> None:
    rows = "Halden|Drover|1995|||A1|\nHalden|Drover|1996|||B1|\nHalden|Drover|1996|||C1|"
    found = yard(twins(folder), listed(rows))
    assert pulls(found) == [("A1", "spring-tall"), ("B1", "spring-tall")]
    assert found.plan.builds[0].verdict == "fits" and not any(p.look for s in found.stops for p in s.pulls)
