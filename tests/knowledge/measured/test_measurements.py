"""Readings of certain pieces: what is in force, what is a fault, and how readings and catalogue make one value."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from knowledge.garage import Garage, read_goal
from knowledge.measured.measurements import FILE, keep, lines_of
from knowledge.measured.readings import contradictions, settle
from shared.evidence import UNKNOWN, Evidence, Value
from shared.faults import BadInput
from shared.ranges import Range

TRAILER = Path(__file__).parents[2] / "data" / "trailer"
AT = "2026-03-07"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    shutil.copytree(TRAILER, tmp_path / "t")
    return tmp_path / "t"


def reading(folder: Path, part: str, attribute: str, value: str, **more: Any) -> int:
    return keep(folder / FILE, {"at": AT, "part": part, "attribute": attribute, "value": value, **more})


def garage_of(folder: Path) -> Garage:
    return read_goal(folder / "goal.yaml")[1]


def span(garage: Garage, part: str, path: str) -> tuple[float, float]:
    """A value in millimetres."""
    value = garage.parts[part].attribute(path).value
    assert isinstance(value, Range)
    return round(value.lo * 1000, 6), round(value.hi * 1000, 6)


# -- two statements made one; the expected values by hand

E = Evidence


def mm(lo: float, hi: float, evidence: Evidence) -> Value:
    return Value(Range(lo, hi), f"{lo} to {hi}", evidence)


@pytest.mark.parametrize(
    ("stated", "read", "value", "evidence", "outcome"),
    [
        (UNKNOWN, mm(13, 14, E.MEASURED), (13, 14), E.MEASURED, "fills"),
        (mm(13.6, 13.6, E.PUBLISHED), mm(13.4, 13.7, E.MEASURED), (13.6, 13.6), E.MEASURED, "confirms"),
        (mm(13, 14, E.MARKED), mm(13.4, 13.7, E.MEASURED), (13.4, 13.7), E.MEASURED, "confirms"),
        (mm(13, 13.5, E.MARKED), mm(13.4, 13.7, E.MEASURED), (13.4, 13.7), E.MEASURED, "replaces"),
        (mm(13.6, 13.6, E.CLAIMED), mm(13.4, 13.7, E.MEASURED), (13.4, 13.7), E.MEASURED, "replaces"),
        (mm(13.6, 13.6, E.MARKED), mm(14, 14.2, E.MEASURED), (14, 14.2), E.MEASURED, "contradicts and wins"),
        (mm(13.6, 13.6, E.MEASURED), mm(14, 14.2, E.MEASURED), (14, 14.2), E.MEASURED, "contradicts and wins"),
        (mm(13.6, 13.6, E.PUBLISHED), mm(14, 14.2, E.GUESSED), (13.6, 13.6), E.PUBLISHED, "contradicts and loses"),
        (mm(13.6, 13.6, E.PUBLISHED), mm(13, 14.2, E.GUESSED), (13.6, 13.6), E.PUBLISHED, "is outweighed"),
    ],
)
def test_settling(stated: Value, read: Value, value: tuple[float, float], evidence: Evidence, outcome: str) -> None:
    found, how = settle(stated, read)
    assert (found.value, found.evidence, how) == (Range(*value), evidence, outcome)


def test_words_settle_too() -> None:
    stated = Value("pigtail", "pigtail", E.PUBLISHED)
    assert settle(stated, Value("tangent", "tangent", E.MEASURED))[1] == "contradicts and wins"
    assert settle(stated, Value("Pigtail", "Pigtail", E.MEASURED))[1] == "confirms"


# -- the tool's tolerance


def test_a_reading_is_as_wide_as_its_tool(folder: Path) -> None:
    reading(folder, "spring-wide", "free_height", "230 mm", how="tape", tolerance="1 mm")
    reading(folder, "spring-tall", "free_height", "9 1/16 in +/- 1/16 in", tolerance="5 mm")
    garage = garage_of(folder)
    assert span(garage, "spring-wide", "free_height") == (229, 231)
    assert span(garage, "spring-tall", "free_height") == (228.6, 231.775)  # 9 in and 9 1/8 in
    assert garage.measured.book.readings[1].value.text == "9 1/16 in +/- 1/16 in"


def test_two_pieces_are_spanned(folder: Path) -> None:
    """Left contradicts the catalogue's 240 mm, right confirms it: the pair is from the one to the other."""
    reading(folder, "spring-tall", "free_height", "232 mm", piece="left", tolerance="1 mm")
    reading(folder, "spring-tall", "free_height", "240 mm", piece="right", tolerance="1 mm")
    garage = garage_of(folder)
    assert span(garage, "spring-tall", "free_height") == (231, 240)
    outcomes = garage.measured.settled["spring-tall", "free_height"].outcomes
    assert outcomes == {"left": "contradicts and wins", "right": "confirms"}
    faults = contradictions(garage.measured, garage.layout)
    assert [(f.line, f.code) for f in faults] == [(1, "contradiction")]
    assert "240 mm" in faults[0].expected and "catalogue.yaml:5" in faults[0].expected and "232 mm" in faults[0].found


def test_correcting_withdrawing_and_putting_aside(folder: Path) -> None:
    first = reading(folder, "spring-tall", "free_height", "232 mm", piece="left")
    reading(folder, "spring-tall", "free_height", "236 mm", piece="left", replaces=first)
    assert span(garage_of(folder), "spring-tall", "free_height") == (236, 236)
    keep(folder / FILE, {"at": AT, "withdraws": 2})  # as if it had never been: line 1 counts again
    assert span(garage_of(folder), "spring-tall", "free_height") == (232, 232)
    keep(folder / FILE, {"at": AT, "withdraws": 1})
    assert span(garage_of(folder), "spring-tall", "free_height") == (240, 240)
    reading(folder, "spring-tall", "free_height", "230 mm", piece="left")
    keep(folder / FILE, {"at": AT, "part": "spring-tall", "piece": "left", "aside": True})
    assert span(garage_of(folder), "spring-tall", "free_height") == (240, 240)
    assert garage_of(folder).measured.book.aside == (("spring-tall", "left"),)
    assert len((folder / FILE).read_text().splitlines()) == 6


def test_two_readings_of_one_piece_that_exclude_one_another(folder: Path) -> None:
    reading(folder, "spring-tall", "free_height", "232 mm", tolerance="1 mm")
    reading(folder, "spring-tall", "free_height", "239 mm", tolerance="1 mm")
    garage = garage_of(folder)
    assert span(garage, "spring-tall", "free_height") == (240, 240)  # the later confirms the catalogue
    assert any("line 1" in f.found and "232" in f.found for f in contradictions(garage.measured, garage.layout))


def test_a_guess_does_not_displace_a_reading(folder: Path) -> None:
    reading(folder, "spring-tall", "free_height", "232 mm", tolerance="1 mm")
    reading(folder, "spring-tall", "free_height", "200 mm", how="guess", tolerance="20 mm", evidence="guessed")
    assert span(garage_of(folder), "spring-tall", "free_height") == (231, 233)


def test_an_alteration_keeps_what_it_leaves_alone(folder: Path) -> None:
    more = (
        "format: swapwright catalogue\nversion: 1\nparts:\n"
        "  - id: spring-mended\n    name: Mended\n    kind: trailer_spring\n    price: '5'\n"
        "    properties: {rate: 20 N/mm, free_height: 240 mm}\n    ports: {axle: {spacing: 1000 mm}}\n"
        "    alterations: {re-arch: {name: re-arched, properties: {free_height: 260 mm}}}\n"
    )
    (folder / "more.yaml").write_text(more)
    reading(folder, "spring-mended", "free_height", "231 mm")
    reading(folder, "spring-mended", "rate", "22 N/mm")
    garage = garage_of(folder)
    altered = garage.parts["spring-mended+re-arch"]
    assert span(garage, "spring-mended", "free_height") == (231, 231)
    assert span(garage, "spring-mended+re-arch", "free_height") == (260, 260)
    assert altered.attribute("rate").value == Range(22_000, 22_000)
    assert altered.attribute("rate").evidence is Evidence.MEASURED


def test_what_comes_with_an_assembly_is_another_piece(folder: Path) -> None:
    reading(folder, "hub-big", "studs.circle", "120 mm")
    garage = garage_of(folder)
    assert span(garage, "hub-big", "studs.circle") == (120, 120)
    assert span(garage, "hub-big@axle-big", "studs.circle") == (114.3, 114.3)


def test_the_car_itself_can_be_measured(folder: Path) -> None:
    reading(folder, "vehicle", "load", "2.2 kN", tolerance="50 N")
    assert garage_of(folder).vehicle.attribute("load").value == Range(2150, 2250)


# -- what is wrong with a file


BAD: list[tuple[dict[str, Any], str, str]] = [
    ({"value": "232"}, "bad-value", "232 mm"),
    ({"value": "232 kg"}, "bad-value", "mass"),
    ({"value": "-232 mm"}, "bad-value", "232 mm"),
    ({"value": "unknown"}, "bad-value", "a reading of"),
    ({"attribute": "free_hight"}, "unknown-attribute", "free_height"),
    ({"at": "yesterday"}, "bad-value", "2026-03-07"),
    ({"tolerance": "-1 mm"}, "bad-value", "0 or more"),
    ({"evidence": "sworn"}, "unknown-word", "how it is known"),
    ({"colour": "red"}, "unknown-key", "colour"),
    ({"value": 232}, "shape", "one text"),
    ({"measurement": 2}, "unknown-word", "1"),
    ({"replaces": 70}, "bad-value", "earlier line"),
    ({"aside": True}, "shape", "one of"),
]


def test_faults_have_line_found_expected_mend(folder: Path) -> None:
    good = {"measurement": 1, "at": AT, "part": "spring-tall", "attribute": "free_height", "value": "232 mm"}
    (folder / FILE).write_text("".join(json.dumps({**good, **bad}) + "\n" for bad, _, _ in BAD))
    with pytest.raises(BadInput) as caught:
        garage_of(folder)
    assert [(Path(f.file).name, f.line, f.code) for f in caught.value.faults] == [
        (FILE, line, code) for line, (_, code, _) in enumerate(BAD, 1)
    ]
    for fault, (_, _, says) in zip(caught.value.faults, BAD, strict=True):
        assert says in f"{fault.found} {fault.expected} {fault.mend}"


def test_faults_of_all_files_come_together(folder: Path) -> None:
    (folder / FILE).write_text("not a record\n[1]\n\xff\n", encoding="latin-1")  # the last is no UTF-8
    (folder / "goal.yaml").write_text((folder / "goal.yaml").read_text() + "keep: [sprung]\n")
    with pytest.raises(BadInput) as caught:
        garage_of(folder)
    found = [(Path(f.file).name, f.line, f.code) for f in caught.value.faults]
    assert found == [
        ("goal.yaml", 5, "unknown-position"),
        (FILE, 1, "not-json"),
        (FILE, 2, "shape"),
        (FILE, 3, "not-json"),
    ]


def test_a_line_never_finished_is_told_and_harms_nothing(folder: Path) -> None:
    reading(folder, "spring-tall", "free_height", "232 mm")
    path = folder / FILE
    path.write_bytes(path.read_bytes() + b'{"measurement": 1, "at": "2026-03-')
    garage = garage_of(folder)
    assert [(f.line, f.code) for f in garage.measured.book.remarks] == [(2, "unfinished")]
    reading(folder, "spring-tall", "rate", "21 N/mm")
    path.write_bytes(path.read_bytes() + b"\0\0\0\0")
    garage = garage_of(folder)
    assert [f.line for f in garage.measured.book.remarks] == [2, 4]
    assert [r.line for r in garage.measured.book.readings] == [1, 3]


def test_a_record_broken_by_hand_is_no_torn_line(folder: Path) -> None:
    """It ends as a record does, so it was whole once: somebody has to mend it."""
    (folder / FILE).write_text('{"measurement": 1, "at": 2026-03-07, "part": "spring-tall"}\n')
    with pytest.raises(BadInput, match="one record a line"):
        garage_of(folder)


def test_taking_back_can_be_taken_back(folder: Path) -> None:
    reading(folder, "spring-tall", "free_height", "232 mm", piece="left")
    keep(folder / FILE, {"at": AT, "part": "spring-tall", "piece": "left", "aside": True})
    assert span(garage_of(folder), "spring-tall", "free_height") == (240, 240)
    keep(folder / FILE, {"at": AT, "withdraws": 2})
    assert span(garage_of(folder), "spring-tall", "free_height") == (232, 232)
    reading(folder, "spring-tall", "free_height", "236 mm", piece="left", replaces=1)
    keep(folder / FILE, {"at": AT, "withdraws": 4})
    assert span(garage_of(folder), "spring-tall", "free_height") == (232, 232)


def test_what_was_taken_back_is_no_fault_any_more(folder: Path) -> None:
    (folder / FILE).write_text("spoiled\n")
    reading(folder, "spring-tall", "free_hight", "232 mm")
    with pytest.raises(BadInput) as caught:
        garage_of(folder)
    assert [f.mend.rpartition("swapwright ")[2] for f in caught.value.faults] == [
        "measure --withdraw 1",
        "measure --withdraw 2",
    ]
    keep(folder / FILE, {"at": AT, "withdraws": 1})
    keep(folder / FILE, {"at": AT, "withdraws": 2})
    assert lines_of(folder / FILE) == (3, 4)
    assert not garage_of(folder).measured.book.readings


def test_a_part_of_another_catalogue_is_passed_over(folder: Path) -> None:
    reading(folder, "spring-lost", "free_height", "232 mm")
    garage = garage_of(folder)
    assert [(f.line, f.code) for f in garage.measured.book.remarks] == [(1, "unknown-part")]
    assert not garage.measured.book.readings
