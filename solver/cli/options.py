"""Options that every command shares, and the writing of answers."""

from __future__ import annotations

import json
import os
import re
import secrets
import stat
import sys
from contextlib import suppress
from enum import StrEnum
from pathlib import Path
from shutil import get_terminal_size
from textwrap import wrap
from typing import Annotated

import typer

from shared.errors import SwapwrightError


class Units(StrEnum):
    """Unit systems to print in."""

    METRIC = "metric"
    US = "us"


JsonOption = Annotated[bool, typer.Option("--json", help="Answer as JSON, one document.")]
OutOption = Annotated[Path | None, typer.Option("--out", help="Write the answer to this file instead.")]
UnitsOption = Annotated[Units, typer.Option("--units", help="Print in these units.")]


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


# What a terminal obeys or a reader cannot see: control characters but for the line's end and the tab, marks that turn
# the direction of writing, separators of lines, what takes no room, halves of characters.  Joiners that scripts need
# to write words are no such thing.
_UNSEEN = re.compile(
    r"[\x00-\x08\x0b-\x1f\x7f-\x9f\xad\u061c\u180e\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f]"
    r"|[\ud800-\udfff\ufeff\ufff9-\ufffb\U000e0000-\U000e007f]"
)


def visible(text: str) -> str:
    r"""The text with everything unseen in it written out, as ``\u202e``: names come from strangers.

    In JSON that is the same text still, for so it is written there.

    >>> print(visible("a\x1b[31mb"))
    a\u001b[31mb
    """
    return _UNSEEN.sub(lambda match: json.dumps(match[0])[1:-1], text)


_MARK = re.compile(r" *(?:- |\[ \] |\d+\. )?")


def folded(text: str, columns: int) -> str:
    """Lines too long for so many columns folded between words, the rest of a line below its beginning.

    Rows of tables, which have wide gaps, stay as they are.

    >>> print(folded("- a spring and a damper", 12))
    - a spring
      and a
      damper
    """
    lines = []
    for line in text.split("\n"):
        mark = _MARK.match(line)
        indent = mark.end() if mark else 0
        if len(line) <= columns or "  " in line[indent:] or columns < 2 * indent + 10:
            lines.append(line)
        else:
            rest = " " * indent
            lines += wrap(line, columns, subsequent_indent=rest, break_long_words=False, break_on_hyphens=False)
    return "\n".join(lines)


def answer(text: str, out: Path | None, fold: bool = False) -> None:
    """Give an answer: on stdout, or to a file that is written whole or not at all.

    With ``fold`` it is made to fit a terminal; what goes anywhere else stays as it is.
    """
    text = visible(text)
    if fold and out is None and sys.stdout.isatty():
        text = folded(text, get_terminal_size().columns)
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
    """Write a file by way of a new one beside it, so that no half-written file is ever there.

    A new file is as readable as the user's mask lets it be, an old one stays as readable as it was.  What is no
    file (a terminal, ``/dev/null``) is written to as it is.
    """
    if not path.parent.is_dir():
        raise SwapwrightError(f"there is no folder {path.parent} to write {path.name} in")
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
