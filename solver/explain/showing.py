"""Conflicts, mends and relaxations as they come out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from shared.explained import ChangeShown, ConflictShown, MemberShown, MendShown, RelaxationShown
from shared.shown import ReasonShown
from shared.units import System, show_number
from shared.verdict import Verdict

from ..problem import Problem
from ..relations import Build, Relation
from ..words import VERDICT_WORDS, number, shown
from .questions import Conflict, Line, Questions
from .relaxing import Moved, Relaxation


def reasons_of(relations: Sequence[Relation], build: Build, units: System) -> tuple[ReasonShown, ...]:
    """The reasons why relations refuse a build, each once."""
    found = [
        shown(reason, r.severity, units)
        for r in relations
        if r.verdict(build) is Verdict.NO
        for reason in r.explain(build)
        if reason.verdict is Verdict.NO
    ]
    return tuple(dict.fromkeys(found))


def chain(lines: Sequence[Line], rules: Sequence[Relation]) -> list[Relation]:
    """The rules in the order one leads to the next: always the one that shares most with what was said before."""
    seen = {p for line in lines for r in line.relations if len(r.scope) <= 12 for p in r.scope}
    left = sorted(rules, key=lambda r: (len(r.scope), r.name))
    found: list[Relation] = []
    while left:
        best = max(left, key=lambda r: (bool(seen.intersection(r.scope)), -len(set(r.scope) - seen), -left.index(r)))
        left.remove(best)
        found.append(best)
        seen.update(best.scope)
    return found


def conflict_shown(
    questions: Questions,
    conflict: Conflict,
    moves: Mapping[Line, Relaxation],
    units: System,
    mends: Sequence[MendShown] = (),
) -> ConflictShown:
    """A conflict, each member with its reasons against a build that meets all the others.

    For a line in ``moves`` that build comes as near to it as the others let any.
    """
    members: list[MemberShown] = []
    rules = chain(conflict.lines, conflict.rules)
    fixed = [r for line in conflict.lines for r in line.relations]
    for line in conflict.lines:
        made = moves.get(line)
        if made is None:
            reply = questions.ask([*rules, *(r for r in fixed if r not in line.relations)])
            build = None if reply is None else reply.build
        else:
            build = made.moved[0].build if made.moved else made.build
        members.append(
            MemberShown(
                name=line.name,
                kind=line.kind,
                text=line.text,
                source=line.relations[0].source,
                reasons=() if build is None else reasons_of(line.relations, build, units),
                relations=tuple(r.name for r in line.relations),
                nearest=made is not None and bool(made.moved) and made.moved[0].proved,
            )
        )
    for rule in rules:
        build = questions.witness([*fixed, *rules], rule)
        reasons = () if build is None else reasons_of([rule], build, units)
        text = reasons[0].says if rule.kind == "mate" and reasons else rule.says
        members.append(
            MemberShown(
                name=rule.name,
                kind="rule",
                text=text,
                source=source_of(rule, reasons),
                reasons=reasons,
                relations=(rule.name,),
            )
        )
    return ConflictShown(
        members=tuple(members),
        minimal=conflict.minimal,
        other_rules=tuple(tuple(r.name for r in chain(conflict.lines, other)) for other in conflict.others),
        all_rules=conflict.all_rules,
        mends=tuple(mends),
    )


def source_of(rule: Relation, reasons: Sequence[ReasonShown]) -> str:
    """The source of a rule; of a mate, that of the comparison that failed."""
    return rule.source or "; ".join(dict.fromkeys(r.source for r in reasons if r.source))


def new_parts(problem: Problem, build: Build) -> tuple[str, ...]:
    """The names of everything a build changes."""
    return tuple(
        part.name if part is not None else f"nothing at {at.replace('_', ' ')}"
        for at, part in build.items()
        if problem.effort.is_new(at, part) and (part is None or part.host is None)
    )


def limit_text(moved: Moved, problem: Problem, units: System) -> str:
    """The new limit as one would write it."""
    measure = problem.demands.measure_of(problem.demands.limit(moved.limit).uses[0])
    word = "at least" if moved.lower else "at most"
    return f"{moved.limit.quantity.replace('_', ' ')} {word} {show_number(moved.value, measure, units)}"


def relaxation_shown(problem: Problem, relaxation: Relaxation, units: System) -> RelaxationShown:
    """A relaxation as it comes out."""
    build = relaxation.build
    changes = [
        ChangeShown(
            line=m.line.name,
            old=m.line.text,
            new=limit_text(m, problem, units),
            value=m.value,
            exact=m.exact,
            nearest=m.proved,
        )
        for m in relaxation.moved
    ]
    for line in relaxation.dropped:
        let_in = tuple(dict.fromkeys(_let_in(line, build)))
        new = f"{line.text} given up" + (f", for {' and '.join(let_in)}" if let_in else "")
        changes.append(ChangeShown(line=line.name, old=line.text, new=new, value=None, exact=None, nearest=False))
    worst = max((r.verdict(build) for r in problem.hard if r.source != "the goal"), default=Verdict.FITS)
    return RelaxationShown(
        changes=tuple(changes),
        price=number(problem.effort.price(build), "money", units),
        hours=number(problem.effort.hours(build), "time", units),
        skill=problem.effort.skill(build),
        new_parts=new_parts(problem, build),
        verdict=VERDICT_WORDS[worst],
        cheapest=relaxation.verified,
    )


def _let_in(line: Line, build: Build) -> list[str]:
    """What a given-up choice now lets in."""
    found = []
    for relation in line.relations:
        if relation.verdict(build) is Verdict.NO:
            at = relation.scope[0]
            part = build[at]
            found.append(part.name if part is not None else f"nothing at {at.replace('_', ' ')}")
    return found
