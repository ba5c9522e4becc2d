"""The page of a goal without a build: every conflict with its picture, and what would help."""

from __future__ import annotations

from shared.explained import ConflictShown, RelaxationShown
from shared.units import System

from ..explain.questions import Questions, goal_lines
from ..explain.refusal import refusal
from ..explain.relaxation_text import refused_headline
from ..graph.model import graph_of_build
from ..graph.otherwise import otherwise
from ..graph.showing import showing
from ..graph.sources import clashing_build
from ..problem import Problem
from ..relations import Relation
from ..words import sentence
from .document import ClashShown, HelpShown, MemberOf, PageDocument
from .sheet import local_rules, page_key, picture


def page_of_refusal(problem: Problem, units: System) -> PageDocument:
    """The conflicts of a goal, each drawn on a build where all its members hold but one."""
    questions = Questions(problem)
    answer = refusal(questions, units)
    clashes = tuple(_clash(questions, c, i, units) for i, c in enumerate(answer.conflicts, 1))
    return PageDocument(
        key=page_key(problem, ()),
        goal=problem.goal.name,
        about=problem.goal.about,
        vehicle=problem.garage.vehicle.name,
        units=units,
        build=0,
        answer="no",
        verdict="does not fit",
        headline=refused_headline(problem.goal.name, answer.conflicts, answer.relaxations, answer.whole),
        clashes=clashes,
        helps=tuple(map(_help, answer.relaxations)),
        remarks=answer.remarks,
        local_rules=local_rules(problem),
    )


def _clash(questions: Questions, conflict: ConflictShown, number: int, units: System) -> ClashShown:
    problem = questions.problem
    asked = [m.text for m in conflict.members if m.kind != "rule"]
    title = "; ".join(asked) or "the rules of the trade among themselves"
    relations = _relations(problem, conflict)
    build = clashing_build(questions, [relations])
    drawn = None
    if build is not None:
        head = f"Conflict {number}: {title}"
        graph = graph_of_build(problem, build, units, [relations], head, otherwise=otherwise([conflict]))
        drawn = picture(showing(graph, "conflict"))
    members = tuple(
        MemberOf(
            text=m.text,
            rule=m.kind == "rule",
            reasons=tuple(map(sentence, m.reasons)),
            source=m.source if m.kind == "rule" else "",
        )
        for m in conflict.members
    )
    return ClashShown(title=title, members=members, picture=drawn)


def _relations(problem: Problem, conflict: ConflictShown) -> list[Relation]:
    """The relations of a conflict: its rules, and of each line of the goal those that look where the rules look."""
    names = {m.name for m in conflict.members}
    rules = [r for r in problem.hard if r.name in {m.name for m in conflict.members if m.kind == "rule"}]
    looked_at = {at for r in rules for at in r.scope}
    lines = [r for line in goal_lines(problem) if line.name in names for r in line.relations]
    near = [r for r in lines if r.kind == "goal limit" or not rules or looked_at.intersection(r.scope)]
    return [*near, *rules]


def _help(relaxation: RelaxationShown) -> HelpShown:
    least = "at least" if relaxation.cheapest else "for example"
    return HelpShown(
        changes=tuple(f"{c.new}, instead of {c.old}" for c in relaxation.changes),
        takes=f"{least} {relaxation.price.text}, {relaxation.hours.text}, skill {relaxation.skill}; "
        f"{relaxation.verdict}",
        parts=relaxation.new_parts,
    )
