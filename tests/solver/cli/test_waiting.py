"""A sign of life: on a terminal only, only when it takes long, and gone again before the answer."""

from __future__ import annotations

import io
import sys
from contextlib import AbstractContextManager, nullcontext
from pathlib import Path
from time import sleep

import pytest
from typer.testing import CliRunner

from solver.cli import app
from solver.cli.waiting import waiting

TRAILER = Path(__file__).parents[2] / "data" / "trailer"


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


@pytest.mark.parametrize("asked", ["plan", "why", "yard --cars CARS", "shop", "work", "graph", "page"])
def test_whatever_plans_shows_that_it_is_at_work(asked: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    app.load_commands()
    told: list[str] = []

    def noted(what: str) -> AbstractContextManager[None]:
        told.append(what)
        return nullcontext()

    name, *more = asked.split()
    (tmp_path / "cars.csv").write_text("make,model\nHalden,Drover\n")
    monkeypatch.setattr(f"solver.cli.{name}_command.waiting", noted)
    options = [str(tmp_path / "cars.csv") if word == "CARS" else word for word in more]
    done = CliRunner().invoke(app.app, [name, str(TRAILER / "goal.yaml"), *options])
    assert done.exit_code == 0 and len(told) == 1
