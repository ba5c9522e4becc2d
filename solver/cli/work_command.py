"""``swapwright work``."""

from __future__ import annotations

from typing import Annotated

import typer

from .app import Exit, app
from .options import JsonOption, OutOption, SourceArgument, Units, UnitsOption, answer, screen
from .waiting import waiting


@app.command(epilog="Example: swapwright work plan.json --build 2 --people 2")
def work(
    source: SourceArgument,
    build: Annotated[int, typer.Option("--build", min=1, max=50, help="Which of the plan's builds.")] = 1,
    people: Annotated[int, typer.Option("--people", min=1, max=2, help="2 adds who does what when.")] = 1,
    stands: Annotated[int, typer.Option("--stands", min=1, max=8, help="How many axle stands there are.")] = 4,
    json: JsonOption = False,
    out: OutOption = None,
    units: UnitsOption = Units.METRIC,
) -> None:
    """The work in order: consumables, tools, torques, cautions, and what to check before anybody drives."""
    from ..work import work as work_for
    from ..work.text import work_text

    with waiting("planning the work"):
        document = work_for(source, build, stands, units.value)
    text = document.model_dump_json(indent=2) if json else work_text(document, people, screen(out))
    answer(text, out)
    if document.answer != "work":
        raise typer.Exit(Exit.NO)
