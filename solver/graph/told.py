"""What a picture shows, in words, for whoever cannot see it."""

from __future__ import annotations

from .model import Graph
from .picked import in_order, is_refusal, loud, note_of, picked
from .written import edge_line, lines_of


def told(graph: Graph) -> tuple[str, ...]:
    """Everything the picture of a graph says, a line each: parts that change, clashes, doubts, and the notes."""
    chosen = picked(graph)
    drawn = chosen.graph
    lines = [chosen.summary.replace("   ·   ", ", ")]
    for node in in_order(drawn):
        data = drawn.nodes[node]
        if data["type"] == "rule" and "members" not in data:
            note = note_of(data, ())
            lines.append(f"{note.tag} {note.title}: {note.text}")
        elif data["type"] == "part" and loud(data):
            head, *rest = [line for line in lines_of(data) if line]
            lines.append(": ".join([head, ", ".join(rest)]) if rest else head)
    refused = is_refusal(graph)
    for _, _, data in drawn.edges(data=True):
        said = edge_line(data) if data["kind"] in ("mate", "belonging") else ""
        if said and (not refused or data["conflict"]):
            lines.append(said)
    lines += [f"{note.tag} {note.title}: {note.text}" for note in chosen.notes]
    return tuple(dict.fromkeys(lines))
