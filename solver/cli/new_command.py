"""``swapwright new``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from .app import app, remark


@app.command(epilog="Example: swapwright new mycar")
def new(folder: Annotated[Path, typer.Argument(help="The folder to make; it may not exist yet.")]) -> None:
    """Make a folder to start from: vehicle, catalogue and goal, with comments."""
    from ..starting import new as make

    written = make(folder)
    for path in written:
        remark(f"written: {path}")
    remark(f"next: swapwright check {folder}, then swapwright plan {folder / 'goal.yaml'}")
