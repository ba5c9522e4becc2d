"""Options that every command shares, and the writing of answers."""

from __future__ import annotations

import os
import re
import secrets
import stat
import sys
from contextlib import suppress
from enum import StrEnum
from pathlib import Path
from shutil import get_terminal_size
from typing import Annotated

import typer

from shared.errors import SwapwrightError

from ..unseen import visible
from .app import remark


class Units(StrEnum):
    """Unit systems to print in."""

    METRIC = "metric"
    US = "us"


def written_to(path: Path | None) -> Path | None:
    """A file to write an answer to, looked at before the work is done that may take a minute.

    Raises :class:`SwapwrightError` where there is no folder for it, it is one itself, or somebody wrote it by hand: a
    goal named twice on one line is not to be lost for that.
    """
    if path is not None and not path.parent.is_dir():
        raise SwapwrightError(f"there is no folder {path.parent} to write {path.name} in")
    if path is not None and path.is_dir():
        raise SwapwrightError(f"{path} is a folder; name a file to write")
    if path is not None and path.is_file() and (kind := _written_by_hand(path)):
        raise SwapwrightError(f"{path} is a file of {kind}; no answer is written over it")
    return path


def _written_by_hand(path: Path) -> str:
    """What people write a file says it is: one of the formats, readings, a list of cars; empty for anything else."""
    from knowledge.files.documents import MOST_BYTES
    from knowledge.files.formats import FORMATS
    from knowledge.measured.measurements import FILE
    from knowledge.yard.cars import names_cars

    if path.name == FILE:
        return "readings"
    text = ""
    with suppress(OSError), path.open("rb") as file:
        text = file.read(MOST_BYTES).decode("utf-8-sig", errors="replace")
    if stated := re.search(rf"^[ {{\"']*format[\"']? *: *[\"']?({'|'.join(FORMATS)})\b", text, re.MULTILINE):
        return stated[1]
    return "cars standing in a yard" if names_cars(text) else ""


def _is_plan(data: bytes) -> bool:
    """Whether what is in a file, or is to be, is a plan as JSON, from which other answers are made."""
    return re.match(rb'\s*\{\s*"format": *"swapwright plan"', data) is not None


JsonOption = Annotated[bool, typer.Option("--json", help="Answer as JSON, one document.")]
OutOption = Annotated[
    Path | None, typer.Option("--out", help="Write the answer to this file instead.", callback=written_to)
]
UnitsOption = Annotated[Units, typer.Option("--units", case_sensitive=False, help="Print in these units.")]


def goal_here(path: Path | None) -> Path | None:
    """The only goal of a folder where a folder is named; anything else as it is.

    Raises :class:`shared.faults.BadInput` where the folder holds no goal, or several.
    """
    if path is None or not path.is_dir():
        return path
    from ..measuring.asking import goal_at

    return goal_at(path)


GoalArgument = Annotated[Path, typer.Argument(help="The goal file, or the folder of the only one.", callback=goal_here)]
SourceArgument = Annotated[
    Path,
    typer.Argument(
        help="A plan's JSON, or a goal file (or the folder of the only one), which is planned first.",
        callback=goal_here,
    ),
]


def screen(out: Path | None) -> int | None:
    """How many columns the screen has that an answer goes to; ``None`` where it goes elsewhere."""
    to_stdout = out is None or str(out) == "-"
    return get_terminal_size().columns if to_stdout and sys.stdout.isatty() else None


def answer(told: str | bytes, out: Path | None) -> None:
    """Give an answer, a text or a picture: on stdout, or to a file that is written whole or not at all."""
    if isinstance(told, str):
        told = visible(told)
        told += "" if told.endswith("\n") else "\n"
    if out is None or str(out) == "-":
        _say(told)
    else:
        write_whole_bytes(out, told if isinstance(told, bytes) else told.encode("utf-8"))
        remark(f"written to {out}")


def _say(told: str | bytes) -> None:
    """Something on stdout; whoever reads no further of it (``head``) has what they wanted, and it is no fault.

    What could not be written is not tried again when the process ends.
    """
    try:
        if isinstance(told, str):
            sys.stdout.write(told)
        else:
            sys.stdout.buffer.write(told)
        sys.stdout.flush()
    except OSError as error:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        if not isinstance(error, BrokenPipeError):
            raise


def write_whole(path: Path, text: str) -> None:
    """Write a text file whole or not at all."""
    write_whole_bytes(path, text.encode("utf-8"))


def write_whole_bytes(path: Path, data: bytes) -> None:
    """Write a file by way of a new one beside it, so that no half-written file is ever there.

    A new file is as readable as the user's mask lets it be, an old one stays as readable as it was.  What is no
    file (a terminal, ``/dev/null``) is written to as it is.
    """
    written_to(path)
    if path.is_file() and _is_plan(path.read_bytes()) and not _is_plan(data):
        raise SwapwrightError(f"{path} is a plan that was kept; no other answer is written over it")
    old = path.stat().st_mode if path.exists() else None
    if old is not None and not stat.S_ISREG(old):
        path.write_bytes(data)
        return
    beside = path.parent / f".{path.name}.{secrets.token_hex(6)}"
    try:
        with os.fdopen(os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666), "wb") as file:
            if old is not None:
                beside.chmod(stat.S_IMODE(old))
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        beside.replace(path)
    except BaseException as error:
        with suppress(OSError):
            beside.unlink()
        if isinstance(error, OSError):  # it names the new file, which nobody asked for
            raise OSError(error.errno, error.strerror, str(path)) from None
        raise
