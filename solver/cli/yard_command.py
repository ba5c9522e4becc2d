"""``swapwright yard``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from .app import Exit, app, remark
from .options import GoalArgument, JsonOption, OutOption, Units, UnitsOption, answer, screen, write_whole, written_to
from .waiting import waiting


@app.command(epilog="Example: swapwright yard goal.yaml --cars saturday.csv --plan plan.json")
def yard(
    goal: GoalArgument,
    cars: Annotated[Path, typer.Option("--cars", help="The list of cars standing there: CSV or YAML.")],
    compare: Annotated[
        bool, typer.Option("--compare", help="Also plan with the whole catalogue, to see what is missing here.")
    ] = False,
    plan: Annotated[
        Path | None,
        typer.Option("--plan", help="Also write the plan here, for work, shop, graph and page.", callback=written_to),
    ] = None,
    json: JsonOption = False,
    out: OutOption = None,
    units: UnitsOption = Units.METRIC,
) -> None:
    """What to pull from the cars standing there, car by car: how to tell it, what to measure, when to leave it."""
    from ..yard import yard as walk
    from ..yard.text import yard_text

    with waiting("planning the walk"):
        document = walk(goal, cars, units=units.value, compare=compare)
    if plan is not None:
        write_whole(plan, document.plan.model_dump_json(indent=2) + "\n")
        remark(f"plan written to {plan}")
    answer(document.model_dump_json(indent=2) if json else yard_text(document, screen(out)), out)
    if not document.plan.builds:
        raise typer.Exit(Exit.NO)
