"""``swapwright shop``."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from .app import Exit, app
from .options import JsonOption, OutOption, SourceArgument, Units, UnitsOption, answer, screen
from .waiting import waiting


class To(StrEnum):
    """Formats to write."""

    TEXT = "text"
    CSV = "csv"
    MARKDOWN = "markdown"
    JSON = "json"


@app.command(epilog="Example: swapwright shop plan.json --to csv --out list.csv")
def shop(
    source: SourceArgument,
    to: Annotated[To, typer.Option("--to", help="The format to write.")] = To.TEXT,
    build: Annotated[int, typer.Option("--build", min=1, max=50, help="Which of the plan's builds.")] = 1,
    json: JsonOption = False,
    out: OutOption = None,
    units: UnitsOption = Units.METRIC,
) -> None:
    """Everything to get for a build: parts used and new, fasteners, seals, fluids, core charges, totals."""
    from ..shopping import shop as list_all
    from ..shopping_written import shopping_csv, shopping_markdown, shopping_text

    with waiting("making the list"):
        document = list_all(source, build, units.value)
    if json or to is To.JSON:
        text = document.model_dump_json(indent=2)
    elif to is To.TEXT:
        text = shopping_text(document, screen(out))
    else:
        text = shopping_csv(document) if to is To.CSV else shopping_markdown(document)
    answer(text, out)
    if document.totals is None:
        raise typer.Exit(Exit.NO)
