"""How a command ends: exit codes, words on stderr, and one document on stdout where JSON was asked for."""

from __future__ import annotations

import io
import os
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

import solver.cli
from shared.errors import SwapwrightError
from shared.failure import FailureDocument
from solver.cli import app
from solver.cli.app import remark
from solver.starting import NewDocument

ROOT = Path(__file__).parents[3]
TRAILER = ROOT / "tests" / "data" / "trailer"
Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    """Runs a command in this process: its exit code, stdout and stderr."""

    def call(*words: object) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["swapwright", *map(str, words)])
        capsys.readouterr()
        with pytest.raises(SystemExit) as stopped:
            app.main()
        told = capsys.readouterr()
        assert isinstance(stopped.value.code, int)
        return stopped.value.code, told.out, told.err

    return call


def raises(error: BaseException) -> Callable[..., None]:
    def raising(*arguments: object, **more: object) -> None:
        raise error

    return raising


@pytest.mark.parametrize("name", app.COMMANDS)
def test_a_wrong_option_is_a_document_whatever_the_command(run: Run, name: str) -> None:
    """``measure`` takes a word with a dash before it as one of its own, for a reading may be -19 mm."""
    code, out, err = run(name, "--fly", "--json")
    document = FailureDocument.model_validate_json(out)
    assert code == app.Exit.BAD_INPUT and document.message in " ".join(err.split())
    assert name == "measure" or ("--fly" in document.message and not document.faults)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["fly", "--json"], "No such command 'fly'."),
        (["why", "--json"], "Missing argument"),
        (["plan", "--most", "0", "--json"], "'--most'"),
        (["plan", "--units", "ells", "--json"], "'--units'"),
        (["shop", "no.yaml", "--to", "json"], "1 fault found; nothing was done"),
        (["graph", "no.yaml", "--to=json"], "1 fault found; nothing was done"),
        (["plan", "--out", "none/x.json", "--json"], "cannot go on: there is no folder none to write x.json in"),
    ],
)
def test_what_is_wrong_is_said_in_words_and_in_the_document(run: Run, words: list[str], says: str) -> None:
    code, out, err = run(*words)
    document = FailureDocument.model_validate_json(out)
    assert code == app.Exit.BAD_INPUT and says in document.message and says in err
    assert run(*(w for w in words if w not in ("--json", "--to", "json", "--to=json")))[1] == ""


def test_bad_input_has_its_faults_in_the_document(run: Run, tmp_path: Path) -> None:
    folder = shutil.copytree(TRAILER, tmp_path / "t")
    goal = folder / "goal.yaml"
    goal.write_text(goal.read_text("utf-8").replace("bed_lift", "bed_lfit") + "keep: [sprnig]\n", "utf-8")
    code, out, _ = run("plan", goal, "--json")
    document = FailureDocument.model_validate_json(out)
    assert code == app.Exit.BAD_INPUT and document.message == "2 faults found; nothing was done"
    assert [(f.line, f.code) for f in document.faults] == [(4, "unknown-quantity"), (5, "unknown-position")]


@pytest.mark.parametrize(
    ("error", "code", "says"),
    [
        (SwapwrightError("the search took too many steps"), app.Exit.BAD_INPUT, "cannot go on: the search took"),
        (PermissionError(13, "Permission denied", "goal.yaml"), app.Exit.BAD_INPUT, "goal.yaml: Permission denied"),
        (RecursionError(), app.Exit.BAD_INPUT, "nested too deep"),
        (ZeroDivisionError("by nought"), app.Exit.OWN_FAULT, "a fault of swapwright itself, please report it"),
        (KeyboardInterrupt(), app.Exit.INTERRUPTED, "stopped; nothing was written"),
    ],
)
def test_whatever_stops_a_command_is_a_document(
    run: Run, monkeypatch: pytest.MonkeyPatch, error: BaseException, code: app.Exit, says: str
) -> None:
    monkeypatch.setattr("solver.planning.plan", raises(error))
    ended, out, err = run("plan", TRAILER / "goal.yaml", "--json")
    assert ended == code and says in FailureDocument.model_validate_json(out).message and says in err
    assert run("plan", TRAILER / "goal.yaml")[:2] == (code, "")


def test_a_reading_that_was_kept_before_the_stop_is_not_called_unwritten(
    run: Run, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    folder = shutil.copytree(TRAILER, tmp_path / "t")
    monkeypatch.setattr("solver.measuring.asking.plan_change", raises(KeyboardInterrupt()))
    code, _, err = run("measure", "spring-tall", "free_height", "241 mm", "--how", "tape", "--goal", folder)
    assert code == app.Exit.INTERRUPTED
    assert err.endswith("stopped before the answer; the record is kept\n") and "nothing was written" not in err


def test_new_answers_as_a_document_too(run: Run, tmp_path: Path) -> None:
    code, out, _ = run("new", tmp_path / "my car", "--json")
    assert code == 0
    made = NewDocument.model_validate_json(out)
    assert made.folder == str(tmp_path / "my car") and all(Path(file).is_file() for file in made.written)
    code, out, _ = run("new", tmp_path / "its car")
    assert code == 0 and f"swapwright check '{tmp_path / 'its car'}', then" in out


def test_a_stop_while_it_is_being_loaded_is_told_like_any_other(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(app, "main", raises(KeyboardInterrupt()))
    with pytest.raises(SystemExit) as stopped:
        solver.cli.main()
    assert stopped.value.code == app.Exit.INTERRUPTED
    assert capsys.readouterr().err == "stopped; nothing was written\n"


@pytest.mark.parametrize(
    ("where", "code", "says"), [(">/dev/full", 2, "No space left"), (">&-", 0, ""), ("2>&-", 2, "")]
)
def test_a_stream_that_takes_nothing_is_no_traceback(where: str, code: int, says: str) -> None:
    asked = "no.yaml" if where.startswith("2") else "goal.yaml"
    command = f"'{sys.executable}' -c 'from solver.cli import main; main()' plan {asked} --json {where}"
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    done = subprocess.run(
        ["sh", "-c", command], capture_output=True, text=True, env=environment, cwd=TRAILER, check=False
    )
    assert done.returncode == code and says in done.stderr and "Traceback" not in done.stderr


def test_whoever_reads_only_the_head_of_an_answer_changes_nothing() -> None:
    """The reader is gone before anything is written; the exit code is the answer's all the same."""
    code = "from solver.cli import main; main()"
    for words, ended in ((["plan", "goal.yaml"], 0), (["why", "goal.yaml", "axle-big", "spring-tall"], 1)):
        reader, writer = os.pipe()
        os.close(reader)
        done = subprocess.run(
            [sys.executable, "-c", code, *words],
            stdout=writer,
            stderr=subprocess.PIPE,
            text=True,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            cwd=TRAILER,
            check=False,
        )
        os.close(writer)
        assert (done.returncode, done.stderr) == (ended, "")


def test_a_picture_in_dots_is_not_poured_over_a_screen(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("solver.cli.graph_command.screen", lambda out: 80 if out is None else None)
    code, out, err = run("graph", TRAILER / "no.yaml", "--to", "png")
    assert (code, out) == (app.Exit.BAD_INPUT, "") and "name a file: --out plan.png" in err


def test_a_fault_on_a_small_screen_is_broken_between_words(monkeypatch: pytest.MonkeyPatch) -> None:
    fault = (
        "parts.yaml:18: '13.6'; expected a length in mm, cm, m, km, in, ft or mile\n    mend: did you mean '13.6 mm'?"
    )
    for is_screen in (True, False):
        told = io.StringIO()
        told.isatty = lambda is_screen=is_screen: is_screen  # type: ignore[method-assign,misc]
        monkeypatch.setattr("sys.stderr", told)
        monkeypatch.setenv("COLUMNS", "40")
        remark(fault)
        assert told.getvalue().split() == fault.split()
        assert (max(map(len, told.getvalue().split("\n"))) <= 40) is is_screen
