"""``swapwright graph``."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from shared.errors import SwapwrightError

from .app import Exit, app
from .options import JsonOption, OutOption, SourceArgument, Units, UnitsOption, answer, screen
from .waiting import waiting


class To(StrEnum):
    """Formats to write."""

    GRAPHML = "graphml"
    DOT = "dot"
    MERMAID = "mermaid"
    JSON = "json"
    SVG = "svg"
    PNG = "png"


class Which(StrEnum):
    """What of it to show."""

    ALL = "all"
    CHANGED = "changed"
    DOUBTFUL = "doubtful"
    CONFLICT = "conflict"


@app.command(epilog="Example: swapwright graph plan.json --to svg --show changed --out plan.svg")
def graph(
    source: SourceArgument,
    to: Annotated[To, typer.Option("--to", help="The format to write.")] = To.SVG,
    show: Annotated[Which, typer.Option("--show", help="Only what changes, is doubtful, or clashes.")] = Which.ALL,
    around: Annotated[
        str | None, typer.Option("--around", help="What this part (or position) touches, two steps out.")
    ] = None,
    build: Annotated[
        int, typer.Option("--build", min=1, max=50, help="Which of the plan's builds; of a refusal, which conflict.")
    ] = 1,
    parts: Annotated[
        list[str] | None,
        typer.Option("--parts", help="Put this part in and judge it there: an id, or position=id. Repeat it."),
    ] = None,
    json: JsonOption = False,
    out: OutOption = None,
    units: UnitsOption = Units.METRIC,
) -> None:
    """The plan as a graph: parts, what meets what, and where it is doubtful or clashes."""
    from ..graph import graph as draw

    chosen = [name for text in parts or () for name in text.replace(",", " ").split()]
    wanted = To.JSON if json else to
    if wanted is To.PNG and screen(out) is not None:
        raise SwapwrightError("a picture in dots is nothing for a screen; name a file: --out plan.png")
    with waiting("drawing"):
        made = draw(source, wanted.value, show=show.value, around=around, build=build, parts=chosen, units=units.value)
    answer(made.body, out)
    if made.clashes and around is None:
        raise typer.Exit(Exit.NO)
