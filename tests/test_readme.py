"""What README prints is what the program prints: every block of output, found line by line in what its command says."""

from __future__ import annotations

import os
import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text("utf-8")
BLOCKS = re.findall(r"^```(\w*)\n(.*?)^```$", README, re.M | re.S)


def beginning(start: str) -> str:
    """The one block that begins so."""
    found = [text for _, text in BLOCKS if text.startswith(start)]
    assert len(found) == 1, start
    return found[0]


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder as README's reader has it: the demo, and a car of their own."""
    folder = tmp_path_factory.mktemp("readme")
    shutil.copytree(ROOT / "demo_data", folder / "demo_data")
    run(folder, "swapwright new mycar")
    return folder


def run(folder: Path, command: str) -> str:
    """What one command says, at the width of README's own blocks; what it remarks where it says nothing."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "COLUMNS": "100"}
    done = subprocess.run(
        [sys.executable, "-c", "from solver.cli import main; main()", *shlex.split(command, comments=True)[1:]],
        capture_output=True,
        text=True,
        env=environment,
        cwd=folder,
        check=False,
    )
    assert done.returncode in (0, 1, 2), done.stderr
    return done.stdout or done.stderr


MISTAKE = "mycar/catalogue/parts.yaml:18"
PRINTED = {
    "To the broken paths: the best": "swapwright plan",
    "  quantity ": "swapwright plan",
    "Why others fail: ": "swapwright plan",
    "What is already in the shed: ": "swapwright plan demo_data/fellgate/goal-clash.yaml",
    "Stop 2 of 2: ": "swapwright yard demo_data/fellgate/goal-trail.yaml --cars demo_data/fellgate/yard.csv",
    "$ swapwright measure ": "",
    "$ swapwright work ": "",
}


@pytest.mark.parametrize("start", sorted(PRINTED))
def test_the_lines_of_a_block_are_printed_in_that_order(place: Path, start: str) -> None:
    """README leaves lines out, and marks where it does; a table may be drawn narrower than the whole one."""
    shown = [" ".join(line.split()) for line in beginning(start).splitlines()]
    command = shown.pop(0)[2:] if start.startswith("$") else PRINTED[start]
    said = iter(" ".join(line.split()) for line in run(place, command).splitlines())
    for line in shown:
        if line != "..." and not set(line) <= set("- "):
            assert any(_same(line, other) for other in said), line


def test_a_mistake_is_answered_as_shown(place: Path) -> None:
    shutil.copytree(place / "mycar", place / "mistaken" / "mycar")
    file = place / "mistaken" / "mycar" / "catalogue" / "parts.yaml"
    text = file.read_text("utf-8")
    assert "{wire: 13.6 mm, active" in text
    file.write_text(text.replace("{wire: 13.6 mm, active", "{wire: 13.6, active"), "utf-8")
    assert run(place / "mistaken", "swapwright check mycar").startswith(beginning(MISTAKE))


def test_every_block_of_output_is_looked_at() -> None:
    """A block without a language is a command to type or something printed, and what is printed is compared above."""
    for language, text in BLOCKS:
        typed = any(line.startswith(("swapwright ", "python3 -m venv")) for line in text.splitlines())
        assert language or typed or text.startswith((*PRINTED, MISTAKE)), text


def _same(shown: str, said: str) -> bool:
    """Whether a line is the one README shows; what README ends in an ellipsis may go on."""
    return said == shown or (shown.endswith("...") and said.startswith(shown[:-3]))
