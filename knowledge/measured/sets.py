"""How far the pieces of one set lie apart: what their readings say of it, with one tool or with several."""

from __future__ import annotations

from collections.abc import Hashable
from itertools import combinations

from shared.ranges import Range
from shared.reading import read_quantity

from ..standards.measuring_tools import tool_for
from .measurements import Reading
from .readings import Settled
from .recorded import states_uncertainty


def _tool(reading: Reading, measure: str) -> Hashable:
    """What a reading was taken with and how well that knows it; a tool good to a share knows every size alike."""
    tool = tool_for(reading.how, measure)
    if tool is not None and tool.share:
        return reading.how
    tolerance = read_quantity(reading.tolerance, measure).value.hi if reading.tolerance else 0.0
    stated = read_quantity(reading.value.text, measure).value if states_uncertainty(reading.value.text) else None
    return reading.how, round(tolerance, 12), stated and round(stated.width, 12)


def _as_read(text: str, measure: str) -> Range:
    """The number that was read, without what the tool leaves open."""
    read = read_quantity(text, measure).value
    return Range.exactly(read.lo + read.width / 2) if states_uncertainty(text) else read


def _difference(one: Range, two: Range) -> Range:
    off = one - two
    return Range(max(0.0, off.lo, -off.hi), max(off.hi, -off.lo))


def apart(known: Settled, measure: str) -> dict[tuple[str, str], Range]:
    """How far any two pieces lie apart in one attribute.

    An error that one tool makes on both falls out of the difference; what two tools leave open adds up.
    """
    tools = {p: {_tool(r, measure) for r in known.readings if r.piece == p} for p in known.pieces}
    found = {}
    for pair in combinations(sorted(known.pieces), 2):
        values = [known.pieces[piece] for piece in pair]
        if len(tools[pair[0]] | tools[pair[1]]) == 1:
            ranges = [_as_read(value.text, measure) for value in values]
        else:
            ranges = [value.value for value in values if isinstance(value.value, Range)]
        if len(ranges) == 2:
            found[pair] = _difference(ranges[0], ranges[1])
    return found
