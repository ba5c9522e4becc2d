"""Answers on a terminal and in files: nothing unseen gets out, files are whole and as readable as they should be."""

from __future__ import annotations

import io
import os
import stat
from pathlib import Path

import pytest

from shared.errors import SwapwrightError
from shared.plan import PlanDocument
from solver.cli.app import remark
from solver.cli.options import answer, screen, write_whole, written_to


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


def test_what_somebody_wrote_by_hand_is_not_written_over(tmp_path: Path) -> None:
    goal = tmp_path / "goal.yaml"
    text = "# my goal\nformat: swapwright goal\nversion: 1\n"
    goal.write_text(text)
    with pytest.raises(SwapwrightError, match="a file of swapwright goal; no answer is written over it"):
        written_to(goal)
    with pytest.raises(SwapwrightError, match="no answer"):
        write_whole(goal, "x")
    assert goal.read_text() == text
    (tmp_path / "measurements.jsonl").write_text("{}\n")
    with pytest.raises(SwapwrightError, match="a file of readings; no answer is written over it"):
        written_to(tmp_path / "measurements.jsonl")
    (tmp_path / "plan.json").write_text('{"format": "swapwright plan"}')
    assert written_to(tmp_path / "plan.json") == tmp_path / "plan.json"


BY_HAND = {
    "goal": "\ufeffformat: 'swapwright goal'\nversion: 1\n",
    "catalogue": f"{'# a long word on what is in here' * 300}\nparts: []\nformat:   swapwright catalogue  # mine\n",
    "vehicle": '{"format": "swapwright vehicle", "version": 1}',
    "layout": "format: swapwright layout\r\nversion: 1\r\n",
    "condition": "version: 1\nformat: swapwright condition\n",
    "cars": "format: swapwright cars\n",
    "cars standing": "make,model,year,engine,trim,options,row,notes\nOrrin,Fellgate,1993,,,,A1,\n",
    "cars standing ": "\n Maker ; Type ; Jahr\nOrrin;Fellgate;1993\n",
}


@pytest.mark.parametrize("kind", BY_HAND)
def test_no_answer_is_written_over_any_file_that_people_write(kind: str, tmp_path: Path) -> None:
    mine = tmp_path / "mine"
    mine.write_bytes(BY_HAND[kind].encode())
    of = f"a file of (swapwright )?{kind.strip()}.*; no answer is written over it"
    with pytest.raises(SwapwrightError, match=of):
        write_whole(mine, "x")
    assert mine.read_bytes() == BY_HAND[kind].encode()


@pytest.mark.parametrize("told", ["sort,name,quantity\n", "say `format: swapwright goal`\n", "", "\xff\0", "make it\n"])
def test_an_answer_is_written_over_an_older_one(told: str, tmp_path: Path) -> None:
    (tmp_path / "old").write_text(told)
    write_whole(tmp_path / "old", "x")
    assert (tmp_path / "old").read_text() == "x"


def test_only_a_plan_is_written_over_a_plan(tmp_path: Path) -> None:
    """``shop plan.json --out plan.json`` is a slip; to plan again into the same file is not."""
    made = {"preference": (), "combinations": 1, "builds": (), "complete": True}
    kept = PlanDocument(goal="a", goal_file="a.yaml", vehicle="v", layout="l", **made)  # type: ignore[arg-type]
    older = tmp_path / "plan.json"
    write_whole(older, kept.model_dump_json(indent=2))
    before = older.read_text()
    with pytest.raises(SwapwrightError, match=r"plan.json is a plan that was kept; no other answer"):
        write_whole(older, "what to get")
    assert older.read_text() == before
    write_whole(older, kept.model_dump_json())
    assert older.read_text() != before


def test_what_is_no_file_is_not_replaced(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    reader = os.open(pipe, os.O_RDONLY | os.O_NONBLOCK)
    write_whole(pipe, "text")
    assert os.read(reader, 10) == b"text" and stat.S_ISFIFO(pipe.stat().st_mode)
    os.close(reader)


def test_only_an_answer_on_a_screen_has_a_width(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("COLUMNS", "60")
    for is_screen in (True, False):
        told = io.StringIO()
        told.isatty = lambda is_screen=is_screen: is_screen  # type: ignore[method-assign,misc]
        monkeypatch.setattr("sys.stdout", told)
        wide = 60 if is_screen else None
        assert (screen(None), screen(Path("-")), screen(tmp_path / "a")) == (wide, wide, None)
