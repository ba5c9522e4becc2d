"""What of a graph goes on paper: what says nothing is left out, what says the same is put together."""

from __future__ import annotations

from .model import BODY, Graph
from .written import tags

MOST_RULES = 10
MOST_ENDS = 6
# So many doubtful rules that hang on the same parts become one card.
MANY = 3


def picked(graph: Graph) -> tuple[Graph, int]:
    """The graph without what says nothing on paper, and how many things to check were left out."""
    found = graph.copy()
    rules = []
    refused = any(d.get("conflict") for _, d in graph.nodes(data=True)) or any(
        d["conflict"] for _, _, d in graph.edges(data=True)
    )
    for node, data in graph.nodes(data=True):
        if data["type"] == "rule":
            speaks = data["conflict"] if refused else data["verdict"] != "fits"
            if data["severity"] == "must" and speaks:
                rules.append(node)
            else:
                found.remove_node(node)
        elif data.get("status") == "empty" and not data.get("change"):
            found.remove_node(node)
    rules = _gathered(found, rules)
    rules.sort(key=lambda n: (not found.nodes[n]["conflict"], found.nodes[n]["standing"] != "clash"))
    found.remove_nodes_from(rules[MOST_RULES:])
    for one, two, key, data in list(found.edges(keys=True, data=True)):
        dull = BODY in (one, two) and data["verdict"] == "fits"
        beside = refused and data["verdict"] != "fits" and not data["conflict"]
        if dull or beside or not (data["decides"] or data.get("could_mend")):
            found.remove_edge(one, two, key)
    order = {node: i for i, node in enumerate(graph.nodes)}
    for rule in rules[:MOST_RULES]:
        edges = sorted(
            found.edges(rule, keys=True), key=lambda e: (bool(found.edges[e].get("could_mend")), order[e[1]])
        )
        found.remove_edges_from(edges[MOST_ENDS:])
    if BODY in found and found.degree(BODY) == 0:
        found.remove_node(BODY)
    return found, max(0, len(rules) - MOST_RULES)


def _gathered(graph: Graph, rules: list[str]) -> list[str]:
    """Rules with many doubtful ones that hang on the same parts put together as one."""
    hanging: dict[tuple[str, ...], list[str]] = {}
    for rule in rules:
        if graph.nodes[rule]["verdict"] == "fits if checked":
            ends = tuple(sorted(n for _, n, d in graph.edges(rule, data=True) if d["decides"]))
            hanging.setdefault(ends, []).append(rule)
    left = list(rules)
    for ends, some in hanging.items():
        if len(some) < MANY:
            continue
        first = graph.nodes[some[0]]
        needs = dict.fromkeys(n for r in some for n in str(graph.nodes[r].get("needs", "")).split("; ") if n)
        together = {
            **first,
            "title": f"{len(some)} rules hang on this",
            "says": ", ".join(str(graph.nodes[r]["title"]) for r in some),
            "needs": "; ".join(needs),
            "sides": "",
            "left": "",
            "right": "",
            "counts": len(some),
        }
        graph.remove_nodes_from(some)
        node = "rule:" + " ".join(some)
        graph.add_node(node, **together)
        for end in ends:
            graph.add_edge(node, end, key=f"{node}/{end}", **{**together, "decides": True})
        left = [r for r in left if r not in some] + [node]
    return left


def in_order(graph: Graph) -> list[str]:
    """Nodes by how much they matter."""

    def rank(node: str) -> int:
        data = graph.nodes[node]
        if data["type"] == "body":
            return 4
        if data.get("steps") == 0:
            return 0
        return {"clash": 1, "doubt": 2, "sound": 3 if loud(data) else 5}[data["standing"]]

    return sorted(graph.nodes, key=lambda n: rank(n))


def loud(data: dict[str, object]) -> bool:
    """Whether a node is more than a part that stays as it is."""
    return bool(tags(data)) or data["type"] != "part"


def summary(graph: Graph, hidden: int) -> str:
    """The picture in one line of words."""
    parts = [d for _, d in graph.nodes(data=True) if d["type"] == "part"]
    counts = [
        (sum(d["status"] in ("new", "altered", "adapter") for d in parts), "new"),
        (sum(d["status"] == "moved" for d in parts), "moved"),
        (sum(d["status"] in ("removed", "missing") for d in parts), "removed or missing"),
    ]
    said = [f"{n} {word}" for n, word in counts if n]
    told = [d for _, _, d in graph.edges(data=True) if d["kind"] in ("mate", "belonging") and d["severity"] == "must"]
    told += [d for _, d in graph.nodes(data=True) if d["type"] == "rule"]
    clashes = sum(d["verdict"] == "does not fit" for d in told)
    doubts = sum(int(d.get("counts", 1)) for d in told if d["verdict"] == "fits if checked") + hidden
    if not parts:
        said.append("nothing of that kind here")
    said.append(f"{clashes} clash{'es' if clashes != 1 else ''}" if clashes else "no clash")
    said.append(f"{doubts} to check" if doubts else "nothing doubtful")
    conflicts = len({d["conflict"] for d in told if d["conflict"]})
    if conflicts:
        said.append(
            "these cannot all hold" if conflicts == 1 else f"{conflicts} separate conflicts, each must be answered"
        )
    return "   ·   ".join(said)
