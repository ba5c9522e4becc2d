"""Reading YAML: every kind of bad file, all faults at once, with the line of each."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from knowledge.files import folders
from knowledge.files.documents import MOST_BYTES, Faults, _parse_with_places, parse, read
from knowledge.files.folders import yaml_files


def parsed(text: str) -> tuple[object, list[str]]:
    faults = Faults()
    document = parse(text, "file.yaml", Path("file.yaml"), faults)
    return document, [f.code for f in faults.found]


def test_scalars_stay_text() -> None:
    document, codes = parsed("a: no\nb: 1:30\nc: 1e3\nd: 4.50\n")
    assert not codes
    assert document.tree == {"a": "no", "b": "1:30", "c": "1e3", "d": "4.50"}  # type: ignore[attr-defined]


def test_lines_count_from_one() -> None:
    faults = Faults()
    document = parse("a: 1\nb:\n  - x\n  - c: 3\n    d: 4\n", "f", Path("f"), faults)
    assert document is not None
    assert document.line(("a",)) == 1
    assert document.line(("b", 1, "d")) == 5
    assert document.line(("b", 1, "gone")) == 4  # the deepest part that is there


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("a: 1\na: 2\n", "duplicate-key"),
        ("a: &x 1\nb: *x\n", "alias"),
        ("a: *x\n", "alias"),
        ("a: [1, 2\n", "not-yaml"),
        ("- a\n- b\n", "shape"),
        ("a: b: c\n", "not-yaml"),
        ("[" * 5000, "not-yaml"),
        ("a: \x07", "not-yaml"),
    ],
)
def test_bad_text_is_a_fault(text: str, code: str) -> None:
    document, codes = parsed(text)
    assert document is None
    assert code in codes


def test_alias_bomb_is_refused_at_once() -> None:
    text = "a: &a [x]\n" + "\n".join(f"b{i}: &b{i} [*a, *a]" for i in range(50))
    document, codes = parsed(text)
    assert document is None
    assert set(codes) == {"alias"}


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    faults = Faults()
    assert read(tmp_path / "gone.yaml", "gone.yaml", faults) is None
    (tmp_path / "latin.yaml").write_bytes(b"a: caf\xe9\n")
    assert read(tmp_path / "latin.yaml", "latin.yaml", faults) is None
    (tmp_path / "huge.yaml").write_bytes(b"#" * (MOST_BYTES + 1))
    assert read(tmp_path / "huge.yaml", "huge.yaml", faults) is None
    assert [f.code for f in faults.found] == ["not-a-file", "not-utf8", "too-big"]


def test_a_pipe_or_a_folder_of_that_name_is_told_and_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.yaml")
    (tmp_path / "shelf.yaml").mkdir()
    faults = Faults()
    assert not list(yaml_files(tmp_path, tmp_path, faults))
    assert [f.found for f in faults.found] == ["not a plain file", "a folder"]
    assert read(tmp_path, "shelf", faults) is None
    assert faults.found[-1].found == "a folder"


def test_no_path_leads_out_of_its_folder(tmp_path: Path) -> None:
    outside = tmp_path / "outside.yaml"
    outside.write_text("a: 1\n")
    inside = tmp_path / "in"
    inside.mkdir()
    (inside / "own.yaml").write_text("a: 1\n")
    (inside / "link.yaml").symlink_to(outside)
    faults = Faults()
    assert [name for _, name in yaml_files(inside, inside, faults)] == ["own.yaml"]
    assert [f.code for f in faults.found] == ["not-a-file"]


PIECES = st.sampled_from(
    [
        *("a: ", "b: ", "a:\n", "? a\n: ", "? [a]\n: ", "- ", "\n", "\n  ", "\n    ", " ", "1", "x y", "'q'", '"w\\n"'),
        *(
            "{",
            "}",
            "[",
            "]",
            ",",
            "{a: 1, b: [2]}",
            "{a: 1,",
            "5 mm",
            "{b: 3,6 mm}",
            "~",
            "&x ",
            "*x",
            "&x 1",
            "!t ",
            "!!str ",
            "!e!t ",
            "|\n",
            ">\n",
        ),
        *("# c\n", "\n---\n", "\n...\n", "%YAML 1.1\n", "\t", "\x07", "é", "\ufeff", "\u2028", "no", "1:30", "<<: "),
    ]
)


@given(st.lists(PIECES, max_size=14).map("".join))
def test_read_at_once_or_with_every_place_a_text_is_the_same(text: str) -> None:
    told = []
    for reading in (parse, _parse_with_places):
        faults = Faults()
        document = reading(text, "f", Path("f"), faults)
        found = None
        if document is not None:
            lists = {key: items for key, items in document.tree.items() if isinstance(items, list)}
            locs = [(), *((key,) for key in document.tree)]
            locs += [(key, i) for key, items in lists.items() for i in range(len(items) + 1)]
            found = document.tree, [(loc, document.line(loc)) for loc in locs]
        told.append((found, faults.found))
    assert told[0] == told[1]


def test_a_text_nested_deeper_than_anybody_writes_is_read_all_the_same() -> None:
    text = "a: " + "[" * 60 + "x" + "]" * 60 + "\n"
    document, codes = parsed(text)
    assert not codes
    assert document.line(("a",)) == 1  # type: ignore[attr-defined]


@pytest.mark.parametrize("code", ["utf-16", "utf-16-le", "utf-16-be"])
def test_two_bytes_a_letter_are_called_by_their_name(tmp_path: Path, code: str) -> None:
    (tmp_path / "goal.yaml").write_bytes("format: swapwright goal\n".encode(code))
    faults = Faults()
    assert read(tmp_path / "goal.yaml", "goal.yaml", faults) is None
    assert [(f.code, f.found, f.mend) for f in faults.found] == [("not-utf8", "UTF-16 text", "save the file as UTF-8")]


@pytest.mark.parametrize(
    ("text", "tree"),
    [
        ("{wire: 13,6 mm, coils: 9}", {"wire": "13,6 mm", "coils": "9"}),
        ("{wire: 13,6 to 14,2 mm}", {"wire": "13,6 to 14,2 mm"}),
        ("{price: 12,50}", {"price": "12,50"}),
        ("{drop: -3,5 mm, 4: x}", {"drop": "-3,5 mm", "4": "x"}),
        ("{a: x, 6 mm: }", {"a": "x", "6 mm": ""}),
        ("{wire: 13,6, 2 mm}", {"wire": "13,6,2 mm"}),
        ("{6 mm: x, wire: 13,6 mm}", {"6 mm": "x", "wire": "13,6 mm"}),
    ],
)
def test_a_decimal_comma_in_braces_stays_one_value(text: str, tree: dict[str, str]) -> None:
    document, codes = parsed(f"p: {text}\n")
    assert not codes
    assert document.tree == {"p": tree}  # type: ignore[attr-defined]
    document, codes = parsed(text)
    assert not codes
    assert document.tree == tree  # type: ignore[attr-defined]


def test_a_whole_disk_is_no_folder_of_parts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for i in range(4):
        (tmp_path / "a" / str(i)).mkdir(parents=True)
        (tmp_path / "a" / str(i) / "x.yaml").write_text("a: 1\n")
    for limit in ("MOST_FOLDERS", "MOST_FILES"):
        with monkeypatch.context() as patch:
            patch.setattr(folders, limit, 3)
            faults = Faults()
            assert not list(yaml_files(tmp_path, tmp_path, faults))
            assert [f.code for f in faults.found] == ["too-big"] and "name the folder" in faults.found[0].mend
    (tmp_path / ".git").mkdir()
    (tmp_path / ".git" / "y.yaml").write_text("a: 1\n")
    (tmp_path / "a" / "round").symlink_to(tmp_path)
    faults = Faults()
    names = [name for _, name in yaml_files(tmp_path, tmp_path, faults)]
    assert names == [f"a/{i}/x.yaml" for i in range(4)] and not faults.found
