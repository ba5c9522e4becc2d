"""The kinds of files there are: what each is called, whether one is what is wanted, and where the wanted one lies."""

from __future__ import annotations

import re
from os.path import normpath
from pathlib import Path

from .documents import Document, Faults, said
from .folders import called_yaml

VERSION = 1
FORMATS = {
    "swapwright layout": "a layout",
    "swapwright condition": "a file of wear limits",
    "swapwright catalogue": "a catalogue of parts",
    "swapwright vehicle": "the car's file",
    "swapwright goal": "a goal",
    "swapwright cars": "a list of cars",
}
_HEAD, _MOST_LOOKED_AT, _MOST_NAMED = 4_000, 200, 6


def check_format(document: Document, expected: str, faults: Faults) -> bool:
    """Whether a document says it is what is wanted; a fault, with where that lies, if not."""
    stated = document.tree.get("format")
    if stated != expected:
        found = f"format {said(stated)}" if stated else "no format line"
        if isinstance(stated, str) and stated in FORMATS:
            found = f"{FORMATS[stated]} ({found})"
        goal = document.tree.get("goal_file")
        mend = f"that is an answer; name the goal it answers: {goal}" if isinstance(goal, str) else ""
        wanted = f"{FORMATS[expected]} (format: {expected})"
        faults.add(document, ("format",), "no-format", found, wanted, mend or beside(document.path, expected))
        return False
    return check_version(document, faults)


def check_version(document: Document, faults: Faults) -> bool:
    """Whether a document has the version that is read; a fault if not."""
    stated = document.tree.get("version")
    if stated != str(VERSION):
        found = f"version {said(stated)}" if stated else "no version line"
        faults.add(document, ("version",), "version", found, f"version: {VERSION}")
    return bool(stated == str(VERSION))


def beside(path: Path, wanted: str) -> str:
    """A mend naming the files of a format that lie beside a file, or else one folder up; empty where none does."""
    for folder in (path.parent, path.parent / ".."):
        names = [at.name for at in _yaml_beside(folder) if _says(at, wanted)]
        if names and len(names) <= _MOST_NAMED:
            where = [normpath(folder / name) for name in names]
            return f"{FORMATS[wanted]} lies beside it: {' or '.join(where)}"
    return ""


def _yaml_beside(folder: Path) -> list[Path]:
    try:
        return sorted(at for at in folder.iterdir() if called_yaml(at.name))[:_MOST_LOOKED_AT]
    except OSError:
        return []


def _says(path: Path, wanted: str) -> bool:
    """Whether the head of a file says that it is of a format."""
    try:
        with path.open("rb") as file:
            head = file.read(_HEAD).decode("utf-8", "replace")
    except OSError:
        return False
    return re.search(rf"^[ {{\"']*format[\"']? *: *[\"']?{wanted}\b", head, re.MULTILINE) is not None
