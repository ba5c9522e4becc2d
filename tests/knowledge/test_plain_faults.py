"""One slip is one fault, in plain words: catalogues that are not there, parts of the wrong kind, odd values."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from knowledge.files.documents import Faults, parse, read
from knowledge.garage import read_goal
from shared.faults import BadInput, Fault
from solver import check, demo_goal

TRAILER = Path(__file__).parent.parent / "data" / "trailer"
HEAD = "format: swapwright catalogue\nversion: 1\nparts:\n"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return Path(shutil.copytree(TRAILER, tmp_path / "trailer"))


@pytest.fixture
def car(tmp_path: Path) -> Path:
    """A folder with the demo's car, whose parts lie in a folder of their own."""
    return Path(shutil.copytree(demo_goal("trail").parent, tmp_path / "car"))


def faults(file: Path) -> tuple[Fault, ...]:
    with pytest.raises(BadInput) as caught:
        read_goal(file)
    return caught.value.faults


def catalogue(car: Path, said: str) -> Path:
    """The demo's goal with another ``catalogue``."""
    file = car / "goal-trail.yaml"
    lines = [line for line in file.read_text().splitlines() if not line.startswith("catalogue:")]
    file.write_text("\n".join([*lines, f"catalogue: {said}", ""]))
    return file


@pytest.mark.parametrize(
    ("said", "code", "found", "mend"),
    [
        ("[]", "missing-key", "no folder of parts", "catalogue: [catalogue]"),
        ("[empty]", "not-a-file", "no catalogue file in this folder", "name the folder"),
        ("[catalogue, empty]", "not-a-file", "no catalogue file in this folder", "name the folder"),
        ("catalogue/axles.yaml", "shape", "'catalogue/axles.yaml'", "[catalogue/axles.yaml]"),
        ("catalogue", "shape", "'catalogue'", "[catalogue]"),
        ("[catalogue/axles.yaml]", "not-a-file", "'axles.yaml'", "name the folder it is in: catalogue"),
        ("[cat]", "not-a-file", "'cat'", ""),
        ("[{a: b}]", "shape", "keys and values", ""),
        ("[hollow]", "missing-key", "no part in any catalogue file", ""),
    ],
)
def test_a_catalogue_that_is_not_one_is_one_fault(car: Path, said: str, code: str, found: str, mend: str) -> None:
    (car / "empty").mkdir()
    (car / "hollow").mkdir()
    (car / "hollow" / "parts.yaml").write_text(HEAD.replace("parts:", "parts: []"))
    for _ in range(2):  # what was kept from the first time hides nothing the second
        [fault] = faults(catalogue(car, said))
        assert (fault.code, fault.found) == (code, found) and mend in fault.mend


@pytest.mark.parametrize(
    "said", ["[catalogue, catalogue]", "[catalogue, ./catalogue]", "[., catalogue]", "[catalogue, .]"]
)
def test_a_file_in_two_folders_is_read_once(car: Path, said: str) -> None:
    parts = read_goal(car / "goal-trail.yaml")[1].parts
    assert list(read_goal(catalogue(car, said))[1].parts) == list(parts)


def test_a_bad_file_in_two_folders_is_told_once(car: Path) -> None:
    (car / "catalogue" / "more.yaml").write_text("a: [\n")
    assert len(faults(catalogue(car, "[., catalogue]"))) == 1


Closing = Callable[[Path], None]


@pytest.fixture
def close(monkeypatch: pytest.MonkeyPatch) -> Closing:
    """Take the right to read a file or a folder away, from whoever runs this."""
    closed: list[str] = []
    read_bytes, scandir = Path.read_bytes, os.scandir

    def bytes_of(self: Path) -> bytes:
        if str(self) in closed:
            raise PermissionError(13, "Permission denied", str(self))
        return read_bytes(self)

    def inside(path: str) -> object:
        if str(path) in closed:
            raise PermissionError(13, "Permission denied", str(path))
        return scandir(path)

    monkeypatch.setattr(Path, "read_bytes", bytes_of)
    monkeypatch.setattr(os, "scandir", inside)
    return lambda path: closed.append(str(path))


@pytest.mark.parametrize("name", ["catalogue", "catalogue/inner"])
def test_a_folder_that_may_not_be_read_is_one_fault(car: Path, close: Closing, name: str) -> None:
    (car / "catalogue" / "inner").mkdir()
    close(car / name)
    [fault] = faults(car / "goal-trail.yaml")
    assert (fault.file, fault.found) == (str(car / name), "Permission denied")


@pytest.mark.parametrize("name", ["vehicle.yaml", "catalogue/axles.yaml", "goal-trail.yaml"])
def test_a_file_that_may_not_be_read_is_one_fault(car: Path, close: Closing, name: str) -> None:
    close(car / name)
    [fault] = faults(car / "goal-trail.yaml")
    assert (fault.file, fault.found) == (str(car / name), "Permission denied")
    with pytest.raises(BadInput) as caught:
        check([car])
    assert {(f.file, f.found) for f in caught.value.faults} == {(str(car / name), "Permission denied")}


def test_a_goal_s_shape_is_told_beside_a_car_that_cannot_be_read(folder: Path) -> None:
    (folder / "vehicle.yaml").write_text("a: [\n")
    goal = folder / "goal.yaml"
    goal.write_text(goal.read_text() + "kep: [axle]\n")
    assert {f.code for f in faults(goal)} == {"not-yaml", "unknown-key"}


def with_parts(folder: Path, *entries: str) -> tuple[Fault, ...]:
    """The faults of further parts, one a line from line 4 on."""
    (folder / "more.yaml").write_text(HEAD + "".join(f"  - {entry}\n" for entry in entries))
    return faults(folder / "goal.yaml")


def test_like_a_part_of_another_kind_is_one_fault_at_that_word(folder: Path) -> None:
    """The spring's attributes are no wheel's; a part that is like the odd one is not blamed again."""
    (folder / "more.yaml").write_text(
        f"{HEAD}  - id: odd\n    name: Odd\n    like: spring-old\n    kind: trailer_wheel\n"
        "  - {id: odder, name: Odder, like: odd}\n"
    )
    [fault] = faults(folder / "goal.yaml")
    assert (Path(fault.file).name, fault.line) == ("more.yaml", 6)
    assert fault.found == "a trailer_wheel that is like spring-old, which is a trailer_spring"
    assert "`like`" in fault.mend


def test_what_is_wrong_itself_is_told_beside_like(folder: Path) -> None:
    found = with_parts(
        folder, "{id: odd, name: x, like: spring-old, kind: trailer_wheel, properties: {radius: 1 kg, colour: red}}"
    )
    assert sorted(f.code for f in found) == ["bad-value", "contradiction", "unknown-attribute"]


def test_like_a_part_of_another_kind_is_none_where_nothing_of_it_is_taken(folder: Path) -> None:
    """The first says nothing that the second's kind does not know."""
    (folder / "more.yaml").write_text(
        f'{HEAD}  - {{id: bare, name: x, kind: trailer_spring, price: "5"}}\n'
        "  - {id: other, like: bare, kind: trailer_wheel}\n"
    )
    part = read_goal(folder / "goal.yaml")[1].parts["other"]
    assert part.kind == "trailer_wheel" and part.price is not None and part.price.lo == 5.0


@pytest.mark.parametrize(
    ("entry", "found", "mend"),
    [
        ("{name: x, kind: trailer_spring}", "no id here", "give the part an id"),
        ("{id: , name: x, kind: trailer_spring}", "nothing", "give the part an id"),
        ("{id: [a], name: x, kind: trailer_spring}", "a list", "give the part an id"),
        ("{id: Big Spring_2, name: x, kind: trailer_spring}", "'Big Spring_2'", "id: big-spring-2"),
        ("{id: x, name: x, kind: trailer_spring, donors: {make: X}}", "keys and values", ""),
        ("{id: x, name: x, kind: trailer_spring, skill: 9}", "'9'", ""),
        ("{id: x, name: x, kind: trailer_spring, fits: spring}", "'spring'", "[spring]"),
        ("{id: x, name: x, kind: trailer_spring, ports: {axle: [a]}}", "a list", ""),
        (
            "{id: x, name: x, kind: gearbox}",
            "'gearbox'",
            "trailer_axle, trailer_hub, trailer_spring, trailer_wheel, ",
        ),
        ("{id: x, name: x, kind: trailer_axle, brings: {hub: zzz}}", "'zzz'", "parts for hub: hub-"),
    ],
)
def test_faults_are_told_in_plain_words(folder: Path, entry: str, found: str, mend: str) -> None:
    [fault] = with_parts(folder, entry)
    assert fault.found == found and mend in fault.mend
    assert "None" not in str(fault) and "Input" not in str(fault) and "{" not in fault.found


def test_a_bad_id_hides_no_other_fault_of_that_part(folder: Path) -> None:
    found = with_parts(
        folder,
        "{id: Bad_Id, name: x, kind: trailer_spring, properties: {rate: 20 mm}, colour: red}",
        "{id: like-it, name: x, like: Bad_Id}",
        "{id: brings-it, name: x, kind: trailer_axle, brings: {hub: Bad_Id}}",
    )
    assert sorted((f.line, f.code) for f in found) == [(4, "bad-id"), (4, "bad-value"), (4, "unknown-key")]


@pytest.mark.parametrize(
    ("line", "found", "mend"),
    [
        ("use: {hub: zzz}", "'zzz'", "parts for hub: hub-"),
        ("use: {hub: spring-ol}", "'spring-ol'", "did you mean 'spring-old'?"),
        ("avoid: [zzz]", "'zzz'", "look the id up"),
        ("use: {hub: {a: b}}", "keys and values", ""),
        ("use: {hub: [hub-old, [a]]}", "a list", ""),
        ("vehicle: [a]", "a list", ""),
    ],
)
def test_a_goal_s_faults_are_told_in_plain_words(folder: Path, line: str, found: str, mend: str) -> None:
    goal = folder / "goal.yaml"
    goal.write_text(goal.read_text() + line + "\n")
    [fault] = faults(goal)
    assert fault.line == 5 and fault.found == found and mend in fault.mend


@pytest.mark.parametrize(
    ("head", "found"),
    [
        ("format: swapwright goal\n", "no version line"),
        ("format: swapwright goal\nversion: {a: b}\n", "version keys and values"),
        ("format: [swapwright goal]\nversion: 1\n", "format a list"),
        ("version: 1\n", "no format line"),
    ],
)
def test_the_head_of_a_file_is_told_in_plain_words(folder: Path, head: str, found: str) -> None:
    (folder / "goal.yaml").write_text(head + "name: x\n")
    [fault] = faults(folder / "goal.yaml")
    assert fault.found == found


@pytest.mark.parametrize(
    ("text", "line", "found"),
    [
        ("a: 1\nb:\n\tc: 2\n", 3, "a tab"),
        ("a: 1\nb: {c:\t@x}\n", 2, "a value that begins with @"),
        ("a: 1\nb: `x`\n", 2, "a value that begins with `"),
        ("a: 1\nb: é\n\tc: 2\n", 3, "a tab"),
    ],
)
def test_what_no_value_begins_with_is_called_by_its_name(text: str, line: int, found: str) -> None:
    told = Faults()
    assert parse(text, "f", Path("f"), told) is None
    [fault] = told.found
    assert (fault.line, fault.code, fault.found) == (line, "not-yaml", found) and fault.mend


@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_a_letter_of_an_older_code_is_told_with_its_line(tmp_path: Path, mark: bytes) -> None:
    (tmp_path / "f.yaml").write_bytes(mark + "a: ok\nb: é\n".encode() + b"c: caf\xe9\n")
    told = Faults()
    assert read(tmp_path / "f.yaml", "f.yaml", told) is None
    [fault] = told.found
    assert (fault.line, fault.code, fault.found) == (3, "not-utf8", "a letter that is not UTF-8 (byte e9)")


@pytest.mark.parametrize("key", ["layout", "vehicle", "catalogue"])
def test_a_name_longer_than_any_file_s_is_not_there(folder: Path, key: str) -> None:
    file = folder / ("vehicle.yaml" if key == "layout" else "goal.yaml")
    lines = [line for line in file.read_text().splitlines() if not line.startswith(f"{key}:")]
    long = "x" * 300
    file.write_text("\n".join([*lines, f"{key}: [{long}]" if key == "catalogue" else f"{key}: {long}", ""]))
    [fault] = faults(folder / "goal.yaml")
    assert fault.code == ("unknown-layout" if key == "layout" else "not-a-file") and fault.file == str(file)


@pytest.mark.parametrize(
    ("file", "old", "new", "found"),
    [
        ("vehicle.yaml", "layout: layout", "layout: [layout]", "a list"),
        ("vehicle.yaml", "layout: layout", "layout:", "nothing"),
        ("vehicle.yaml", "fitted: {spring: spring-old,", "fitted: []\nabout: {spring: spring-old,", "a list"),
        ("catalogue.yaml", "parts:", "part:", "the key 'part'"),
        ("catalogue.yaml", "id: spring-old,", "id: [spring-old],", "a list"),
        ("catalogue.yaml", "id: spring-old,", "", "no id here"),
        ("catalogue.yaml", "id: spring-old,", "id: Spring_Old,", "'Spring_Old'"),
    ],
)
def test_one_slip_makes_no_other_fault(folder: Path, file: str, old: str, new: str, found: str) -> None:
    text = (folder / file).read_text()
    assert old in text
    (folder / file).write_text(text.replace(old, new, 1))
    told = faults(folder / "goal.yaml")
    assert found in [f.found for f in told]
    assert {f.code for f in told}.isdisjoint({"unknown-part", "unknown-kind", "missing-key"})


def test_a_catalogue_file_without_parts_hides_no_part_that_is_missing(folder: Path) -> None:
    """It is no fault by itself, so what the car carries must be found elsewhere."""
    (folder / "more.yaml").write_text(HEAD.replace("parts:\n", ""))
    read_goal(folder / "goal.yaml")
    car = folder / "vehicle.yaml"
    car.write_text(car.read_text().replace("hub: hub-old", "hub: hub-odd"))
    [fault] = faults(folder / "goal.yaml")
    assert (fault.code, fault.mend) == ("unknown-part", "did you mean 'hub-old'?")


@pytest.mark.parametrize("key", ["evidence", "note"])
def test_how_it_is_known_is_one_text(folder: Path, key: str) -> None:
    [fault] = with_parts(
        folder, f"{{id: x, name: x, kind: trailer_spring, properties: {{rate: {{value: 20 N/mm, {key}: [a]}}}}}}"
    )
    assert (fault.code, fault.found, fault.expected) == ("shape", "a list", "one text")
