"""Which release it is: told from a checkout, from what is installed, and in words where there is neither."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from tomllib import loads

import pytest

from shared.errors import SwapwrightError
from solver.release import release

ROOT = Path(__file__).parent.parent.parent


def installed(folder: Path, version: str) -> Path:
    """A folder of installed packages in which swapwright of that version stands."""
    about = folder / f"swapwright-{version}.dist-info"
    about.mkdir()
    (about / "METADATA").write_text(f"Metadata-Version: 2.1\nName: swapwright\nVersion: {version}\n")
    return folder


def test_a_checkout_says_it_itself_whatever_is_installed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.syspath_prepend(installed(tmp_path, "99.5"))
    assert release() == loads((ROOT / "pyproject.toml").read_text())["project"]["version"]


@pytest.mark.parametrize("beside", ["", '[project]\nname = "another"\nversion = "3.2"\n'])
def test_elsewhere_what_was_installed_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, beside: str) -> None:
    monkeypatch.syspath_prepend(installed(tmp_path, "99.5"))
    if beside:
        (tmp_path / "pyproject.toml").write_text(beside)
    assert release(tmp_path) == "99.5"


def test_neither_is_told_in_words(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "path", [])
    with pytest.raises(SwapwrightError, match="no version is known"):
        release(tmp_path)


def test_the_command_tells_it_before_anything_else() -> None:
    code = "from solver.cli import main; main()"
    done = subprocess.run(
        [sys.executable, "-c", code, "--version", "plan"],
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        check=True,
    )
    assert (done.stdout, done.stderr) == (f"swapwright {release()}\n", "")
