"""``swapwright calc``."""

from __future__ import annotations

from typing import Annotated

import typer

from .app import app
from .options import JsonOption, OutOption, Units, UnitsOption, answer


@app.command(
    epilog='Example: swapwright calc shackle_lift --list   or   swapwright calc ride_frequency "rate=21 N/mm" '
    '"sprung_mass=310 kg"'
)
def calc(
    name: Annotated[str | None, typer.Argument(help="The formula.")] = None,
    inputs: Annotated[
        list[str] | None, typer.Argument(help="Inputs as name=value, with units; ranges are fine.")
    ] = None,
    listing: Annotated[bool, typer.Option("--list", help="List the formulas by subject.")] = False,
    json: JsonOption = False,
    out: OutOption = None,
    units: UnitsOption = Units.METRIC,
) -> None:
    """Any formula by itself, with its source and where it is valid."""
    from shared.faults import BadInput, Fault

    from ..calculating import calc as compute
    from ..report import calc_text, formula_list

    if listing or name is None:
        answer(formula_list(name), out)
        return
    pairs: dict[str, str] = {}
    for text in inputs or []:
        key, sign, value = text.partition("=")
        if not sign:
            raise BadInput([Fault("calc", 0, "shape", repr(text), "name=value", "as rate=21 N/mm, in quotes")])
        pairs[key.strip()] = value.strip()
    document = compute(name, pairs, units.value)
    answer(document.model_dump_json(indent=2) if json else calc_text(document), out)
