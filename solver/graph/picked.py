"""What of a graph goes on paper: what says nothing is left out, what says the same is put together.

Nothing that speaks is dropped: what has no place in the picture becomes a numbered note beside it.
"""

from __future__ import annotations

from dataclasses import dataclass

from .model import BODY, Graph
from .numbers import off
from .written import tags

MOST_RULES = 10
MOST_ENDS = 6
# So many doubtful rules that hang on the same parts become one card.
MANY = 3
_NOTE_TAGS = {
    ("must", "does not fit"): "CLASH",
    ("must", "fits if checked"): "CHECK",
    ("must", "fits"): "CONFLICT",
    ("should", "does not fit"): "ADVICE",
    ("should", "fits if checked"): "ADVICE IN DOUBT",
    ("check", "does not fit"): "LOOK",
    ("check", "fits if checked"): "LOOK",
}
NOTE_ORDER = ("CLASH", "CONFLICT", "CHANGE", "CHECK", "ADVICE", "ADVICE IN DOUBT", "LOOK", "PART")


@dataclass(frozen=True)
class Note:
    """Something told beside the picture; ``ends`` are the nodes its number stands at."""

    tag: str
    title: str
    text: str
    ends: tuple[str, ...]


@dataclass(frozen=True)
class Picked:
    """The graph as it is drawn, the notes beside it, and all of it in one line of words."""

    graph: Graph
    notes: tuple[Note, ...]
    summary: str


def picked(graph: Graph) -> Picked:
    """What of a graph is drawn, and what is told beside it."""
    found = graph.copy()
    refused = is_refusal(graph)
    rules: list[str] = []
    # Rules told beside the picture, each with the node its number stands at where that is not its parts.
    aside: dict[str, str] = {}
    for node, data in graph.nodes(data=True):
        if data["type"] == "rule":
            speaks = data["conflict"] if refused else data["verdict"] != "fits"
            if data["severity"] == "must" and speaks:
                rules.append(node)
                continue
            if speaks:
                aside[node] = ""
            found.remove_node(node)
        elif data.get("status") == "empty" and not data.get("change"):
            found.remove_node(node)
    rules = _gathered(found, rules, aside)
    rules.sort(key=lambda n: (not found.nodes[n]["conflict"], found.nodes[n]["standing"] != "clash"))
    for rule in rules[MOST_RULES:]:
        aside |= dict.fromkeys(str(found.nodes[rule].get("members", rule)).split("\n"), "")
        found.remove_node(rule)
    for one, two, key, data in list(found.edges(keys=True, data=True)):
        dull = BODY in (one, two) and data["verdict"] == "fits" and not data["conflict"]
        beside = refused and data["verdict"] != "fits" and not data["conflict"]
        if dull or beside or not (data["decides"] or data.get("could_mend")):
            found.remove_edge(one, two, key)
    notes = [_rule_note(graph, rule, at) for rule, at in aside.items()]
    order = {node: i for i, node in enumerate(graph.nodes)}
    for rule in rules[:MOST_RULES]:
        edges = sorted(
            found.edges(rule, keys=True), key=lambda e: (bool(found.edges[e].get("could_mend")), order[e[1]])
        )
        if edges[MOST_ENDS:]:
            notes.append(note_of(found.nodes[rule], tuple(e[1] for e in edges[MOST_ENDS:]), "hangs on more parts"))
        found.remove_edges_from(edges[MOST_ENDS:])
    if BODY in found and found.degree(BODY) == 0:
        found.remove_node(BODY)
    notes.sort(key=lambda n: NOTE_ORDER.index(n.tag))
    return Picked(found, tuple(notes), _summary(graph, found, refused))


def is_refusal(graph: Graph) -> bool:
    """Whether a graph is that of a refusal: then only the conflict's own members count."""
    return any(d.get("conflict") for _, d in graph.nodes(data=True)) or any(
        d["conflict"] for _, _, d in graph.edges(data=True)
    )


def note_of(data: dict[str, object], ends: tuple[str, ...], more: str = "") -> Note:
    """A rule or an edge as a note: what it asks, both sides, by how much, what to measure."""
    title = str(data.get("title") or str(data["relation"]).replace("-", " "))
    gap = off(data)
    sides = str(data.get("sides") or ", ".join(str(data[k]) for k in ("left", "right") if data.get(k)))
    needs = str(data.get("needs") or "").replace("_", " ")
    if needs and needs in sides:
        sides = ""
    numbers = sides and (f"{sides}: {gap}" if gap else sides)
    told = [str(data.get("says", "")), numbers, str(data.get("otherwise", "")), needs, more]
    text = ". ".join(dict.fromkeys(x.rstrip(".") for x in told if x))
    return Note(_NOTE_TAGS[str(data["severity"]), str(data["verdict"])], title, text, ends)


def card_note(graph: Graph, node: str) -> Note:
    """A card that could not say all it has to say."""
    data = graph.nodes[node]
    if data["type"] == "rule":
        return note_of(data, (node,))
    if data.get("mends"):
        told = [f"now {data['name']}", f"would do: {data['mends']}", f"because: {data['because']}"]
        return Note("CHANGE", str(data["title"]), ". ".join(told), (node,))
    return Note("PART", str(data["title"]), str(data.get("name", "")), (node,))


def _rule_note(graph: Graph, rule: str, at: str) -> Note:
    ends = tuple(sorted({n for _, n, d in graph.edges(rule, data=True) if d["decides"]}))
    return note_of(graph.nodes[rule], (at,) if at else ends)


def _gathered(graph: Graph, rules: list[str], aside: dict[str, str]) -> list[str]:
    """Rules with many doubtful ones that hang on the same parts put together as one, each told ``aside``."""
    hanging: dict[tuple[str, ...], list[str]] = {}
    for rule in rules:
        if graph.nodes[rule]["verdict"] == "fits if checked" and not graph.nodes[rule]["conflict"]:
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
            "says": "each is told below",
            "needs": "; ".join(needs),
            "sides": "",
            "left": "",
            "right": "",
            "members": "\n".join(some),
        }
        node = "rule:" + " ".join(some)
        aside |= dict.fromkeys(some, node)
        graph.remove_nodes_from(some)
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


def _summary(graph: Graph, drawn: Graph, refused: bool) -> str:
    """The picture in one line of words."""
    parts = [d for _, d in drawn.nodes(data=True) if d["type"] == "part"]
    counts = [
        (sum(d["status"] in ("new", "altered", "adapter") for d in parts), "new"),
        (sum(d["status"] == "moved" for d in parts), "moved"),
        (sum(d["status"] in ("removed", "missing") for d in parts), "removed or missing"),
    ]
    said = [f"{n} {word}" for n, word in counts if n]
    told = {(d["relation"], key): d for _, _, key, d in drawn.edges(keys=True, data=True) if d["kind"] in _MEETINGS}
    told |= {(d["relation"], ""): d for _, d in graph.nodes(data=True) if d["type"] == "rule"}
    speaking = [d for d in told.values() if (d["conflict"] if refused else d["verdict"] != "fits")]

    def count(severity: str, *verdicts: str) -> int:
        return sum(d["severity"] == severity and d["verdict"] in verdicts for d in speaking)

    clashes, doubts = count("must", "does not fit"), count("must", "fits if checked")
    advice, looks = count("should", "does not fit"), count("check", "does not fit", "fits if checked")
    unsure = count("should", "fits if checked")
    if not parts:
        said.append("nothing of that kind here")
    said.append(f"{clashes} clash{'es' if clashes != 1 else ''}" if clashes else "no clash")
    said.append(f"{doubts} to check" if doubts else "nothing doubtful")
    said += [f"advice not followed: {advice}"] if advice else []
    said += [f"advice in doubt: {unsure}"] if unsure else []
    said += [f"{looks} to look into"] if looks else []
    conflicts = len({d["conflict"] for d in speaking if d["conflict"]})
    if conflicts:
        said.append(
            "these cannot all hold" if conflicts == 1 else f"{conflicts} separate conflicts, each must be answered"
        )
    return "   ·   ".join(said)


_MEETINGS = ("mate", "belonging")
