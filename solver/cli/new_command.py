"""``swapwright new``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from .app import app
from .options import JsonOption, OutOption, answer, screen


@app.command(epilog="Example: swapwright new mycar")
def new(
    folder: Annotated[Path, typer.Argument(help="The folder to make; it may not exist yet.")],
    json: JsonOption = False,
    out: OutOption = None,
) -> None:
    """Make a folder to start from: vehicle, catalogue and goal, with comments."""
    from ..starting import new as make
    from ..starting import new_text

    document = make(folder)
    answer(document.model_dump_json(indent=2) if json else new_text(document, screen(out)), out)
