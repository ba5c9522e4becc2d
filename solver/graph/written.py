"""The graph in the formats other programs read: GraphML, JSON node-link, DOT and Mermaid.

Whatever a name holds, it stays a name: JSON and GraphML escape by their own rules, DOT and Mermaid by the two
functions at the end.
"""

from __future__ import annotations

import json
import textwrap

import networkx as nx

from .model import Graph
from .numbers import off
from .plain import clipped
from .showing import showing

MERMAID_LETTERS = 60
MERMAID_MOST_EDGES = 480
"""Its readers refuse a drawing of more than 500 edges unless told otherwise."""


def graphml(graph: Graph) -> str:
    """GraphML, every attribute typed."""
    head = "<?xml version='1.0' encoding='utf-8'?>\n"
    return head + "\n".join(nx.generate_graphml(graph)) + "\n"


def node_link(graph: Graph) -> str:
    """JSON, node-link: ``nodes`` with ``id``, ``edges`` with ``source``, ``target`` and ``key``."""
    document = {
        "format": "swapwright graph",
        "version": 1,
        "directed": False,
        "multigraph": True,
        "graph": dict(graph.graph),
        "nodes": [{"id": node, **data} for node, data in graph.nodes(data=True)],
        "edges": [
            {"source": one, "target": two, "key": key, **data}
            for one, two, key, data in graph.edges(keys=True, data=True)
        ],
    }
    return json.dumps(document, indent=1, ensure_ascii=False)


# -- looks: shape, line and words say the same as the colour

_STATUS_WORDS = {
    "new": "NEW",
    "altered": "ALTERED",
    "adapter": "ADAPTER",
    "moved": "MOVED",
    "removed": "REMOVED",
    "missing": "MISSING",
}
_STANDING_WORDS = {"clash": "CLASH", "doubt": "CHECK"}


def tags(data: dict[str, object]) -> list[str]:
    """The words a node carries: what happens to it, and what is wrong with it."""
    found = [_STATUS_WORDS[str(data["status"])]] if data.get("status") in _STATUS_WORDS else []
    if data.get("steps") == 0:
        return ["THIS PART"]
    change = {"must": "CHANGE TOO", "one of": "OR CHANGE"}.get(str(data.get("change", "")))
    standing = change or _STANDING_WORDS.get(str(data["standing"]))
    if data.get("conflicts"):
        # Which of several conflicts: those that stand beside a clash without being it are told too.
        standing = f"{'CLASH' if standing == 'CLASH' else 'CONFLICT'} {data['conflicts']}"
    return found if standing is None else [*found, standing]


def lines_of(data: dict[str, object]) -> list[str]:
    """What a node says: its tags and title, then what is there."""
    head = " ".join([*tags(data), str(data["title"])])
    if data["type"] == "rule":
        return [head, str(data["says"]), _both(data)]
    count = data.get("count", 1)
    second = str(data["name"])
    return [f"{head} x{count}" if count != 1 else head, second]


def _both(data: dict[str, object]) -> str:
    text = str(data.get("sides") or " / ".join(str(data[k]) for k in ("left", "right") if data.get(k)))
    told = f"{text}: {off(data)}" if off(data) else text
    return f"{told}; {data['otherwise']}" if data.get("otherwise") else told


def edge_line(data: dict[str, object]) -> str:
    """What an edge says where it does not plainly fit."""
    if data["verdict"] == "fits" and not data["conflict"]:
        return ""
    word = {"fits": "", "fits if checked": "CHECK ", "does not fit": "CLASH "}[str(data["verdict"])]
    return f"{word}{data['relation']}: {_both(data)}"


def dot(graph: Graph) -> str:
    """DOT with every attribute, and a look of its own."""
    lines = ["graph plan {"]
    lines += [f"  {_quoted(f'sw_{k}')}={_quoted(v)};" for k, v in graph.graph.items()]
    lines += ["  layout=neato; overlap=prism; splines=line; outputorder=edgesfirst;"]
    closing = [*textwrap.wrap(str(graph.graph["closing"]), MERMAID_LETTERS)]
    lines.append(f'  label={_quoted(_label(closing))}; labelloc=b; fontname="Helvetica"; fontsize=11;')
    lines += ['  node [fontname="Helvetica", fontsize=11]; edge [fontname="Helvetica", fontsize=10];']
    for node, data in graph.nodes(data=True):
        lines.append(f"  {_quoted(node)} [{_attributes(data, _dot_look(data))}];")
    for one, two, key, data in graph.edges(keys=True, data=True):
        look = {"fits": "solid", "fits if checked": "dashed", "does not fit": "bold"}[data["verdict"]]
        width = "3" if data["verdict"] == "does not fit" else "1"
        text = _label([edge_line(data)]) if data["kind"] in ("mate", "belonging") else ""
        if _quiet(graph.nodes[one]) or _quiet(graph.nodes[two]) or not data["decides"]:
            look = "invis"
        more = {"key": key, "style": look, "penwidth": width, "label": text}
        lines.append(f"  {_quoted(one)} -- {_quoted(two)} [{_attributes({'key': key, **data}, more)}];")
    return "\n".join([*lines, "}"]) + "\n"


def _quiet(data: dict[str, object]) -> bool:
    """What a drawing can do without; its attributes stay in the file."""
    return data.get("status") == "empty" or (
        data["type"] == "rule" and data["verdict"] == "fits" and not data["conflict"]
    )


def _dot_look(data: dict[str, object]) -> dict[str, object]:
    standing = data["standing"]
    shape = "note" if data["type"] == "rule" else {"sound": "box", "doubt": "hexagon", "clash": "doubleoctagon"}
    found: dict[str, object] = {
        "shape": shape if isinstance(shape, str) else shape[str(standing)],
        "style": "invis" if _quiet(data) else "dashed" if standing == "doubt" else "bold" if tags(data) else "solid",
        "label": _label(lines_of(data)),
    }
    if "forward" in data:
        # Inches; two and a half to the metre keep the labels apart.
        found["pos"] = f"{-7.0 * float(str(data['left'])):.3f},{5.0 * float(str(data['forward'])):.3f}"
    return found


def _attributes(ours: dict[str, object], look: dict[str, object]) -> str:
    """Our attributes with a prefix, for several of their names mean something to DOT itself; then the look."""
    named = [(f"sw_{k}", v) for k, v in ours.items()]
    return ", ".join(f"{_quoted(k)}={_quoted(v)}" for k, v in (*named, *look.items()))


def _quoted(value: object) -> str:
    """A DOT string: only the quote needs a backslash, and a backslash of the text must not join it."""
    if isinstance(value, bool):
        return '"true"' if value else '"false"'
    if isinstance(value, _Label):
        return f'"{value.text}"'
    # A doubled backslash reads back as two from plain attributes, so the look-alike takes its place.
    text = str(value).replace("\\", "\u29f5").replace('"', '\\"')
    return f'"{text}"'


class _Label:
    """Label text already escaped: DOT reads escapes and entities there."""

    def __init__(self, text: str) -> None:
        self.text = text


def _label(lines: list[str]) -> object:
    shown = [clipped(line, MERMAID_LETTERS) for line in lines if line]
    text = "\\n".join(
        line.replace("\\", "\\\\").replace('"', '\\"').replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
        for line in shown
    )
    return _Label(text)


def mermaid(graph: Graph) -> str:
    """A Mermaid flow chart: parts and mates, and every rule that has something to say."""
    graph = _worth_drawing(graph)
    names = {node: f"n{i}" for i, node in enumerate(graph.nodes)}
    lines = ["flowchart TB", "  accTitle: " + _entities(str(graph.graph["title"]))]
    closing = _entities(str(graph.graph["closing"]))
    lines.append("  accDescr: " + closing)
    lines += [
        "  classDef changed stroke-width:3px,stroke:#003a5d,fill:#d6e8f5,color:#000000",
        "  classDef kept stroke:#888888,fill:#ffffff,color:#333333",
        "  classDef doubt stroke-width:2px,stroke:#000000,stroke-dasharray:5 4,fill:#fff3b0,color:#000000",
        "  classDef clash stroke-width:4px,stroke:#b03a00,fill:#ffffff,color:#000000",
        "  classDef rule stroke:#000000,fill:#f2f2f2,color:#000000",
    ]
    for node, data in graph.nodes(data=True):
        text = "<br/>".join(_entities(clipped(line, MERMAID_LETTERS)) for line in lines_of(data) if line)
        left, right = {"sound": ("[", "]"), "doubt": ("{{", "}}"), "clash": ("[[", "]]")}[data["standing"]]
        if data["type"] == "rule":
            left, right = ">", "]"
        look = {"doubt": "doubt", "clash": "clash"}.get(str(data["standing"]))
        look = look or ("rule" if data["type"] == "rule" else "changed" if tags(data) else "kept")
        lines.append(f'  {names[node]}{left}"{text}"{right}:::{look}')
    for one, two, data in graph.edges(data=True):
        line = {"fits": "---", "fits if checked": "-.-", "does not fit": "==="}[data["verdict"]]
        said = _entities(clipped(edge_line(data), 2 * MERMAID_LETTERS)) if data["kind"] in ("mate", "belonging") else ""
        label = f'|"{said}"|' if said else ""
        lines.append(f"  {names[one]} {line}{label} {names[two]}")
    lines.append(f'  closing["{closing}"]:::rule')
    return "\n".join(lines) + "\n"


def _worth_drawing(graph: Graph) -> Graph:
    """What a drawing by another program can carry: rules that fit and meetings with the body that fit are left out."""
    found = showing(graph, "all")
    for node, data in graph.nodes(data=True):
        if _quiet(data):
            found.remove_node(node)
    for one, two, key, data in graph.edges(keys=True, data=True):
        dull = data["verdict"] == "fits" and not data["conflict"]
        if found.has_edge(one, two, key) and ((dull and "body" in (one, two)) or not data["decides"]):
            found.remove_edge(one, two, key)
    if "body" in found and found.degree("body") == 0:
        found.remove_node("body")
    drawn = list(found.edges(keys=True, data=True))
    if len(drawn) > MERMAID_MOST_EDGES:
        ranked = sorted(range(len(drawn)), key=lambda i: (drawn[i][3]["verdict"] == "fits", i))
        found.remove_edges_from([drawn[i][:3] for i in ranked[MERMAID_MOST_EDGES:]])
    return found


# Letters and digits of any script, and marks that mean nothing to Mermaid inside quotes.
_HARMLESS = " ,.:+-/=()_"


def _entities(text: str) -> str:
    """Mermaid's own number escapes for everything but letters, digits and a few harmless marks."""
    return "".join(c if c.isalnum() or c in _HARMLESS else f"#{ord(c)};" for c in text)
