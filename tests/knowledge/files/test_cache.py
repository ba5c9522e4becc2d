"""What is kept between runs: it changes the time, never the answer."""

from __future__ import annotations

import os
from pathlib import Path
from shutil import copytree

import pytest

from knowledge.files.cache import kept, key_of
from knowledge.garage import read_goal
from shared.faults import BadInput

TRAILER = Path(__file__).parents[2] / "data" / "trailer"


@pytest.fixture
def where(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("SWAPWRIGHT_CACHE", str(tmp_path / "kept"))
    return tmp_path / "kept"


@pytest.fixture
def trailer(tmp_path: Path) -> Path:
    copytree(TRAILER, tmp_path / "trailer")
    return tmp_path / "trailer"


def counted(answers: list[str], answer: str) -> str:
    answers.append(answer)
    return answer


def test_the_second_time_nothing_is_made(where: Path) -> None:
    made: list[str] = []
    for _ in range(2):
        assert kept("word", [b"a", b"b"], lambda: counted(made, "x"), lambda: True) == "x"
    assert made == ["x"]


def test_other_pieces_are_another_thing(where: Path) -> None:
    assert len({key_of(p) for p in ([b"ab"], [b"a", b"b"], [b"", b"ab"], [b"b", b"a"])}) == 4


def test_what_is_not_sound_is_not_kept(where: Path) -> None:
    made: list[str] = []
    for _ in range(2):
        kept("word", [b"a"], lambda: counted(made, "x"), lambda: False)
    assert made == ["x", "x"]


def test_damage_is_never_an_error(where: Path) -> None:
    kept("word", [b"a"], lambda: "x", lambda: True)
    for file in where.iterdir():
        file.write_bytes(b"\x80\x05broken")
    assert kept("word", [b"a"], lambda: "y", lambda: True) == "y"


def test_what_cannot_be_written_is_never_an_error(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "file").write_text("in the way")
    monkeypatch.setenv("SWAPWRIGHT_CACHE", str(tmp_path / "file" / "below"))
    assert kept("word", [b"a"], lambda: "x", lambda: True) == "x"


def test_no_more_is_kept_than_there_is_room_for(where: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("knowledge.files.cache.MOST_BYTES_KEPT", 2500)
    texts = [str(i) * 1000 for i in range(4)]
    for i, text in enumerate(texts):
        assert kept("word", [text.encode()], lambda text=text: text, lambda: True) == text  # type: ignore[misc]
        for file in where.iterdir():  # the clock of a file system may not tell two that follow at once
            os.utime(file, ns=(file.stat().st_mtime_ns, file.stat().st_mtime_ns - 10**9))
        assert len(list(where.iterdir())) == min(i + 1, 2)
    assert kept("word", [texts[3].encode()], lambda: "made again", lambda: True) == texts[3]
    assert kept("word", [texts[0].encode()], lambda: "made again", lambda: True) == "made again"


def test_what_is_too_large_for_the_room_is_kept_alone(where: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("knowledge.files.cache.MOST_BYTES_KEPT", 2500)
    for text in ("a" * 1000, "b" * 5000):
        kept("word", [text.encode()], lambda text=text: text, lambda: True)  # type: ignore[misc]
    assert [file.stat().st_size > 5000 for file in where.iterdir()] == [True]


def test_it_can_be_switched_off(where: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SWAPWRIGHT_CACHE", "off")
    kept("word", [b"a"], lambda: "x", lambda: True)
    assert not where.exists()


def test_only_its_owner_can_read_it(where: Path) -> None:
    kept("word", [b"a"], lambda: "x", lambda: True)
    assert where.stat().st_mode & 0o077 == 0
    assert all(f.stat().st_mode & 0o077 == 0 for f in where.iterdir())


def test_a_garage_read_again_is_the_same(where: Path, trailer: Path) -> None:
    cold, warm = (read_goal(trailer / "goal.yaml") for _ in range(2))
    assert cold[0] == warm[0]
    assert cold[1].layout == warm[1].layout
    assert [vars(p) for p in cold[1].parts.values()] == [vars(p) for p in warm[1].parts.values()]


def test_a_change_in_any_file_is_seen(where: Path, trailer: Path) -> None:
    assert "spring-wide" in read_goal(trailer / "goal.yaml")[1].parts
    file = trailer / "catalogue.yaml"
    file.write_text(file.read_text().replace("id: spring-wide", "id: spring-wider"))
    assert "spring-wider" in read_goal(trailer / "goal.yaml")[1].parts


def test_faults_are_told_every_time(where: Path, trailer: Path) -> None:
    file = trailer / "catalogue.yaml"
    file.write_text(file.read_text() + "  - {id: odd, name: Odd, kind: no_such_kind}\n")
    told = []
    for _ in range(2):
        with pytest.raises(BadInput) as caught:
            read_goal(trailer / "goal.yaml")
        told.append([str(f) for f in caught.value.faults])
    assert told[0] == told[1]


def test_a_file_left_out_is_told_although_the_rest_is_kept(where: Path, trailer: Path, tmp_path: Path) -> None:
    read_goal(trailer / "goal.yaml")
    (tmp_path / "outside.yaml").write_text("a: 1\n")
    (trailer / "link.yaml").symlink_to(tmp_path / "outside.yaml")
    with pytest.raises(BadInput, match="leads out of its folder"):
        read_goal(trailer / "goal.yaml")
