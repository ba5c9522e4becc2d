"""``swapwright why``."""

from __future__ import annotations

from typing import Annotated

import typer

from .app import Exit, app
from .options import GoalArgument, JsonOption, OutOption, Units, UnitsOption, answer, screen
from .waiting import waiting


@app.command(epilog="Example: swapwright why goal.yaml rear-shafts-31 stock-rear-carrier")
def why(
    goal: GoalArgument,
    parts: Annotated[
        list[str] | None,
        typer.Argument(help="Parts by id, or position=id. One: why not this part. Several: do they go together."),
    ] = None,
    every: Annotated[bool, typer.Option("--all", help="The verdict on every part of the catalogue.")] = False,
    count: Annotated[
        bool, typer.Option("--count", help="Count how many builds there are, or use the one part; may take a minute.")
    ] = False,
    json: JsonOption = False,
    out: OutOption = None,
    units: UnitsOption = Units.METRIC,
) -> None:
    """Why a goal cannot be met, whether parts go together, why a part is in no build, and what would help."""
    from ..explain import why as explain
    from ..explain.text import why_text

    if count and (every or len(parts or ()) > 1):
        raise typer.BadParameter("counts for a goal, or for one part", param_hint="--count")
    if every and parts:
        raise typer.BadParameter("is for every part there is; name none with it", param_hint="--all")
    with waiting("counting builds" if count else "looking for reasons"):
        document = explain(goal, tuple(parts or ()), every, units.value, count)
    answer(document.model_dump_json(indent=2) if json else why_text(document, screen(out)), out)
    if document.answer == "no":
        raise typer.Exit(Exit.NO)
