"""Making a folder to start from."""

from __future__ import annotations

import shutil
from pathlib import Path
from shlex import quote
from typing import Literal

from shared.faults import BadInput, Fault
from shared.shown import Model

from .demo import demo_folder
from .folding import fitted

START = "start"
GOAL = "goal.yaml"
FROM_DEMO = (Path("vehicle.yaml"), Path("catalogue/stock.yaml"))


class NewDocument(Model):
    """A folder that was made, and the files written into it."""

    format: Literal["swapwright new"] = "swapwright new"
    version: Literal[1] = 1
    folder: str
    written: tuple[str, ...]


def new(folder: Path) -> NewDocument:
    """Write a vehicle, a catalogue, a goal and a list of cars into a new folder; nothing is ever overwritten.

    Raises :class:`BadInput` if something is already there.

    >>> from pathlib import Path
    >>> from tempfile import mkdtemp
    >>> from solver import new
    >>> sorted(Path(file).name for file in new(Path(mkdtemp()) / "mycar").written)
    ['cars.csv', 'goal.yaml', 'parts.yaml', 'stock.yaml', 'vehicle.yaml']
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise BadInput(
            [
                Fault(
                    str(folder),
                    0,
                    "not-a-file",
                    "something is already there",
                    "a new or empty folder",
                    "choose another name",
                )
            ]
        )
    start, demo = demo_folder().parent / START, demo_folder()
    files = {path.relative_to(start): path for ending in ("yaml", "csv") for path in start.rglob(f"*.{ending}")}
    files |= {name: demo / name for name in FROM_DEMO}
    written = []
    for name, source in sorted(files.items()):
        target = folder / name
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(source, target)
        written.append(str(target))
    return NewDocument(folder=str(folder), written=tuple(written))


def new_text(document: NewDocument, wide: int | None = None) -> str:
    """What was written and what to do with it, for paper or for a screen of ``wide`` columns."""
    folder, goal = quote(document.folder), quote(str(Path(document.folder) / GOAL))
    lines = [f"written: {path}" for path in document.written]
    return fitted([*lines, f"next: swapwright check {folder}, then swapwright plan {goal}"], wide)
