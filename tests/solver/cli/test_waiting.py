"""A sign of life: on a terminal only, only when it takes long, and gone again before the answer; and a clean stop."""

from __future__ import annotations

import io
import sys
from time import sleep

import pytest

from solver.cli import app
from solver.cli.waiting import waiting


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_nothing_where_it_is_quick(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    with waiting("searching", 0.5):
        pass
    assert not terminal.getvalue()


def test_a_line_that_is_taken_away_again(monkeypatch: pytest.MonkeyPatch) -> None:
    terminal = Terminal()
    monkeypatch.setattr(sys, "stderr", terminal)
    with waiting("searching", 0.05):
        sleep(0.2)
    assert terminal.getvalue().startswith("\rsearching ... 0 s")
    assert terminal.getvalue().endswith("\r\x1b[K")


def test_nothing_into_a_file(monkeypatch: pytest.MonkeyPatch) -> None:
    file = io.StringIO()
    monkeypatch.setattr(sys, "stderr", file)
    with waiting("searching", 0.01):
        sleep(0.05)
    assert not file.getvalue()


def test_ctrl_c_says_that_it_stopped(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    """As a person presses it in the middle of a search."""

    def pressed(*arguments: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("solver.planning.plan", pressed)
    monkeypatch.setattr(sys, "argv", ["swapwright", "plan"])
    with pytest.raises(SystemExit) as stopped:
        app.main()
    assert stopped.value.code == app.Exit.INTERRUPTED
    assert capsys.readouterr().err.endswith("stopped; nothing was written\n")
