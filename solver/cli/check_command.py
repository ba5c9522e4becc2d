"""``swapwright check``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from .app import app
from .options import JsonOption, OutOption, Units, UnitsOption, answer, screen


@app.command(epilog="Example: swapwright check mycar")
def check(
    paths: Annotated[list[Path], typer.Argument(help="Folders or goal files to read.")],
    json: JsonOption = False,
    out: OutOption = None,
    units: UnitsOption = Units.METRIC,
) -> None:
    """Read everything, name every fault with file, line and mend, and list what is unknown or only claimed."""
    from ..checking import check as check_paths
    from ..report import check_text

    document = check_paths(paths, units.value)
    answer(document.model_dump_json(indent=2) if json else check_text(document, screen(out)), out)
