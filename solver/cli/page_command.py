"""``swapwright page``."""

from __future__ import annotations

from typing import Annotated

import typer

from .app import Exit, app
from .options import JsonOption, OutOption, SourceArgument, Units, UnitsOption, answer
from .waiting import waiting


@app.command(epilog="Example: swapwright page plan.json --out plan.html")
def page(
    source: SourceArgument,
    build: Annotated[int, typer.Option("--build", min=1, max=50, help="Which of the plan's builds.")] = 1,
    json: JsonOption = False,
    out: OutOption = None,
    units: UnitsOption = Units.METRIC,
) -> None:
    """One offline page for the phone: what to buy, what to measure, the picture, the work, with boxes to tick."""
    from ..page import page as made_of

    with waiting("making the page"):
        document = made_of(source, build, units.value)
    if json:
        answer(document.model_dump_json(indent=2), out)
    else:
        from ..page.markup import page_html

        answer(page_html(document), out)
    if document.answer == "no":
        raise typer.Exit(Exit.NO)
