"""Making a folder to start from."""

from __future__ import annotations

import shutil
from pathlib import Path

from shared.faults import BadInput, Fault

from .demo import demo_folder

START = "start"


def new(folder: Path) -> list[Path]:
    """Write a vehicle, a catalogue and a goal with comments into a new folder; nothing is ever overwritten.

    Raises :class:`BadInput` if something is already there.
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
    source = demo_folder().parent / START
    files = sorted(p for p in source.rglob("*") if p.is_file())
    written = []
    for file in files:
        target = folder / file.relative_to(source)
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(file, target)
        written.append(target)
    return written
