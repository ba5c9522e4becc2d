"""Answers on a terminal and in files: nothing unseen gets out, files are whole and as readable as they should be."""

from __future__ import annotations

import io
import json
import os
import stat
import unicodedata
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.errors import SwapwrightError
from solver.cli.app import remark
from solver.cli.options import answer, fitted, visible, write_whole


def test_what_a_terminal_obeys_is_written_out() -> None:
    """ECMA-48 control functions begin with U+001B or U+009B; U+202E turns the direction of what follows it."""
    assert visible("\x1b[2Jred\x9b1m \u202egpj.exe\u2066") == r"\u001b[2Jred\u009b1m \u202egpj.exe\u2066"
    assert visible("two\nlines\tand a tab, 5 \N{DEGREE SIGN}, \N{DOUBLE PRIME}") == (
        "two\nlines\tand a tab, 5 \N{DEGREE SIGN}, \N{DOUBLE PRIME}"
    )


def test_every_control_and_every_direction_mark_is_caught() -> None:
    """Against the Unicode database: categories Cc and Cs, and the bidirectional controls by their class."""
    turning = {"LRE", "RLE", "PDF", "LRO", "RLO", "LRI", "RLI", "FSI", "PDI"}
    for code in range(0x110000):
        c = chr(code)
        control = unicodedata.category(c) in ("Cc", "Cs", "Zl", "Zp") and c not in "\n\t"
        if control or unicodedata.bidirectional(c) in turning or c in "\u200e\u200f\u061c":
            assert visible(c) != c, hex(code)
        elif unicodedata.category(c)[0] in "LNPS" or c in "\u200c\u200d":
            assert visible(c) == c, hex(code)


@pytest.mark.parametrize("text", ["\x1b[31m", "\u202eevil", "\x00\x7f\x85", "\ud800", "\U000e0041", "plain"])
def test_json_says_the_same_after_it(text: str) -> None:
    written = json.dumps({"name": text}, ensure_ascii=False)
    assert json.loads(visible(written)) == {"name": text}


def test_answers_and_remarks_go_through_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    answer("\x1b[31mx", None)
    remark("\u202ey")
    out, err = capsys.readouterr()
    assert (out, err) == ("\\u001b[31mx\n", "\\u202ey\n")
    answer("\x1b[31mx", tmp_path / "a")
    assert (tmp_path / "a").read_text() == "\\u001b[31mx\n"


@pytest.mark.parametrize("mask", [0o022, 0o027, 0o077])
def test_a_new_file_honours_the_mask(tmp_path: Path, mask: int) -> None:
    before = os.umask(mask)
    try:
        write_whole(tmp_path / "plan.json", "x")
    finally:
        os.umask(before)
    assert stat.S_IMODE((tmp_path / "plan.json").stat().st_mode) == 0o666 & ~mask


def test_an_old_file_keeps_its_mode_and_nothing_is_left_beside_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "plan.json"
    path.write_text("old")
    path.chmod(0o640)
    write_whole(path, "new")
    assert path.read_text() == "new" and stat.S_IMODE(path.stat().st_mode) == 0o640

    def broken(handle: int) -> None:
        raise OSError(28, "no room")

    monkeypatch.setattr(os, "fsync", broken)
    with pytest.raises(OSError, match="no room"):
        write_whole(path, "newer")
    assert path.read_text() == "new" and [p.name for p in tmp_path.iterdir()] == ["plan.json"]


def test_what_cannot_be_written_is_told_by_the_name_asked_for(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with pytest.raises(SwapwrightError, match=r"no folder .*nodir to write plan.json in"):
        write_whole(tmp_path / "nodir" / "plan.json", "x")

    def broken(handle: int) -> None:
        raise OSError(28, "no room")

    monkeypatch.setattr(os, "fsync", broken)
    with pytest.raises(OSError) as caught:
        write_whole(tmp_path / "plan.json", "x")
    assert caught.value.filename == str(tmp_path / "plan.json")


def test_what_is_no_file_is_not_replaced(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    reader = os.open(pipe, os.O_RDONLY | os.O_NONBLOCK)
    write_whole(pipe, "text")
    assert os.read(reader, 10) == b"text" and stat.S_ISFIFO(pipe.stat().st_mode)
    os.close(reader)


@pytest.mark.parametrize("wide", [30, 40, 60, 100])
def test_a_small_screen_gets_whole_words_and_loses_none(wide: int) -> None:
    rows = "  wire  13.9 mm (left)  pieces at most 0.4 mm apart  fits  common practice, no source: twice the error"
    text = (
        "To the broken paths: fits; 3 parts off 2 of 25 cars here (B4, C2); 426 to 624 in all and 14.8 h\n\n"
        "- The car stands safely: nothing is taken from one that only leans, or stands on a jack\n"
        f"  [ ] Lindel long soft coils for the front coil, both from this car: 30 to 45\n{rows}\n"
    )
    lines = fitted(text, wide).split("\n")
    assert all(len(line) <= wide for line in lines if line != rows) and rows in lines
    assert " ".join(fitted(text, wide).split()) == " ".join(text.split())
    assert fitted(text, 200) == text
    if wide == 60:
        assert lines[3:5] == [
            "- The car stands safely: nothing is taken from one that only",
            "  leans, or stands on a jack",
        ]


def test_only_an_answer_in_words_on_a_screen_is_broken(monkeypatch: pytest.MonkeyPatch) -> None:
    long = "a word and " * 20 + "the last"
    for screen, words, broken in ((True, True, True), (True, False, False), (False, True, False)):
        told = io.StringIO()
        told.isatty = lambda screen=screen: screen  # type: ignore[method-assign,misc]
        monkeypatch.setattr("sys.stdout", told)
        monkeypatch.setenv("COLUMNS", "60")
        answer(long, None, words=words)
        assert (told.getvalue() != long + "\n") is broken


@given(st.lists(st.lists(st.text("abc,.-", min_size=1, max_size=12), max_size=14), max_size=6), st.integers(20, 80))
def test_breaking_loses_nothing(lines: list[list[str]], columns: int) -> None:
    text = "\n".join(" ".join(words) for words in lines)
    out = fitted(text, columns)
    assert out.split() == text.split()
    assert all(len(line) <= columns or len(line.split()) == 1 for line in out.split("\n"))
