"""``swapwright measure``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from .app import Exit, Stopped, app, remark
from .options import JsonOption, OutOption, Units, UnitsOption, answer, screen


@app.command(
    context_settings={"ignore_unknown_options": True},
    epilog="Example: swapwright measure coil-lindel-long wire 13.4 mm --piece left --how caliper --goal mycar",
)
def measure(
    part: Annotated[str | None, typer.Argument(help="The part's id, or vehicle. None: list the readings.")] = None,
    attribute: Annotated[
        str | None, typer.Argument(help="What was read, as wire or upper.outside. None: what is worth reading.")
    ] = None,
    value: Annotated[list[str] | None, typer.Argument(help="The value as read, with its unit: 13.4 mm.")] = None,
    goal: Annotated[Path, typer.Option("--goal", help="The goal, or the folder of the only one.")] = Path(),
    piece: Annotated[str, typer.Option("--piece", help="Which piece: left, right, row 14.")] = "",
    new_piece: Annotated[
        bool, typer.Option("--new-piece", help="It is another piece, however like the name of one it looks.")
    ] = False,
    how: Annotated[str, typer.Option("--how", help="What it was read with: caliper, tape, count, mark, told.")] = "",
    tolerance: Annotated[str, typer.Option("--tolerance", help="How far off the tool may be, each way.")] = "",
    at: Annotated[str, typer.Option("--at", help="The day or time it was read; now, unless given.")] = "",
    note: Annotated[str, typer.Option("--note", help="Anything worth remembering.")] = "",
    replaces: Annotated[int | None, typer.Option("--replaces", help="The line this reading corrects.")] = None,
    withdraw: Annotated[
        int | None, typer.Option("--withdraw", help="Take this line back, as if it had never been written.")
    ] = None,
    aside: Annotated[bool, typer.Option("--aside", help="Leave this piece of the part out from now on.")] = False,
    no_plan: Annotated[bool, typer.Option("--no-plan", help="Do not make the plan before and after.")] = False,
    json: JsonOption = False,
    out: OutOption = None,
    units: UnitsOption = Units.METRIC,
) -> None:
    """Keep what was measured on a piece and say at once what it changes; list it; say what is worth measuring."""
    from ..measuring.asking import measure as keep
    from ..measuring.text import measure_text

    kept: list[int] = []

    def told(line: int, file: str) -> None:
        kept.append(line)
        remark(f"kept: line {line} of {file}")

    try:
        document = keep(
            goal,
            part,
            attribute,
            " ".join(value) if value else None,
            piece=piece,
            new_piece=new_piece,
            how=how,
            tolerance=tolerance,
            at=at,
            note=note,
            replaces=replaces,
            withdraws=withdraw,
            aside=aside,
            planned=not no_plan,
            told=told,
            units=units.value,
        )
    except KeyboardInterrupt:
        if not kept:
            raise
        raise Stopped("before the answer; the record is kept") from None
    answer(document.model_dump_json(indent=2) if json else measure_text(document, screen(out)), out)
    if document.answer == "no":
        raise typer.Exit(Exit.NO)
