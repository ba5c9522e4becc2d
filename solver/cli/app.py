"""The commands put together, and the one place where anything that goes wrong is turned into words."""

from __future__ import annotations

import gc
import os
import sys
from enum import IntEnum
from importlib import import_module
from io import TextIOWrapper
from shutil import get_terminal_size
from typing import Annotated

import typer

from ..unseen import visible

COMMANDS = ("new", "check", "plan", "why", "measure", "yard", "shop", "work", "graph", "page", "calc")


class Exit(IntEnum):
    """Exit codes."""

    ANSWERED = 0
    NO = 1
    BAD_INPUT = 2
    OWN_FAULT = 3
    INTERRUPTED = 130


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
    print(text, file=sys.stderr)


def main() -> None:
    """Run the command line; never shows a traceback."""
    quicken()
    load_commands()
    from shared.errors import SwapwrightError
    from shared.faults import BadInput

    _ready()
    try:
        app()
    except SystemExit as stop:
        # Ctrl-C comes out of the command-line library as an exit code without a word.
        if stop.code == Exit.INTERRUPTED:
            remark("stopped; nothing was written")
        raise
    except BadInput as error:
        _bad_input(error)
    except KeyboardInterrupt:
        remark("stopped; nothing was written")
        sys.exit(Exit.INTERRUPTED)
    except BrokenPipeError:
        sys.stderr.close()
        sys.exit(Exit.ANSWERED)
    except (SwapwrightError, OSError) as error:
        remark(f"cannot go on: {_said(error)}")
        sys.exit(Exit.BAD_INPUT)
    except RecursionError:
        remark("cannot go on: something is nested too deep")
        sys.exit(Exit.BAD_INPUT)
    except Exception as error:
        remark(f"a fault of swapwright itself, please report it: {type(error).__name__}: {error}")
        sys.exit(Exit.OWN_FAULT)


def _ready() -> None:
    """Let names in any script out: what goes to a file or on is UTF-8, a screen that lacks a letter shows its code.

    Left as it is, a stream of an older code page stops the answer half-way at the first letter it does not have.
    """
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            stream.reconfigure(encoding=None if stream.isatty() else "utf-8", errors="backslashreplace")


def _said(error: Exception) -> str:
    """What went wrong, with the file before it and no number of the system's."""
    if isinstance(error, OSError) and error.strerror:
        return f"{error.filename}: {error.strerror}" if error.filename is not None else error.strerror
    return str(error)


def _bad_input(error: object) -> None:
    from shared.faults import BadInput

    assert isinstance(error, BadInput)
    if "--json" in sys.argv:
        import json

        faults = [vars(f) for f in error.faults]
        document = {"format": "swapwright faults", "version": 1, "faults": faults}
        print(visible(json.dumps(document, indent=2, ensure_ascii=False)))
    for fault in error.faults:
        remark(str(fault))
    count = len(error.faults)
    remark(f"\n{count} fault{'s' if count != 1 else ''} found; nothing was done")
    sys.exit(Exit.BAD_INPUT)
