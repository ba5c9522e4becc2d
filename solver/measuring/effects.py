"""What a reading changes: the relations and quantities that read the attribute, and the goal's answer."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from knowledge.computing.quantities import inputs_of
from knowledge.measured.readable import VEHICLE
from shared.layout import Input
from shared.part import Part
from shared.units import System
from shared.verdict import Verdict

from ..explain.candidacy import Usability
from ..explain.questions import Questions
from ..explain.together import with_parts
from ..problem import Problem
from ..relations import Build, Relation
from ..wear import condition_name
from ..words import VERDICT_WORDS, money, number, shown, value_text
from .document import PlanChange, QuantityChange, StandingShown, VerdictChange


@dataclass
class Readers:
    """Who reads an attribute: ``at`` is the position of the part, or ``vehicle``; ``fitted`` if it is on the car."""

    problem: Problem
    at: str
    path: str
    fitted: bool
    _memo: dict[tuple[str, bool], bool] = field(default_factory=dict)

    def _input(self, item: Input, stock: bool = False) -> bool:
        """Whether an input is the attribute, or hangs on it; ``stock`` inside a quantity of the car as it stands."""
        if item.source == "vehicle":
            return self.at == VEHICLE and item.name == self.path
        if item.source == "part":
            return item.name == self.at and item.path == self.path and (not stock or self.fitted)
        if item.source == "stock_part":
            return item.name == self.at and item.path == self.path and self.fitted
        if item.source in ("quantity", "stock"):
            return self.quantity(item.name, stock or item.source == "stock")
        return False

    def quantity(self, name: str, stock: bool = False) -> bool:
        """Whether a quantity hangs on the attribute."""
        if name not in self.problem.garage.layout.quantities:
            return False
        key = (name, stock)
        if key not in self._memo:
            self._memo[key] = False
            items = inputs_of(self.problem.garage.layout.quantities[name])
            self._memo[key] = any(self._input(item, stock) for item in items)
        return self._memo[key]

    def _asked(self, relation: Relation) -> Iterator[Input]:
        yield from relation.uses
        for rule in self.problem.garage.layout.requirements:
            if rule.id == relation.name:
                yield from (i for i in (rule.subject, rule.at_least, rule.at_most) if i is not None)
                yield from (item for item, _ in rule.when.words)

    def _join(self, relation: Relation) -> bool:
        layout = self.problem.garage.layout
        join = next((j for j in layout.joins if j.id == relation.name), None)
        port, dot, name = self.path.partition(".")
        if join is None or not dot:
            return False
        place = "body" if self.at == VEHICLE else self.at
        ends = [join.left, join.right]
        for step in join.through:
            ends += [(step.position, step.near), (step.position, step.far)]
        if (place, port) not in ends:
            return False
        kind = layout.body.get(port) if place == "body" else layout.kinds[layout.positions[place].kind].ports.get(port)
        return kind is not None and any(name in (r.left, r.right) for r in layout.interfaces[kind.interface].rules)

    def relation(self, relation: Relation) -> bool:
        """Whether a relation reads the attribute."""
        if relation.kind == "mate":
            return self._join(relation)
        return relation.name == condition_name(self.at) or any(self._input(item) for item in self._asked(relation))


def places_of(problem: Problem, part: str) -> dict[str, Part]:
    """The positions a part can fill, with the part as it is known there."""
    return {at: p for at, parts in problem.domains.items() for p in parts if p is not None and p.id == part}


def build_with(problem: Problem, at: str, part: str) -> Build:
    """The car as it is now with one part on it."""
    places = places_of(problem, part)
    return with_parts(problem, {at: places[at]}) if at in places else problem.stock


def _verdict(relation: Relation | None, build: Build) -> Verdict:
    return Verdict.FITS if relation is None else relation.verdict(build)


def verdict_changes(
    before: Problem, after: Problem, at: str, part: str, path: str, units: System
) -> list[VerdictChange]:
    """Every relation that reads the attribute on a part at a position, judged before and after; changes first."""
    place = "" if at == VEHICLE else at
    old, new = build_with(before, place, part), build_with(after, place, part)
    readers = Readers(after, at, path, at == VEHICLE or after.garage.vehicle.fitted.get(at) == part)
    was = {r.name: r for r in before.relations}
    names = {r.name for r in after.relations}
    found = []
    for relation in (*after.relations, *(r for r in before.relations if r.name not in names)):
        if not readers.relation(relation):
            continue
        then, now = _verdict(was.get(relation.name), old), Verdict.FITS
        if relation.name in names:
            now = relation.verdict(new)
        reasons = [r for r in relation.explain(new) if r.verdict is not Verdict.FITS] if relation.name in names else []
        found.append(
            VerdictChange(
                position="" if at == VEHICLE else at,
                relation=relation.name,
                severity=relation.severity,
                says=relation.says,
                before=VERDICT_WORDS[then],
                after=VERDICT_WORDS[now],
                quantities=tuple(item.name for item in relation.uses),
                reasons=tuple(dict.fromkeys(shown(r, relation.severity, units) for r in reasons)),
            )
        )
    order = ("must", "should", "check")
    return sorted(found, key=lambda v: (v.before == v.after, order.index(v.severity), v.after == "fits", v.relation))


def quantity_changes(
    before: Problem, after: Problem, at: str, part: str, path: str, units: System
) -> list[QuantityChange]:
    """Every quantity for people that hangs on the attribute and is not what it was."""
    place = "" if at == VEHICLE else at
    old, new = build_with(before, place, part), build_with(after, place, part)
    readers = Readers(after, at, path, at == VEHICLE or after.garage.vehicle.fitted.get(at) == part)
    wanted = {limit.quantity for limit in after.goal.limits}
    found = []
    for quantity in after.garage.layout.quantities.values():
        if not readers.quantity(quantity.name):
            continue
        texts = []
        for problem, build in ((before, old), (after, new)):
            value = problem.flow.sharpened(quantity.name, build).value
            texts.append(value if isinstance(value, str) else number(value, quantity.measure, units).text)
        if texts[0] != texts[1]:
            found.append(
                QuantityChange(name=quantity.name, wanted=quantity.name in wanted, before=texts[0], after=texts[1])
            )
    return found


def standing(before: Problem, after: Problem, at: str, part: str, units: System) -> StandingShown:
    """Whether some build of the goal can have the part at a position, before and after."""
    told: list[bool | None] = []
    because: tuple[str, ...] = ()
    for problem in (before, after):
        usability = Usability(Questions(problem), problem.hard, units)
        candidacy = usability.one(at, places_of(problem, part)[at])
        told.append(candidacy.usable)
        because = tuple(r.says or r.name for r in candidacy.relations) if problem is after else ()
    return StandingShown(position=at, before=told[0], after=told[1], because=tuple(dict.fromkeys(because)))


def _headline(problem: Problem, units: System) -> tuple[str, frozenset[str]]:
    """The best build in one line, with what the goal wants of it, and the names of its new parts."""
    from ..search.best import best_builds

    found = best_builds(problem, 1).builds
    if not found:
        return "", frozenset()
    build, effort = found[0].build, problem.effort
    new = [p.name for at, p in build.items() if p is not None and effort.is_new(at, p) and p.host is None]
    verdict = VERDICT_WORDS[Verdict.CHECK if found[0].doubtful else Verdict.FITS]
    text = f"{verdict}, {money(effort.price(build)).text}: {', '.join(new) or 'the car as it is'}"
    for name in dict.fromkeys(limit.quantity for limit in problem.goal.limits if limit.quantity in problem.flow.scope):
        value = problem.flow.sharpened(name, build).value
        measure = problem.garage.layout.quantities[name].measure
        text += f"; {name.replace('_', ' ')} {value_text(value, measure, units)}"
    return text, frozenset(new)


def plan_change(before: Problem, after: Problem, units: System) -> PlanChange:
    """The best build of the goal before and after."""
    (old, had), (new, has) = _headline(before, units), _headline(after, units)
    return PlanChange(
        before=old,
        after=new,
        changed=old != new,
        parts_out=tuple(sorted(had - has)),
        parts_in=tuple(sorted(has - had)),
    )
