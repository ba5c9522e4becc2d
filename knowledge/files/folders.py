"""The YAML files of a folder."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

from shared.faults import Fault

from .documents import Faults, not_a_file

MOST_FOLDERS = 1_000
MOST_FILES = 5_000
YAML = (".yaml", ".yml")


def called_yaml(name: str) -> bool:
    """Whether a file is called one of YAML, the ways it is spelled; what begins with a dot is not looked at.

    >>> called_yaml("goal.yml"), called_yaml("PARTS.YAML"), called_yaml(".parts.yaml"), called_yaml("parts.txt")
    (True, True, False, False)
    """
    return name[0] != "." and name.lower().endswith(YAML)


def _below(folder: Path, faults: Faults) -> list[Path]:
    """Everything below a folder that is called a YAML file; none, and a fault, where the folder is a whole disk."""
    found: list[Path] = []

    def closed(error: OSError) -> None:
        at = error.filename or str(folder)
        faults.found.append(Fault(at, 0, "not-a-file", str(error.strerror), "a folder that can be read"))

    for count, (at, folders, names) in enumerate(os.walk(folder, onerror=closed)):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        found += [Path(at, name) for name in (*folders, *names) if called_yaml(name)]
        if count >= MOST_FOLDERS or len(found) > MOST_FILES:
            what = f"more than {MOST_FOLDERS} folders" if count >= MOST_FOLDERS else f"more than {MOST_FILES} files"
            mend = "name the folder that holds the parts, not one above it"
            faults.found.append(
                Fault(str(folder), 0, "too-big", f"{what} below this folder", "a folder of parts", mend)
            )
            return []
    return found


def yaml_files(folder: Path, root: Path, faults: Faults) -> Iterator[tuple[Path, str]]:
    """The YAML files below ``folder`` in the order of their names; none that leads out of ``root``.

    What begins with a dot is passed over.  A folder that holds more than a catalogue ever does is a fault.
    """
    inside = root.resolve()
    for path in sorted(_below(folder, faults)):
        name = path.relative_to(root).as_posix() if path.is_relative_to(root) else path.name
        if not path.resolve().is_relative_to(inside):
            faults.found.append(
                Fault(str(path), 0, "not-a-file", "a path that leads out of its folder", "files inside the folder")
            )
            continue
        if path.exists() and (there := not_a_file(path)):  # reading a pipe would wait for ever
            faults.found.append(Fault(str(path), 0, "not-a-file", there, "a file that can be read"))
            continue
        yield path, name
