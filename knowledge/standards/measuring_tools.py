"""What a reading was taken with, how well that tool knows it, and how well the value is then known."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from knowledge.standards import rows
from shared.evidence import EVIDENCE_WORDS, Evidence
from shared.reading import read_quantity

ANY = "any"


@dataclass(frozen=True, slots=True)
class Tool:
    """A tool for one measure: ``tolerance`` in SI each way, or ``share`` of the reading; ``text`` as in the table."""

    name: str
    measure: str
    tolerance: float
    share: float
    text: str
    evidence: Evidence
    about: str
    source: str


@cache
def measuring_tools() -> Mapping[str, Mapping[str, Tool]]:
    """By the name of the tool and the measure it reads (``any`` reads every one)."""
    found: dict[str, dict[str, Tool]] = {}
    for row in rows("measuring_tools"):
        measure, tolerance, share = row["measure"], row["tolerance"], row["share"]
        plain = measure in (ANY, "word")
        found.setdefault(row["tool"], {})[measure] = Tool(
            name=row["tool"],
            measure=measure,
            tolerance=0.0 if plain or not tolerance else read_quantity(tolerance, measure).value.hi,
            share=read_quantity(share, "share").value.hi if share else 0.0,
            text=tolerance or share,
            evidence=EVIDENCE_WORDS[row["evidence"]],
            about=row["about"],
            source=row["source"],
        )
    return MappingProxyType(found)


def tool_for(name: str, measure: str) -> Tool | None:
    """The tool of that name as it reads a measure; ``None`` where it does not."""
    tools = measuring_tools().get(name, {})
    return tools.get(measure) or tools.get(ANY)


def tools_of(measure: str) -> tuple[str, ...]:
    """The tools that read a measure, in the order of the table."""
    return tuple(name for name in measuring_tools() if tool_for(name, measure) is not None)
