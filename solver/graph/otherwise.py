"""What a conflict's text says of its members, for the picture: which draws one build, on which all but one hold."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import networkx as nx

from shared.explained import ConflictShown
from shared.shown import ReasonShown

from ..words import off
from .plain import plain

Otherwise = Mapping[str, "Told"]


@dataclass(frozen=True)
class Told:
    """Why a relation refuses a build that meets the rest of its conflict, and with which new parts that is."""

    reason: ReasonShown
    fitted: tuple[str, ...]

    def beside(self, left: str, right: str) -> str:
        """The numbers of the text in short, where they are not those of the build that is drawn."""
        one, other, by = self.reason.left.value, self.reason.right.value, off(self.reason)
        if one in left and other in right:
            return ""
        sides = one if self.reason.right.voice in ("the rule demands", "you asked") else f"{one} against {other}"
        fitted = f", with {'; '.join(self.fitted)}" if self.fitted else ""
        return f"else {sides}{f': {by}' if by else ''}{fitted}"


def otherwise(conflicts: Iterable[ConflictShown]) -> dict[str, Told]:
    """What is told of every rule and limit of some conflicts, by its name."""
    return {
        relation: Told(member.reasons[0], tuple(member.fitted))
        for conflict in conflicts
        for member in conflict.members
        if member.reasons and member.kind in ("rule", "limit")
        for relation in member.relations
    }


def tell_otherwise(graph: nx.MultiGraph, told: Otherwise) -> None:
    """Write at the members of conflicts what their text says, where the build drawn has other numbers."""
    things = [data for _, data in graph.nodes(data=True)] + [data for _, _, data in graph.edges(data=True)]
    for data in things:
        if data.get("conflict") and data["relation"] in told:
            more = told[data["relation"]].beside(str(data.get("left", "")), str(data.get("right", "")))
            if more:
                data["otherwise"] = plain(more, 1000)
