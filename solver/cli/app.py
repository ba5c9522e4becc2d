"""The commands put together, and the one place where anything that goes wrong is turned into words."""

from __future__ import annotations

import gc
import os
import sys
from contextlib import suppress
from enum import IntEnum
from importlib import import_module
from io import TextIOWrapper
from itertools import pairwise
from shutil import get_terminal_size
from typing import TYPE_CHECKING, Annotated, TextIO, cast

import typer

from ..unseen import visible

if TYPE_CHECKING:
    from shared.faults import Fault

# What typer raises for a wrong command line, whichever library it parses with.
UsageError = cast("type[typer.BadParameter]", typer.BadParameter.__base__)

COMMANDS = ("new", "check", "plan", "why", "measure", "yard", "shop", "work", "graph", "page", "calc")


class Exit(IntEnum):
    """Exit codes."""

    ANSWERED = 0
    NO = 1
    BAD_INPUT = 2
    OWN_FAULT = 3
    INTERRUPTED = 130


class Stopped(Exception):
    """Somebody stopped a command that has done something already: what is kept, and what is not."""


app = typer.Typer(
    name="swapwright",
    help="Find which used parts go together on your car, what they do to it, and why the others do not fit.",
    epilog="Start with: swapwright plan   (the demo), then: swapwright new mycar",
    no_args_is_help=True,
    add_completion=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)


def _tell_release(asked: bool) -> None:
    if asked:
        from ..release import NAME, release

        print(NAME, release())
        raise typer.Exit(Exit.ANSWERED)


@app.callback()
def _before_any_command(
    version: Annotated[
        bool, typer.Option("--version", help="Say which release this is.", callback=_tell_release, is_eager=True)
    ] = False,
) -> None:
    """Take what is said before the name of a command."""


def load_commands() -> None:
    """Register the commands that are there, in the order people meet them."""
    from importlib.util import find_spec

    for name in COMMANDS:
        if find_spec(f"solver.cli.{name}_command") is not None:
            import_module(f"solver.cli.{name}_command")


def quicken() -> None:
    """Settings of the whole process that save a command time; a library would not make them for its host.

    Python looks for circles of objects to collect after every 700 made; a command makes many that last and few
    circles.  numpy starts a thread for every core for linear algebra, which nothing here uses.
    """
    gc.set_threshold(50_000)
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")


def remark(text: str) -> None:
    """Say something beside the answer, on stderr; on a screen its lines are broken to the width."""
    text = visible(text)
    if sys.stderr.isatty():
        from ..folding import fitted

        text = fitted([text], get_terminal_size().columns)
    with suppress(OSError):
        print(text, file=sys.stderr)


def main() -> None:
    """Run the command line; never shows a traceback."""
    quicken()
    _ready()
    sys.exit(_outcome())


def _outcome() -> int:
    """Run the command that was asked for; how it ended, as an exit code."""
    load_commands()
    from shared.errors import SwapwrightError
    from shared.faults import BadInput

    try:
        code = app(standalone_mode=False) or Exit.ANSWERED
    except UsageError as error:
        error.show()
        return _failed(error.format_message(), told=True)
    except BadInput as error:
        for fault in error.faults:
            remark(str(fault))
        remark("")
        from ..words import counted

        return _failed(f"{counted(len(error.faults), 'fault')} found; nothing was done", faults=error.faults)
    except (SwapwrightError, OSError) as error:
        return _failed(f"cannot go on: {_said(error)}")
    except RecursionError:
        return _failed("cannot go on: something is nested too deep")
    except Stopped as stop:
        return _failed(f"stopped {stop}", Exit.INTERRUPTED)
    except KeyboardInterrupt:
        code = Exit.INTERRUPTED
    except Exception as error:
        says = f"a fault of swapwright itself, please report it: {type(error).__name__}: {error}"
        return _failed(says, Exit.OWN_FAULT)
    # Ctrl-C comes out of the command-line library as an exit code without a word.
    return _failed("stopped; nothing was written", Exit.INTERRUPTED) if code == Exit.INTERRUPTED else code


def _failed(message: str, code: Exit = Exit.BAD_INPUT, faults: tuple[Fault, ...] = (), told: bool = False) -> Exit:
    """Say why there is no answer, in words unless ``told``, and where JSON was asked for as a document."""
    if not told:
        remark(message)
    if json_asked(sys.argv[1:]):
        from shared.failure import FailureDocument

        from .options import answer

        with suppress(OSError):  # where stdout is what failed
            answer(FailureDocument(message=message, faults=faults).model_dump_json(indent=2), None)
    return code


def json_asked(words: list[str]) -> bool:
    """Whether a command line asks for JSON, however wrong the rest of it is.

    >>> json_asked(["plan", "--most", "none", "--json"]), json_asked(["measure", "--", "--json"])
    (True, False)
    """
    options = words[: words.index("--")] if "--" in words else words
    return "--json" in options or "--to=json" in options or ("--to", "json") in pairwise(options)


def _ready() -> None:
    """Let names in any script out: what goes to a file or on is UTF-8, a screen that lacks a letter shows its code.

    Left as it is, a stream of an older code page stops the answer half-way at the first letter it does not have.  What
    is told to a stream that was closed beforehand goes nowhere.
    """
    sys.stdout = sys.stdout or _nowhere()
    sys.stderr = sys.stderr or _nowhere()
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(encoding=None if stream.isatty() else "utf-8", errors="backslashreplace")


def _nowhere() -> TextIO:
    return open(os.devnull, "w", encoding="utf-8")  # noqa: PTH123  it lasts as long as the process


def _said(error: Exception) -> str:
    """What went wrong, with the file before it and no number of the system's."""
    if isinstance(error, OSError) and error.strerror:
        return f"{error.filename}: {error.strerror}" if error.filename is not None else error.strerror
    return str(error)
