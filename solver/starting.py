"""Making a folder to start from."""

from __future__ import annotations

import shutil
from pathlib import Path

from shared.faults import BadInput, Fault

from .demo import demo_folder

START = "start"
FROM_DEMO = (Path("vehicle.yaml"), Path("catalogue/stock.yaml"))


def new(folder: Path) -> list[Path]:
    """Write a vehicle, a catalogue, a goal and a list of cars into a new folder; nothing is ever overwritten.

    Raises :class:`BadInput` if something is already there.

    >>> from pathlib import Path
    >>> from tempfile import mkdtemp
    >>> from solver import new
    >>> sorted(path.name for path in new(Path(mkdtemp()) / "mycar"))
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
        written.append(target)
    return written
