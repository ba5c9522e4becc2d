"""Nothing acknowledged is ever lost: real writers at once, real writers killed, torn lines, a full disk."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from knowledge.measured.journal import Line, NotKept, append, lines

ROOT = Path(__file__).parents[3]
# Writes records without end (or so many), and says each number only when the record is acknowledged.
WRITER = """
import sys
from pathlib import Path
from knowledge.measured.journal import append
path, name, count = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
i = 0
while count < 0 or i < count:
    append(path, {"who": name, "i": i, "long": "x" * 3000})
    print(i, flush=True)
    i += 1
"""


def writer(path: Path, name: str, count: int) -> subprocess.Popen[bytes]:
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    command = [sys.executable, "-c", WRITER, str(path), name, str(count)]
    return subprocess.Popen(command, stdout=subprocess.PIPE, env=environment, start_new_session=True)


def whole(path: Path) -> list[tuple[str, int]]:
    found = []
    for line in lines(path):
        try:
            record = json.loads(line.data)
        except json.JSONDecodeError:
            continue
        found.append((record["who"], record["i"]))
    return found


def test_a_record_is_a_line_and_answers_its_number(tmp_path: Path) -> None:
    path = tmp_path / "m.jsonl"
    assert lines(path) == []
    assert [append(path, {"a": "Zoll \N{DOUBLE PRIME}\n"}), append(path, {"b": 2})] == [1, 2]
    assert path.read_bytes() == '{"a": "Zoll \N{DOUBLE PRIME}\\n"}\n{"b": 2}\n'.encode()
    assert [(line.number, line.ended) for line in lines(path)] == [(1, True), (2, True)]


def test_writers_at_once_lose_nothing(tmp_path: Path) -> None:
    path, count = tmp_path / "m.jsonl", 25
    writers = [writer(path, name, count) for name in "abcd"]
    for one in writers:
        assert one.wait(60) == 0
    assert sorted(whole(path)) == [(name, i) for name in "abcd" for i in range(count)]
    assert len(lines(path)) == 4 * count


def test_a_writer_killed_at_any_moment_loses_nothing_acknowledged(tmp_path: Path) -> None:
    path = tmp_path / "m.jsonl"
    said: list[tuple[str, int]] = []
    for name, wait in (("a", 0.01), ("b", 0.023), ("c", 0.04), ("d", 0.002)):
        victim = writer(path, name, -1)
        assert victim.stdout is not None
        first = victim.stdout.readline()
        time.sleep(wait)
        os.kill(victim.pid, signal.SIGKILL)
        told = (first + victim.stdout.read()).split(b"\n")[:-1]
        victim.wait(60)
        said += [(name, int(number)) for number in told]
        assert set(said) <= set(whole(path))
    assert len({name for name, _ in said}) == 4
    number = append(path, {"who": "after", "i": 0})
    assert json.loads(lines(path)[number - 1].data)["who"] == "after"


@pytest.mark.parametrize("cut", [1, 9, 20])
def test_a_torn_line_is_left_and_the_next_record_starts_its_own(tmp_path: Path, cut: int) -> None:
    path = tmp_path / "m.jsonl"
    append(path, {"i": 0})
    record = b'{"measurement": 1, "at": "2026"}\n'
    path.write_bytes(path.read_bytes() + record[:cut])
    assert lines(path)[-1] == Line(2, record[:cut], False)
    assert append(path, {"i": 1}) == 3
    assert path.read_bytes() == b'{"i": 0}\n' + record[:cut] + b'\n{"i": 1}\n'


def test_acknowledged_means_on_the_disk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """File first, then folder, both after the one write; if either fails nothing is acknowledged."""
    path, order = tmp_path / "m.jsonl", []
    write, fsync = os.write, os.fsync

    def written(handle: int, data: bytes) -> int:
        order.append("write")
        return write(handle, data)

    def synced(handle: int) -> None:
        order.append("folder" if os.path.samestat(os.fstat(handle), tmp_path.stat()) else "file")
        fsync(handle)

    monkeypatch.setattr(os, "write", written)
    monkeypatch.setattr(os, "fsync", synced)
    append(path, {"i": 0})
    assert order == ["write", "file", "folder"]

    def broken(handle: int) -> None:
        raise OSError(5, "the disk is gone")

    monkeypatch.setattr(os, "fsync", broken)
    with pytest.raises(OSError, match="the disk is gone"):
        append(path, {"i": 1})


def test_a_disk_that_fills_up_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "m.jsonl"
    append(path, {"i": 0})
    write = os.write
    monkeypatch.setattr(os, "write", lambda handle, data: write(handle, data[:4]))
    with pytest.raises(NotKept, match="4 of 9 bytes"):
        append(path, {"i": 1})
    monkeypatch.undo()
    assert append(path, {"i": 2}) == 3
    assert [line.data for line in lines(path)] == [b'{"i": 0}', b'{"i"', b'{"i": 2}']


def test_a_link_to_another_file_is_neither_read_nor_written(tmp_path: Path) -> None:
    other = tmp_path / "diary"
    other.write_text("mine\n")
    (tmp_path / "m.jsonl").symlink_to(other)
    with pytest.raises(OSError, match="symbolic"):
        append(tmp_path / "m.jsonl", {"i": 0})
    with pytest.raises(OSError, match="symbolic"):
        lines(tmp_path / "m.jsonl")
    assert other.read_text() == "mine\n"


def test_a_writer_waits_for_the_lock(tmp_path: Path) -> None:
    """While another holds the lock nothing is written; a holder that dies lets go."""
    path = tmp_path / "m.jsonl"
    append(path, {"who": "first", "i": 0})
    code = (
        "import fcntl, os, sys, time\n"
        "handle = os.open(sys.argv[1], os.O_RDWR)\n"
        "fcntl.flock(handle, fcntl.LOCK_EX)\n"
        "print('held', flush=True)\n"
        "time.sleep(60)\n"
    )
    holder = subprocess.Popen([sys.executable, "-c", code, str(path)], stdout=subprocess.PIPE)
    assert holder.stdout is not None and holder.stdout.readline() == b"held\n"
    second = writer(path, "second", 1)
    time.sleep(0.4)
    assert second.poll() is None and path.read_bytes().count(b"\n") == 1
    holder.kill()
    holder.wait(60)
    assert second.wait(60) == 0
    assert whole(path) == [("first", 0), ("second", 0)]
