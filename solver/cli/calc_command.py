"""``swapwright calc``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from .app import app, remark
from .options import JsonOption, OutOption, Units, UnitsOption, answer, goal_here, screen, write_whole_bytes, written_to


@app.command(
    epilog='Example: swapwright calc ride_frequency "rate=21 N/mm" "sprung_mass=310 kg"   or   '
    "swapwright calc brake-balance --car demo_data/fellgate/goal-trail.yaml --plot balance.svg"
)
def calc(
    name: Annotated[str | None, typer.Argument(help="The formula, a named picture, or a quantity of the car.")] = None,
    inputs: Annotated[
        list[str] | None,
        typer.Argument(help="Inputs as name=value, with units; ranges are fine; several values with ; between."),
    ] = None,
    listing: Annotated[bool, typer.Option("--list", help="List the formulas by subject.")] = False,
    car: Annotated[
        Path | None,
        typer.Option(
            "--car",
            help="A goal file, or the folder of the only one: inputs not given are those of its car as it stands.",
            callback=goal_here,
        ),
    ] = None,
    against: Annotated[
        str | None, typer.Option("--against", help='Compute along one input: "name=lo to hi", with units.')
    ] = None,
    plot: Annotated[
        Path | None, typer.Option("--plot", help="Draw that as a .svg or .png file.", callback=written_to)
    ] = None,
    json: JsonOption = False,
    out: OutOption = None,
    units: UnitsOption = Units.METRIC,
) -> None:
    """Any formula by itself, with its source and where it is valid; as a number, a table or a picture."""
    from ..calculating import calc as compute
    from ..calculating import given_inputs
    from ..formula_list import list_formulas
    from ..formula_text import calc_text, chart_text, formula_list
    from ..plotting import chart, drawn, form_of, is_picture

    if listing or name is None:
        listed = list_formulas(name)
        answer(listed.model_dump_json(indent=2) if json else formula_list(listed, screen(out)), out)
        return
    given = given_inputs(inputs or ())
    if against is None and plot is None and not is_picture(name):
        document = compute(name, given, units.value, car)
        answer(document.model_dump_json(indent=2) if json else calc_text(document, screen(out)), out)
        return
    form = None if plot is None else form_of(plot)
    curves = chart(name, given, against or "", units.value, car)
    if plot is not None and form is not None:
        write_whole_bytes(plot, drawn(curves, form, units.value))
        remark(f"drawn to {plot}")
    text = curves.model_dump_json(indent=2) if json else chart_text(curves, units.value, screen(out))
    answer(text, out)
