"""Options that every command shares, and the writing of answers."""

from __future__ import annotations

import os
import sys
import tempfile
from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer


class Units(StrEnum):
    """Unit systems to print in."""

    METRIC = "metric"
    US = "us"


JsonOption = Annotated[bool, typer.Option("--json", help="Answer as JSON, one document.")]
OutOption = Annotated[Path | None, typer.Option("--out", help="Write the answer to this file instead.")]
UnitsOption = Annotated[Units, typer.Option("--units", help="Print in these units.")]


def answer(text: str, out: Path | None) -> None:
    """Give an answer: on stdout, or to a file that is written whole or not at all."""
    if not text.endswith("\n"):
        text += "\n"
    if out is None or str(out) == "-":
        sys.stdout.write(text)
        sys.stdout.flush()
        return
    write_whole(out, text)
    print(f"written to {out}", file=sys.stderr)


def write_whole(path: Path, text: str) -> None:
    """Write a text file whole or not at all."""
    write_whole_bytes(path, text.encode("utf-8"))


def write_whole_bytes(path: Path, data: bytes) -> None:
    """Write a file by way of a temporary one beside it, so that no half-written file is ever there.

    It may be read by whoever may read the person's other files: a temporary file by itself is closed to all others.
    """
    mask = os.umask(0)
    os.umask(mask)
    handle, name = tempfile.mkstemp(dir=path.parent or Path(), prefix=f".{path.name}.")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        Path(name).chmod(0o666 & ~mask)
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
