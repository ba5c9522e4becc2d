"""Reading a garage: all faults of all files at once, each with line and mend; inheritance, alterations, assemblies."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from knowledge.garage import Garage, read_goal
from shared.faults import BadInput, Fault
from shared.ranges import Range
from solver import check, demo_goal

TRAILER = Path(__file__).parents[2] / "data" / "trailer"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    target = tmp_path / "trailer"
    shutil.copytree(TRAILER, target)
    return target


def garage_with(folder: Path, entries: str) -> Garage:
    head = "format: swapwright catalogue\nversion: 1\nparts:\n"
    (folder / "more.yaml").write_text(head + entries)
    return read_goal(folder / "goal.yaml")[1]


def faults_with(folder: Path, entries: str) -> list[Fault]:
    with pytest.raises(BadInput) as caught:
        garage_with(folder, entries)
    return list(caught.value.faults)


@pytest.mark.parametrize(
    ("entry", "code", "mend"),
    [
        ("{id: A1, name: x, kind: trailer_spring}", "bad-id", ""),
        ("{id: spring-old, name: x, kind: trailer_spring}", "duplicate-id", "catalogue.yaml"),
        ("{id: x1, name: x, kind: trailer_sprig}", "unknown-kind", "trailer_spring"),
        ("{id: x1, kind: trailer_spring}", "missing-key", ""),
        ("{id: x1, name: x, kind: trailer_spring, colour: red}", "unknown-key", ""),
        ("{id: x1, name: x, kind: trailer_spring, properties: {rat: 20 N/mm}}", "unknown-attribute", "rate"),
        ("{id: x1, name: x, kind: trailer_spring, properties: {rate: 20}}", "bad-value", "20 N/mm"),
        ("{id: x1, name: x, kind: trailer_spring, properties: {free_height: 20 kg}}", "bad-value", ""),
        ("{id: x1, name: x, kind: trailer_spring, properties: {free_height: nan mm}}", "bad-value", ""),
        ("{id: x1, name: x, kind: trailer_spring, properties: {free_height: -240 mm}}", "bad-value", '"240 mm"'),
        ("{id: x1, name: x, kind: trailer_spring, properties: {free_height: 240 m}}", "bad-value", '"240 mm"'),
        (
            "{id: x1, name: x, kind: trailer_spring, properties: {free_height: -5 mm +/- 6 mm}}",
            "bad-value",
            "sign",
        ),
        ("{id: x1, name: x, kind: trailer_axle, properties: {rating: -800 kg}}", "bad-value", '"800 kg"'),
        ('{id: x1, name: x, kind: trailer_hub, ports: {studs: {lugs: "0"}}}', "bad-value", "number"),
        ("{id: x1, name: x, kind: trailer_spring, properties: {free_height: 20 to 10 mm}}", "bad-value", ""),
        ("{id: x1, name: x, kind: trailer_spring, ports: {axel: {spacing: 1 m}}}", "unknown-port", "axle"),
        ("{id: x1, name: x, kind: trailer_spring, fits: [wheel]}", "wrong-place", ""),
        ("{id: x1, name: x, kind: trailer_spring, like: nothing-there}", "unknown-part", ""),
        ("{id: x1, name: x, kind: trailer_spring, like: x1}", "cycle", ""),
        ("{id: x1, name: x, kind: trailer_axle, brings: {hub: x2}}", "unknown-part", ""),
        ("{id: x1, name: x, kind: trailer_axle, brings: {hub: wheel-old}}", "wrong-place", ""),
        (
            "{id: x1, name: x, kind: trailer_spring, donors: [{make: A, model: B, years: 1995-1990}]}",
            "bad-years",
            "1990-1995",
        ),
        (
            "{id: x1, name: x, kind: trailer_spring, donors: [{make: A, model: B, years: 96-99}]}",
            "bad-years",
            "1996-1999",
        ),
        (
            "{id: x1, name: x, kind: trailer_spring, donors: [{make: A, model: B, years: 199x}]}",
            "bad-years",
            "1990-1999",
        ),
        ("{id: x1, name: x, kind: trailer_spring, donors: {make: A, model: B}}", "shape", "hyphen"),
        ("{id: x1, name: Spring, tall, kind: trailer_spring}", "unknown-key", "double quotes"),
        ("{id: x1, name: Spring, nam, kind: trailer_spring}", "unknown-key", "'name'"),
        ("{id: x1, name: x, kind: trailer_spring, evidence: hearsay}", "unknown-word", ""),
        ('{id: x1, name: x, kind: trailer_spring, price: "-15"}', "bad-value", ""),
        ('{id: x1, name: x, kind: trailer_spring, price: "15", core: "-5 to 5"}', "bad-value", ""),
        ("{id: x1, name: x, kind: trailer_spring, hours: -1 h}", "bad-value", ""),
    ],
)
def test_each_fault_has_its_code_line_and_mend(folder: Path, entry: str, code: str, mend: str) -> None:
    faults = faults_with(folder, f"  - {entry}\n")
    assert code in [f.code for f in faults]
    fault = next(f for f in faults if f.code == code)
    assert Path(fault.file).name == "more.yaml"
    assert fault.line == 4
    assert mend in fault.mend
    assert fault.expected


def test_all_faults_of_all_files_at_once(folder: Path) -> None:
    (folder / "vehicle.yaml").write_text((TRAILER / "vehicle.yaml").read_text().replace("2 kN", "2 kg"))
    faults = faults_with(
        folder,
        "  - {id: x1, name: x, kind: trailer_spring, properties: {rate: 20}}\n"
        "  - {id: x2, name: x, kind: trailer_spring, properties: {rate: 20 mm, free_height: 1}}\n",
    )
    assert [(Path(f.file).name, f.line) for f in faults if f.code == "bad-value"] == [
        ("more.yaml", 4),
        ("more.yaml", 5),
        ("more.yaml", 5),
        ("vehicle.yaml", 5),
    ]


def test_the_same_words_are_told_wherever_they_are_wrong(folder: Path) -> None:
    wrong = "kind: trailer_spring, properties: {rate: 20 mm}, ports: {axle: {spacing: wide}}"
    faults = faults_with(folder, f"  - {{id: x1, name: x, {wrong}}}\n  - {{id: x2, name: x, {wrong}}}\n")
    assert {(f.line, f.code) for f in faults if f.line == 4} == {(4, f.code) for f in faults if f.line == 5}
    assert [f.line for f in faults if "20 mm" in f.found] == [4, 5]


def test_the_same_words_of_other_things_mean_what_they_mean_there(folder: Path) -> None:
    garage = garage_with(
        folder,
        "  - {id: x1, name: x, kind: trailer_spring, evidence: measured, properties: {rate: 25 N/mm}}\n"
        "  - {id: x2, name: x, kind: trailer_spring, evidence: guessed, properties: {rate: 25 N/mm}}\n"
        "  - {id: x3, name: x, kind: trailer_spring, properties: {rate: {value: 25 N/mm, note: by eye}}}\n",
    )
    found = [garage.parts[name].properties["rate"] for name in ("x1", "x2", "x3")]
    assert {v.value for v in found} == {Range(25e3, 25e3)}
    assert [v.evidence.word for v in found] == ["measured", "guessed", "claimed"]
    assert [v.note for v in found] == ["", "", "by eye"]


def test_like_takes_what_is_not_said(folder: Path) -> None:
    garage = garage_with(
        folder, "  - {id: x1, name: X, kind: trailer_spring, like: spring-tall, properties: {rate: 25 N/mm}}\n"
    )
    part = garage.parts["x1"]
    assert part.properties["rate"].value == Range(25e3, 25e3)
    assert part.properties["free_height"].value == garage.parts["spring-tall"].properties["free_height"].value
    assert part.name == "X"


def test_alterations_make_every_variant(folder: Path) -> None:
    garage = garage_with(
        folder,
        "  - id: x1\n    name: X\n    kind: trailer_axle\n    price: '10'\n    alterations:\n"
        "      cut: {name: perches moved, price: '5', hours: 2 h, skill: 3, caution: weld in stages, ports: {spring: {spacing: 1100 mm}}}\n"
        "      turn: {name: journal turned, hours: 1 h, ports: {spindle: {journal: 24.9 mm}}}\n",
    )
    assert [k for k in garage.parts if k.startswith("x1")] == ["x1", "x1+cut", "x1+cut+turn", "x1+turn"]
    both = garage.parts["x1+cut+turn"]
    assert both.price == Range(15, 15)
    assert both.hours == Range(3 * 3600, 3 * 3600)
    assert both.skill == 3 and both.base == "x1" and both.cautions == ("weld in stages",)


def test_what_an_assembly_brings_is_a_candidate_of_its_own(folder: Path) -> None:
    garage = read_goal(folder / "goal.yaml")[1]
    part = garage.parts["hub-big@axle-big"]
    assert part.host == "axle-big" and part.price == Range(0, 0) and part.positions == ("hub",)


def test_the_order_of_files_does_not_matter(folder: Path) -> None:
    before = list(read_goal(folder / "goal.yaml")[1].parts)
    (folder / "catalogue.yaml").rename(folder / "zzz.yaml")
    assert list(read_goal(folder / "goal.yaml")[1].parts) == before


def test_a_goal_names_its_faults_too(folder: Path) -> None:
    (folder / "goal.yaml").write_text(
        "format: swapwright goal\nversion: 1\nname: x\nwant: {lft: 3 mm, lift: about 3 mm}\nkeep: [axel]\n"
        "avoid: [spring-ol]\ntrust: sure\nprefer: [{most: lift, worth: 3 per mm}]\n"
    )
    with pytest.raises(BadInput) as caught:
        read_goal(folder / "goal.yaml")
    assert {(f.line, f.code) for f in caught.value.faults} == {
        (4, "unknown-quantity"),
        (4, "bad-value"),
        (5, "unknown-position"),
        (6, "unknown-part"),
        (7, "unknown-word"),
        (8, "missing-key"),
    }


def test_altering_what_is_on_the_car_costs_the_alteration_only(folder: Path) -> None:
    """Two alterations of the old spring, 15 + 4 and 1 h + 30 min; of a bought one, its price on top."""
    text = (folder / "catalogue.yaml").read_text()
    altered = "alterations: {a: {name: a, price: '15', hours: 1 h}, b: {name: b, price: '4 to 6', hours: 30 min}}"
    for name in ("spring-old", "spring-tall"):
        text = text.replace(f"{{id: {name},", f"{{id: {name}, hours: 20 min, {altered},")
    (folder / "catalogue.yaml").write_text(
        text.replace("id: spring-old,", "id: spring-old, donors: [{make: A, model: B}],")
    )
    parts = read_goal(folder / "goal.yaml")[1].parts
    own, bought = parts["spring-old+a+b"], parts["spring-tall+a+b"]
    assert (own.price, own.hours, own.own, own.donors) == (Range(19, 21), Range(5400, 5400), True, ())
    assert (bought.price, bought.hours, bought.own) == (Range(59, 61), Range(6600, 6600), False)
    assert parts["spring-old"].price is None


def test_a_wrong_kind_hides_no_other_fault(tmp_path: Path) -> None:
    """All faults of a part at once: its kind, how it is known, its price, and a key nobody knows."""
    folder = shutil.copytree(Path(__file__).parents[2] / "data" / "trailer", tmp_path / "trailer")
    file = folder / "catalogue.yaml"
    bad = '  - {id: odd, name: Odd, kind: trailer_sprng, evidence: marketd, price: "12 apples", colour: red}\n'
    file.write_text(file.read_text() + bad)
    with pytest.raises(BadInput) as caught:
        read_goal(folder / "goal.yaml")
    assert {f.code for f in caught.value.faults} == {"unknown-kind", "unknown-word", "bad-value", "unknown-key"}
    assert len({f.line for f in caught.value.faults}) == 1


def test_a_wrong_key_of_a_goal_hides_no_other_fault(tmp_path: Path) -> None:
    folder = shutil.copytree(Path(__file__).parents[2] / "data" / "trailer", tmp_path / "trailer")
    text = (folder / "goal.yaml").read_text().replace("15 mm to 70 mm", "15 apples")
    (folder / "goal.yaml").write_text(text + "prefer: [{least: hours, worht: 3}]\n")
    with pytest.raises(BadInput) as caught:
        read_goal(folder / "goal.yaml")
    assert {f.code for f in caught.value.faults} >= {"unknown-key", "bad-value"}


SIZES = [
    ("kind: coil, properties: {wire: -13.6 mm}", '"13.6 mm"'),
    ("kind: coil, properties: {wire: 13.6 m}", '"13.6 mm"'),
    ("kind: coil, properties: {free_length: 480 m}", '"480 mm"'),
    ("kind: coil, properties: {wire: {value: 0 mm, evidence: marked}}", "the number"),
    ('kind: coil, properties: {active_coils: "-9"}', '"9"'),
    ("kind: coil, alterations: {cut: {name: cut, properties: {free_length: -380 mm}}}", '"380 mm"'),
    ("kind: wheel, properties: {mass: -9 kg}", '"9 kg"'),
    ("kind: wheel, ports: {face: {bolt_circle: -5.5 in}}", '"5.5 in"'),
    ("kind: leaf, properties: {rate: -20 N/mm}", '"20 N/mm"'),
    ("kind: leaf_block, properties: {height: 0 mm}", "the number"),
    ("kind: propshaft, properties: {joint_bind_angle: 260 deg}", "the number"),
    ("kind: transfer_drop, properties: {drop: -20 mm}", '"20 mm"'),
]
GOOD = [
    "kind: wheel, properties: {offset: -19 mm}",
    "kind: leaf, properties: {free_arch: -20 mm, claimed_lift: -25 mm}",
    "kind: pitman_arm, properties: {drop: -10 mm}",
    "kind: wedge, properties: {angle: -2 deg}",
    "kind: rear_axle, properties: {pinion_height: -30 mm, perch_angle: -2 deg}",
    "kind: rear_axle, ports: {place: {pinion_offset: -50 mm}}",
    "kind: track_bar, properties: {bracket_drop: 0 mm}",
    "kind: brake_booster, properties: {second_diaphragm: 0 mm}",
    "kind: rear_brake, properties: {threshold: 0 bar, running_clearance: 0 mm}",
    "kind: tyre, properties: {size: 215/75R15, tread: 0 mm}",
]


@pytest.fixture
def car(tmp_path: Path) -> Path:
    """A folder with the demo's car and parts."""
    return Path(shutil.copytree(demo_goal("trail").parent, tmp_path / "car"))


def sized(car: Path, entries: list[str]) -> None:
    """Read the demo's goal with further parts, their one line each from line 4 on."""
    head = "format: swapwright catalogue\nversion: 1\nparts:\n"
    lines = "".join(f"  - {{id: x{i}, name: x, {entry}}}\n" for i, entry in enumerate(entries))
    (car / "catalogue" / "more.yaml").write_text(head + lines)
    read_goal(car / "goal-trail.yaml")


def test_sizes_that_no_part_can_have_are_faults(car: Path) -> None:
    with pytest.raises(BadInput) as caught:
        sized(car, [entry for entry, _ in SIZES])
    faults = {f.line: f for f in caught.value.faults}
    assert len(caught.value.faults) == len(SIZES)
    for line, (entry, mend) in enumerate(SIZES, 4):
        assert (Path(faults[line].file).name, faults[line].code) == ("more.yaml", "bad-value"), entry
        assert mend in faults[line].mend and " from " in faults[line].expected, entry


def test_what_may_be_nothing_or_point_both_ways_may(car: Path) -> None:
    sized(car, GOOD)


def test_an_uncertainty_ends_where_sizes_end(folder: Path) -> None:
    """5 mm, known to 6 mm: more than nothing and up to 11 mm."""
    garage = garage_with(folder, "  - {id: x1, name: x, kind: trailer_spring, properties: {free_height: 5 +/- 6 mm}}\n")
    assert garage.parts["x1"].properties["free_height"].value == Range(0.00001, 0.011)


def test_a_car_has_no_negative_sizes_either(car: Path) -> None:
    text = (car / "vehicle.yaml").read_text()
    assert "wheelbase: 2560 mm" in text and "kerb_front: 781 kg" in text
    bad = text.replace("wheelbase: 2560 mm", "wheelbase: -2560 mm").replace("kerb_front: 781 kg", "kerb_front: -781 kg")
    (car / "vehicle.yaml").write_text(bad)
    with pytest.raises(BadInput) as caught:
        read_goal(car / "goal-trail.yaml")
    lines = bad.splitlines()
    assert sorted(lines[f.line - 1].split(":")[0].strip() for f in caught.value.faults) == ["kerb_front", "wheelbase"]


def test_a_layout_may_set_its_own_ranges(folder: Path) -> None:
    file = folder / "layout" / "trailer.yaml"
    text = file.read_text()
    file.write_text(
        text.replace("free_height: {measure: length}", "free_height: {measure: length, valid: 1 mm to 20 m}")
    )
    garage_with(folder, "  - {id: x1, name: x, kind: trailer_spring, properties: {free_height: 12 m}}\n")
    file.write_text(
        text.replace("free_height: {measure: length}", "free_height: {measure: length, valid: positive}").replace(
            "thread: {measure: word,", "thread: {measure: word, valid: 1 to 2,"
        )
    )
    with pytest.raises(BadInput) as caught:
        read_goal(folder / "goal.yaml")
    assert {f.code for f in caught.value.faults} == {"bad-value", "unknown-key"}


def told(folder: Path, entries: str) -> list[tuple[str, int, str]]:
    return [(Path(f.file).name, f.line, f.code) for f in faults_with(folder, entries)]


def test_being_like_nothing_hides_no_other_fault_and_makes_none(folder: Path) -> None:
    """The kind, the name and more may come from the other part, so that they are not missing here."""
    entry = "price: abc, donors: [{make: A, model: B, years: 1995-1990}], colour: red"
    for like in ("nothing", "x1", "[x1]"):
        found = told(folder, f"  - {{id: x1, like: {like}, {entry}}}\n")
        of_like = {"nothing": "unknown-part", "x1": "cycle", "[x1]": "shape"}[like]
        assert sorted(found) == sorted(
            ("more.yaml", 4, code) for code in ("bad-value", "bad-years", "unknown-key", of_like)
        )


def test_a_wrong_kind_hides_no_donor_s_fault(folder: Path) -> None:
    found = told(folder, "  - {id: x1, name: x, kind: sprung, donors: [{make: A, model: B, years: 1995-1990}]}\n")
    assert found == [("more.yaml", 4, "bad-years"), ("more.yaml", 4, "unknown-kind")]


def test_a_fault_is_told_where_it_stands_and_not_where_it_is_taken_over(folder: Path) -> None:
    bad = "properties: {rate: 20}"
    found = told(
        folder,
        f"  - {{id: b, name: x, kind: trailer_spring, {bad}}}\n"
        "  - {id: a, name: x, like: b}\n"
        f"  - {{id: c, name: x, like: a, {bad}}}\n",
    )
    assert found == [("more.yaml", 4, "bad-value"), ("more.yaml", 6, "bad-value")]


def test_a_fault_taken_over_is_not_remembered_as_right(folder: Path) -> None:
    """The words of ``b`` are not told again at ``b1``, but where a part says them itself they are."""
    bad = "kind: trailer_spring, properties: {free_height: -240 mm}"
    found = told(
        folder,
        f"  - {{id: b, name: x, {bad}}}\n  - {{id: b1, name: x, like: b}}\n  - {{id: c, name: x, {bad}}}\n",
    )
    assert found == [("more.yaml", 4, "bad-value"), ("more.yaml", 6, "bad-value")]


@pytest.mark.parametrize("file", ["more.yaml", "aaa.yaml"])
def test_an_id_used_twice_is_told_once_with_the_faults_of_both(folder: Path, file: str) -> None:
    """Whichever is read first, the car that carries the part is not blamed."""
    entry = "  - {id: spring-old, name: x, kind: trailer_wheel, properties: {radius: 1}}\n"
    (folder / file).write_text("format: swapwright catalogue\nversion: 1\nparts:\n" + entry)
    with pytest.raises(BadInput) as caught:
        read_goal(folder / "goal.yaml")
    assert [(f.code, Path(f.file).name) for f in caught.value.faults if f.code == "bad-value"] == [("bad-value", file)]
    assert sorted(f.code for f in caught.value.faults) == ["bad-value", "duplicate-id"]


@pytest.mark.parametrize(("name", "code"), [("spring-old", "duplicate-id"), ("Spring Older", "bad-id")])
def test_an_id_that_is_none_hides_no_wrong_like(folder: Path, name: str, code: str) -> None:
    entry = f"  - {{id: {name}, name: x, kind: trailer_spring, like: spring-odl, price: abc}}\n"
    found = {f.code: f for f in faults_with(folder, entry)}
    assert sorted(found) == sorted([code, "unknown-part", "bad-value"])
    assert found["unknown-part"].mend == "did you mean 'spring-old'?"


def test_the_second_of_two_may_be_like_the_first(folder: Path) -> None:
    """Both are called the same, but neither is like itself."""
    assert told(folder, "  - {id: spring-old, name: x, kind: trailer_spring, like: spring-old}\n") == [
        ("more.yaml", 4, "duplicate-id")
    ]


def test_a_part_that_cannot_be_made_is_told_once(folder: Path) -> None:
    text = (folder / "catalogue.yaml").read_text()
    (folder / "catalogue.yaml").write_text(
        text.replace("name: Old spring, kind: trailer_spring", "kind: trailer_sprng")
    )
    with pytest.raises(BadInput) as caught:
        read_goal(folder / "goal.yaml")
    assert {(Path(f.file).name, f.line) for f in caught.value.faults} == {("catalogue.yaml", 4)}


def test_a_catalogue_that_cannot_be_read_makes_no_part_unknown(folder: Path) -> None:
    (folder / "catalogue.yaml").write_text("parts: [a\n")
    (folder / "goal.yaml").write_text((folder / "goal.yaml").read_text() + "keep: [sprung]\n")
    with pytest.raises(BadInput) as caught:
        read_goal(folder / "goal.yaml")
    assert {f.code for f in caught.value.faults} == {"not-yaml", "unknown-position"}


def test_a_car_that_is_not_there_is_told_with_the_goal_s_line(folder: Path) -> None:
    text = (folder / "goal.yaml").read_text()
    (folder / "goal.yaml").write_text(text + "vehicle: vehicel.yaml\n")
    with pytest.raises(BadInput) as caught:
        read_goal(folder / "goal.yaml")
    [fault] = caught.value.faults
    assert (fault.file, fault.line, fault.code) == (str(folder / "goal.yaml"), 5, "not-a-file")
    assert "vehicel.yaml" in fault.found and "vehicle.yaml" in fault.mend


def test_a_decimal_comma_is_one_fault(folder: Path) -> None:
    [fault] = faults_with(folder, "  - {id: x1, name: x, kind: trailer_spring, properties: {free_height: 13,6 mm}}\n")
    assert fault.found == '"13,6 mm"' and '"13.6 mm"' in fault.mend


def test_yml_is_read_the_same_as_yaml(folder: Path) -> None:
    """The layout, the parts, the car and the goal; the car by the name it has where the goal says none."""
    before = read_goal(folder / "goal.yaml")
    for file in [*folder.rglob("*.yaml")]:
        file.rename(file.with_suffix(".yml"))
    assert not [*folder.rglob("*.yaml")]
    goal, garage = read_goal(folder / "goal.yml")
    assert goal == replace(before[0], place=goal.place)
    assert list(garage.parts) == list(before[1].parts) and garage.vehicle.fitted == before[1].vehicle.fitted
    assert check([folder]).goals == (goal.name,)


def test_a_fault_in_a_yml_file_is_told(folder: Path) -> None:
    (folder / "MORE.YML").write_text("format: swapwright catalogue\nversion: 1\nparts: [{id: x, name: x, kind: y}]\n")
    with pytest.raises(BadInput) as caught:
        read_goal(folder / "goal.yaml")
    assert [(Path(f.file).name, f.line, f.code) for f in caught.value.faults] == [("MORE.YML", 3, "unknown-kind")]


@pytest.mark.parametrize("size", ["225 75 fifteen", "about 31 inches", "195R14"])
def test_a_tyre_s_size_that_is_none_is_a_fault(car: Path, size: str) -> None:
    (car / "catalogue" / "mine.yaml").write_text(
        "format: swapwright catalogue\nversion: 1\nparts:\n"
        f"  - {{id: tyre-mine, name: Mine, kind: tyre, like: stock-tyre,\n    properties: {{size: {size}}}}}\n"
    )
    with pytest.raises(BadInput) as caught:
        read_goal(car / "goal-trail.yaml")
    [fault] = caught.value.faults
    assert (fault.line, fault.found, fault.expected) == (5, f'"{size}"', "a tyre code")
    assert "as in 195/80R15" in fault.mend or "235/75R15" in fault.mend


def test_spellings_of_a_thread_are_one_value_and_told_as_written(car: Path) -> None:
    (car / "catalogue" / "mine.yaml").write_text(
        "format: swapwright catalogue\nversion: 1\nparts:\n"
        "  - {id: hose-mine, name: Mine, kind: brake_hose, like: stock-front-hose, fits: [front_hose],"
        ' ports: {line_end: {thread: "M10 × 1"}}}\n'
    )
    parts = read_goal(car / "goal-trail.yaml")[1].parts
    mine, stock = (parts[name].attribute("line_end.thread") for name in ("hose-mine", "stock-front-hose"))
    assert (mine.value, mine.text) == (stock.value, "M10 × 1")
    assert stock.text == "M10x1.0"
