"""``swapwright plan``."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from .app import Exit, app, remark
from .options import JsonOption, OutOption, Units, UnitsOption, answer, goal_here, screen
from .waiting import waiting


class Engines(StrEnum):
    """What searches."""

    OURS = "ours"
    CP_SAT = "cp-sat"


@app.command(epilog="Example: swapwright plan goal.yaml --json --out plan.json")
def plan(
    goal: Annotated[
        Path | None,
        typer.Argument(help="The goal file, or the folder of the only one; without, the demo's.", callback=goal_here),
    ] = None,
    most: Annotated[int, typer.Option("--most", min=1, max=50, help="How many builds to show.")] = 3,
    json: JsonOption = False,
    out: OutOption = None,
    units: UnitsOption = Units.METRIC,
    engine: Annotated[
        Engines, typer.Option("--engine", help="What searches: changes the time, never the answer.")
    ] = Engines.OURS,
) -> None:
    """The best builds for a goal: what to buy, what changes, what to check first, why others fail."""
    from ..demo import demo_goal
    from ..planning import plan as plan_goal

    if goal is None:
        remark("no goal given: this is the demo's")
    with waiting("searching"):
        document = plan_goal(goal or demo_goal(), most, units.value, engine.value)
    if json:
        answer(document.model_dump_json(indent=2), out)
    else:
        from ..report import plan_text

        answer(plan_text(document, screen(out)), out)
    if not document.builds:
        raise typer.Exit(Exit.NO)
