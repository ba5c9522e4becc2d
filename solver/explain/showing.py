"""Conflicts, mends and relaxations as they come out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from types import MappingProxyType

from knowledge.layouts import EFFORT
from shared.explained import ChangeShown, ConflictShown, MemberShown, MendShown, RelaxationShown
from shared.printing import finer_between, show, show_apart, show_number
from shared.ranges import Range
from shared.shown import ReasonShown
from shared.units import System
from shared.verdict import Verdict

from ..problem import Problem
from ..relations import Build, Relation
from ..words import VERDICT_WORDS, money, number, sentence, shown
from .questions import Conflict, Line, Questions
from .relaxing import Moved, Relaxation

MOST_LOOKED_AT = 4
MOST_REACHED = 2
WIDE = 12


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
    seen = {p for line in lines for r in line.relations if len(r.scope) <= WIDE for p in r.scope}
    left = sorted(rules, key=lambda r: (len(r.scope), r.name))
    found: list[Relation] = []
    while left:
        best = max(left, key=lambda r: (bool(seen.intersection(r.scope)), -len(set(r.scope) - seen), -left.index(r)))
        left.remove(best)
        found.append(best)
        seen.update(best.scope)
    return found


def _reached(lines: Sequence[Line], rules: Sequence[Relation]) -> dict[Relation, tuple[str, ...]]:
    """For each rule of a chain the positions it leads on to: those nothing before it looked at, where they are few."""
    if len(rules) == 1:
        return {rules[0]: ()}
    seen = {p for line in lines for r in line.relations if len(r.scope) <= WIDE for p in r.scope}
    found = {}
    for rule in rules:
        new = [p for p in rule.scope if p not in seen]
        on = seen.intersection(rule.scope) and len(new) <= MOST_REACHED
        found[rule] = tuple(new) if on else ()
        seen.update(rule.scope)
    return found


def conflict_shown(
    questions: Questions,
    conflict: Conflict,
    moves: Mapping[Line, Relaxation],
    units: System,
    mends: Sequence[MendShown] = (),
    complete: bool = True,
    witnesses: Mapping[Relation, Build] = MappingProxyType({}),
) -> ConflictShown:
    """A conflict, each member with its reasons against a build that meets all the others.

    For a line in ``moves`` that build comes as near to it as the others let any.  ``complete`` tells that ``mends``
    are all there are.  ``witnesses`` are such builds known already, by the relation of a member.
    """
    members: list[MemberShown] = []
    rules = chain(conflict.lines, conflict.rules)
    reached = _reached(conflict.lines, rules)
    fixed = [r for line in conflict.lines for r in line.relations]
    for line in conflict.lines:
        made = moves.get(line)
        if made is None:
            build = next((witnesses[r] for r in line.relations if r in witnesses), None)
            if build is None:
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
        build = witnesses.get(rule) or questions.witness([*fixed, *rules], rule)
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
                fitted=() if build is None else _looked_at(questions.problem, rule, build),
                reaches=reached[rule],
            )
        )
    return ConflictShown(
        members=tuple(members),
        minimal=conflict.minimal,
        other_rules=tuple(tuple(r.name for r in chain(conflict.lines, other)) for other in conflict.others),
        all_rules=conflict.all_rules,
        mends=tuple(mends),
        ways_out_complete=complete,
    )


def _looked_at(problem: Problem, rule: Relation, build: Build) -> tuple[str, ...]:
    """The new parts of a build that a rule about the whole build looks at, where these are few."""
    if rule.kind == "mate":
        return ()
    found = new_parts(problem, {at: build[at] for at in rule.scope})
    return found if len(found) <= MOST_LOOKED_AT else ()


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
    """The new limit as one would write it; of an exact number both ends, as only one of them moved."""
    measure = problem.demands.measure_of(problem.demands.limit(moved.limit).uses[0])
    title, asked = moved.limit.quantity.replace("_", " "), moved.line.limit
    if asked is None or asked.at_least is None or asked.at_least != asked.at_most:
        word = "at least" if moved.lower else "at most"
        return f"{title} {word} {show_number(moved.value, measure, units)}"
    ends = Range(*sorted((moved.value, asked.at_least)))
    finer = finer_between(Range.exactly(ends.lo), [Range.exactly(ends.hi)], measure, units)
    return f"{title} {show(ends, measure, units, finer=finer)}"


def moved_by(moved: Moved, problem: Problem, units: System) -> str:
    """How far a limit was moved, as it and the asked one are told; empty where the asked one is not known."""
    asked = moved.line.limit
    old = None if asked is None else asked.at_least if moved.lower else asked.at_most
    if old is None:
        return ""
    measure = problem.demands.measure_of(problem.demands.limit(moved.limit).uses[0])
    return show_apart(Range.exactly(moved.value), Range.exactly(old), abs(old - moved.value), measure, units)[1]


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
            as_now=_as_now(m, problem, units),
        )
        for m in relaxation.moved
    ]
    for line in relaxation.dropped:
        new = given_up(line, build)
        changes.append(ChangeShown(line=line.name, old=line.text, new=new, value=None, exact=None, nearest=False))
    return RelaxationShown(
        changes=tuple(changes),
        price=money(problem.effort.price(build)),
        hours=number(problem.effort.hours(build), "time", units),
        skill=problem.effort.skill(build),
        new_parts=new_parts(problem, build),
        verdict=VERDICT_WORDS[standing(relaxation.relations, build)],
        cheapest=relaxation.verified,
        checks=_checks(problem, relaxation, units),
    )


def _as_now(moved: Moved, problem: Problem, units: System) -> bool:
    """Whether a limit comes down to what the car has now."""
    item = problem.demands.limit(moved.limit).uses[0]
    now = problem.demands.sharp(item, problem.stock).value
    if not isinstance(now, Range):
        return False
    measure = problem.demands.measure_of(item)
    end = now.hi if moved.lower else now.lo
    return show_number(end, measure, units) == show_number(moved.value, measure, units)


def _checks(problem: Problem, relaxation: Relaxation, units: System) -> tuple[str, ...]:
    """What is in doubt about the build of a relaxation and was not about the car as it is now.

    Of money and labour that may or may not be too much, both sides.
    """
    found: dict[str, None] = {}
    for relation in relaxation.relations:
        if relation.verdict(relaxation.build) is not Verdict.CHECK:
            continue
        known = {n for r in relation.explain(problem.stock) for n in r.needs}
        for reason in relation.explain(relaxation.build):
            if reason.verdict is not Verdict.CHECK:
                continue
            if reason.needs:
                found.update({n: None for n in reason.needs if n not in known})
            elif any(item.name in EFFORT for item in relation.uses):
                found[sentence(shown(reason, relation.severity, units))] = None
    return tuple(found)


def standing(relations: Iterable[Relation], build: Build) -> Verdict:
    """The worst verdict of some relations on a build."""
    return max((r.verdict(build) for r in relations), default=Verdict.FITS)


def given_up(line: Line, build: Build) -> str:
    """A line given up, and what that lets in."""
    let_in = tuple(dict.fromkeys(_let_in(line, build)))
    return f"{line.text} given up" + (f", for {' and '.join(let_in)}" if let_in else "")


def _let_in(line: Line, build: Build) -> list[str]:
    """What a given-up choice now lets in."""
    found = []
    for relation in line.relations:
        if relation.verdict(build) is Verdict.NO:
            at = relation.scope[0]
            part = build[at]
            found.append(part.name if part is not None else f"nothing at {at.replace('_', ' ')}")
    return found
