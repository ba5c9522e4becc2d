"""The graph of a build: parts, the body, rules and goal lines as nodes; who answers to whom as edges.

Every node and edge carries texts, numbers, whole numbers and truth values only, so that a reader that knows
nothing of this project gets all of it.  Keys that end in ``.lo``, ``.hi`` or ``.si`` hold SI numbers.

The graph itself has ``title``, ``goal``, ``vehicle``, ``layout``, ``units``, and of the whole build ``price``,
``hours``, ``skill`` and ``donors``.

Nodes (``type``)
    ``part``   one a position: ``position``, ``part`` (id), ``name``, ``status``, ``standing``, ``donor``, ``price``,
               ``hours``, ``evidence``, where it sits (``forward``, ``left`` in metres), and every ``port.attribute``
               and ``property.name`` with its unit
    ``body``   the car itself, with the attributes of its ports
    ``rule``   a requirement, a goal line or another relation on more than two parts

Edges
    a mate joins the two ends that meet; a rule is joined to every part it looks at.  Each has ``relation``,
    ``kind``, ``severity``, ``verdict``, both sides, ``margin`` (how much is left, off, or perhaps off), ``gap`` where
    it is missed for certain, and ``reference`` (where the rule is from); a member of a conflict also ``otherwise``,
    the numbers of the conflict's text where they are others.

``conflicts`` (on nodes, only where there are several) names by number those a node is part of.

``status``    kept, moved, new, altered, adapter, removed, empty, missing (empty where something is owed)
``standing``  sound, doubt, clash: the worst verdict any refusing relation gives at that part
"""

from __future__ import annotations

from collections.abc import Sequence
from types import MappingProxyType
from typing import TypeAlias

import networkx as nx

from shared.layout import Join
from shared.ranges import Range
from shared.units import System
from shared.verdict import Verdict

from ..mating import Meeting
from ..problem import Problem
from ..relations import Build, Relation
from ..words import CLOSING, VERDICT_WORDS
from .hanging import deciding_positions
from .nodes import body_node, effort_of, part_node, spans_of
from .numbers import Numbers, Plain, compared, room_of, ruled
from .otherwise import Otherwise, tell_otherwise
from .plain import plain

BODY = "body"
CHANGED = ("new", "altered", "adapter", "moved", "removed")
STANDINGS = {Verdict.FITS: "sound", Verdict.CHECK: "doubt", Verdict.NO: "clash"}
_GOAL = ("goal limit", "goal choice")

Graph: TypeAlias = nx.MultiGraph


def graph_of_build(
    problem: Problem,
    build: Build,
    units: System = "metric",
    conflicts: Sequence[Sequence[Relation]] = (),
    title: str = "",
    wants: bool = True,
    otherwise: Otherwise = MappingProxyType({}),
) -> Graph:
    """The graph of one build; each of ``conflicts`` is a set of relations that cannot all hold.

    Members of the first carry ``conflict`` 1, of the second 2; everything else 0.  With conflicts given, only they
    make a clash: what else the build breaks is beside the point.  Without ``wants`` the goal's own lines are left
    out.  ``otherwise`` is what the text of the conflicts says of their members, by relation.
    """
    together = {r.name: i for i, members in reversed(list(enumerate(conflicts, 1))) for r in members}
    places = problem.garage.layout.positions
    found = nx.MultiGraph(
        format="swapwright graph",
        version=1,
        title=plain(title or problem.goal.name),
        goal=plain(problem.goal.name),
        vehicle=plain(problem.garage.vehicle.name),
        layout=plain(problem.garage.layout.name),
        units=units,
        front=max((p.where[0] for p in places.values()), default=0.0),
        rear=min((p.where[0] for p in places.values()), default=0.0),
        half=max((abs(p.where[1]) for p in places.values()), default=0.0),
        spans=spans_of(problem),
        closing=CLOSING,
        numbers="keys that end in .lo, .hi or .si hold SI numbers",
        **effort_of(problem, build, units),
    )
    found.add_node(BODY, **body_node(problem, units))
    for at in problem.garage.layout.positions:
        found.add_node(at, **part_node(problem, at, build, units))
    joins = {join.id: join for join in problem.garage.layout.joins}
    for relation in problem.relations:
        conflicting = together.get(relation.name, 0)
        if relation.kind == "mate":
            _add_mate(found, problem, joins[relation.name], build, units, conflicting)
        elif relation.kind == "belonging":
            _add_belonging(found, relation, build, conflicting)
        elif wants or relation.kind not in _GOAL:
            _add_rule(found, problem, relation, build, units, conflicting)
    tell_otherwise(found, otherwise)
    _add_standings(found, bool(together))
    if len(conflicts) > 1:
        _add_conflicts(found)
    return found


# -- edges


def _add_mate(found: Graph, problem: Problem, join: Join, build: Build, units: System, conflict: int) -> None:
    meetings = problem.mating.meetings(join, build)
    for i, meeting in enumerate(meetings, 1):
        verdicts = [_verdict(problem, meeting, k) for k in range(len(meeting.comparisons))]
        verdict = meeting.verdict if not verdicts else max(verdicts)
        attributes: dict[str, Plain] = {
            "relation": join.id,
            "kind": "mate",
            "severity": "must",
            "verdict": VERDICT_WORDS[verdict],
            "interface": meeting.kind.name,
            "left_at": meeting.left.place,
            "right_at": meeting.right.place,
            "says": plain(meeting.kind.about),
            "reference": "",
            "decides": True,
            "conflict": conflict if verdict is not Verdict.FITS or len(meetings) == 1 else 0,
        }
        if meeting.left.values is None or meeting.right.values is None:
            attributes |= _portless(meeting)
        elif verdicts:
            k = _deciding(meeting, verdicts)
            rule = meeting.comparisons[k].rule
            numbers = [compared(meeting, c, problem.goal.trust) for c in meeting.comparisons]
            attributes |= numbers[k].attributes(units)
            attributes["compares"] = plain("; ".join(_line(n, units) for n in numbers), 1000)
            attributes |= {"says": plain(rule.why or meeting.kind.about), "reference": plain(rule.source)}
        key = join.id if len(meetings) == 1 else f"{join.id}/{i}"
        found.add_edge(meeting.left.place, meeting.right.place, key=key, **_plainly(attributes))


def _verdict(problem: Problem, meeting: Meeting, k: int) -> Verdict:
    comparison = meeting.comparisons[k]
    if comparison.verdict is Verdict.FITS and problem.mating.doubted(comparison):
        return Verdict.CHECK
    return comparison.verdict


def _deciding(meeting: Meeting, verdicts: list[Verdict]) -> int:
    """The comparison worth naming: the worst verdict, then the least room for its size."""

    def rank(k: int) -> tuple[int, float]:
        comparison = meeting.comparisons[k]
        (room, _), one = room_of(comparison), comparison.left.value
        size = max(abs(one.hi), 1e-9) if isinstance(one, Range) else 1.0
        return -int(verdicts[k]), float("inf") if room is None else room / size

    return min(range(len(verdicts)), key=rank)


def _portless(meeting: Meeting) -> dict[str, Plain]:
    words = ("no such place" if end.values is None else "has one" for end in (meeting.left, meeting.right))
    left, right = words
    title = meeting.kind.name.replace("_", " ")
    return {"decided_by": title, "left": f"{title}: {left}", "right": f"{title}: {right}", "compares": ""}


def _line(numbers: Numbers, units: System) -> str:
    found = numbers.attributes(units)
    more = f", {found['margin']}" if "margin" in found else ""
    return f"{found['left']} against {found['right']}{more}"


def _plainly(attributes: dict[str, Plain]) -> dict[str, Plain]:
    return {k: plain(v, 1000) if isinstance(v, str) else v for k, v in attributes.items()}


def _add_belonging(found: Graph, relation: Relation, build: Build, conflict: int) -> None:
    """A part that came with an assembly, or should have."""
    verdict = relation.verdict(build)
    if len(relation.scope) != 2:
        return
    one, two = relation.scope
    bound = any(
        (a := build[x]) is not None and a.host is not None and (b := build[y]) is not None and b.id == a.host
        for x, y in ((one, two), (two, one))
    )
    if not bound and verdict is Verdict.FITS and not conflict:
        return
    reasons = relation.explain(build)
    found.add_edge(
        one,
        two,
        key=relation.name,
        **_plainly(
            {
                "relation": relation.name,
                "kind": "belonging",
                "severity": "must",
                "verdict": VERDICT_WORDS[verdict],
                "left_at": one,
                "right_at": two,
                "left": f"{reasons[0].left.what} {reasons[0].left.value}" if reasons else "",
                "right": f"{reasons[0].right.what} {reasons[0].right.value}" if reasons else "",
                "says": relation.says,
                "reference": relation.source,
                "decides": True,
                "conflict": conflict,
            }
        ),
    )


def _add_rule(found: Graph, problem: Problem, relation: Relation, build: Build, units: System, conflict: int) -> None:
    verdict = relation.verdict(build)
    if relation.kind == "goal choice" and verdict is Verdict.FITS and not conflict:
        return
    attributes: dict[str, Plain] = {
        "relation": relation.name,
        "kind": relation.kind,
        "severity": relation.severity,
        "verdict": VERDICT_WORDS[verdict],
        "says": relation.says,
        "reference": relation.source,
        "conflict": conflict,
    }
    numbers = ruled(problem, relation, build)
    reasons = relation.explain(build)
    if numbers is not None:
        attributes |= numbers.attributes(units)
    elif relation.kind == "goal choice":
        attributes |= _chosen(problem, relation, build)
    elif reasons:
        left, right = reasons[0].left, reasons[0].right
        attributes |= {"left": f"{left.what} {left.value or ''}", "right": f"{right.what} {right.value or ''}"}
    if reasons:
        attributes["needs"] = "; ".join(dict.fromkeys(n for r in reasons for n in r.needs))
        attributes["trouble"] = "; ".join(dict.fromkeys(r.trouble for r in reasons if r.trouble))
    attributes = _plainly(attributes)
    node = f"rule:{relation.name}"
    found.add_node(node, type="rule", title=_rule_title(relation), **attributes)
    hangs = set(deciding_positions(problem, relation, build))
    for at in sorted({*relation.scope, *hangs}):
        if build[at] is not None or at in relation.parts or at in hangs:
            found.add_edge(node, at, key=f"{relation.name}/{at}", decides=at in hangs, **attributes)


def _chosen(problem: Problem, relation: Relation, build: Build) -> dict[str, Plain]:
    """What the goal chose at a position and what is there, whether or not it is kept."""
    at = relation.parts[0]
    for other in problem.domains[at]:
        for reason in relation.explain({**build, at: other}):
            part = build[at]
            wanted, there = f"wanted {reason.right.value}", "nothing" if part is None else part.name
            return {"left": there, "right": wanted, "sides": f"{wanted}: {there}"}
    return {}


def _rule_title(relation: Relation) -> str:
    if relation.limit is not None:
        return plain(f"goal line {relation.limit.line}")
    return plain("you asked" if relation.kind in _GOAL else relation.name.replace("-", " "))


# -- standings


def _add_standings(found: Graph, only_conflicts: bool) -> None:
    """The worst verdict at each part, and ``missing`` where a clash meets an empty place."""
    worst = dict.fromkeys(found.nodes, 0)
    order = {word: int(verdict) for verdict, word in VERDICT_WORDS.items()}
    for node, data in found.nodes(data=True):
        if data["type"] == "rule" and data["severity"] == "must" and (data["conflict"] or not only_conflicts):
            worst[node] = order[data["verdict"]]
    for one, two, data in found.edges(data=True):
        # A goal line is not a fault of the parts under it.
        if data["severity"] != "must" or not data["decides"] or data["kind"] == "goal limit":
            continue
        if only_conflicts and not data["conflict"]:
            continue
        for node in (one, two):
            worst[node] = max(worst[node], order[data["verdict"]])
    for node, data in found.nodes(data=True):
        data["standing"] = STANDINGS[Verdict(worst[node])]
        if data.get("status") == "empty" and data["standing"] == "clash":
            data["status"] = "missing"


def _add_conflicts(found: Graph) -> None:
    """The numbers of the conflicts each node is part of."""
    for node, data in found.nodes(data=True):
        numbers = {int(data.get("conflict", 0))}
        numbers |= {e["conflict"] for _, _, e in found.edges(node, data=True) if e["decides"]}
        if named := sorted(numbers - {0}):
            data["conflicts"] = ", ".join(map(str, named))
