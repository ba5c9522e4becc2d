"""Requirements and goal limits as relations: quantities held against limits."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from typing import Literal

from knowledge.dataflow import Dataflow
from knowledge.layouts import EFFORT
from knowledge.quantities import Domains, Result, to_measure
from shared.goal import Goal, Limit
from shared.interface import WORD
from shared.layout import Condition, Input, Requirement
from shared.part import Part
from shared.ranges import Range
from shared.verdict import Reason, Side, Verdict, Voice

from .effort import Effort
from .relations import Build, Known, Outlook, Relation

# Limits are kept to within rounding: a part in a thousand million.
_ROUNDING = 1e-9


def _hair(limit: float) -> float:
    return _ROUNDING * max(1.0, abs(limit))


@dataclass(frozen=True, slots=True)
class Held:
    """A value held against limits: the verdict, which limit decided, and by how much it is missed."""

    verdict: Verdict
    limit: Range | None = None
    lower: bool = True
    gap: float = 0.0


def hold(value: Range, at_least: Range | None, at_most: Range | None) -> Held:
    """Hold a range against limits that may be ranges themselves."""
    worst = Held(Verdict.FITS, at_least or at_most, at_least is not None)
    for limit, lower in ((at_least, True), (at_most, False)):
        if limit is None:
            continue
        sure = value.lo >= limit.hi - _hair(limit.hi) if lower else value.hi <= limit.lo + _hair(limit.lo)
        never = value.hi < limit.lo - _hair(limit.lo) if lower else value.lo > limit.hi + _hair(limit.hi)
        if never:
            gap = limit.lo - value.hi if lower else value.lo - limit.hi
            return Held(Verdict.NO, limit, lower, gap)
        if not sure and worst.verdict is Verdict.FITS:
            worst = Held(Verdict.CHECK, limit, lower)
    return worst


def plain(rule: Requirement) -> tuple[str, Range | None, Range | None] | None:
    """The quantity and the limits of a rule that holds one quantity against numbers whatever is fitted or changed."""
    subject, when = rule.subject, rule.when
    if subject is None or subject.source != "quantity" or subject.name in EFFORT or rule.one_of:
        return None
    if when.changed or when.fitted or when.words:
        return None
    limits: list[Range | None] = []
    for end in (rule.at_least, rule.at_most):
        value = None if end is None or end.source != "literal" or end.value is None else end.value.value
        if end is not None and not isinstance(value, Range):
            return None
        limits.append(value if isinstance(value, Range) else None)
    return subject.name, limits[0], limits[1]


def _asked(rule: Requirement) -> list[Input]:
    """The subject of a rule and its limits, in order."""
    return [i for i in (rule.subject, rule.at_least, rule.at_most) if i is not None]


@dataclass(frozen=True)
class Demands:
    """Turns requirements and limits into relations for one car, catalogue and goal."""

    flow: Dataflow
    effort: Effort
    goal: Goal

    # -- reading inputs

    def look_up(self, item: Input, build: Build, known: Known | None = None) -> Result:
        """The value of an input; shared quantities in ``known`` are taken as given."""
        if item.source == "quantity" and item.name in EFFORT:
            return self.effort_value(item.name, build)
        if known:
            return self.flow.input_given(item, build, known)
        return self.flow.input(item, build)

    def sharp(self, item: Input, build: Build) -> Result:
        """The value of an input with its true bounds."""
        if item.source == "quantity" and item.name not in EFFORT:
            return self.flow.sharpened(item.name, build)
        return self.look_up(item, build)

    def effort_value(self, name: str, build: Build) -> Result:
        """Price, hours, donors and the like of a whole build."""
        if name == "price":
            price = self.effort.price(build)
            return Result(price, missing=() if price is not None else ("a price",))
        if name == "hours":
            return Result(self.effort.hours(build))
        counted = {
            "donors": lambda: len(self.effort.donors(build)),
            "skill": lambda: self.effort.skill(build),
            "parts_changed": lambda: self.effort.parts_changed(build),
        }[name]()
        return Result(Range.exactly(float(counted)))

    def scope_of(self, item: Input | None) -> tuple[str, ...]:
        """The positions an input depends on."""
        if item is None:
            return ()
        if item.source == "part":
            return (item.name,)
        if item.source == "quantity":
            if item.name in EFFORT:
                return tuple(self.flow.layout.positions)
            return self.flow.scope[item.name]
        return ()

    def _somewhere(self, scope: tuple[str, ...]) -> tuple[str, ...]:
        """A scope that is not empty: what hangs on the car alone is judged at the first position, whatever is there.

        Counts, conflicts and ways out are about positions, and would pass over what hangs on none.
        """
        return scope or tuple(self.flow.layout.positions)[:1]

    def measure_of(self, item: Input) -> str:
        """The measure of an input."""
        layout = self.flow.layout
        if item.source in ("quantity", "stock"):
            return EFFORT.get(item.name) or layout.quantities[item.name].measure
        if item.source == "vehicle":
            return layout.vehicle[item.name].measure
        if item.source in ("part", "stock_part"):
            kind = layout.kinds[layout.positions[item.name].kind]
            port, dot, name = item.path.partition(".")
            if not dot:
                return kind.properties[item.path].measure
            return layout.interfaces[kind.ports[port].interface].attributes[name].measure
        return WORD

    # -- conditions

    def speaks(self, when: Condition, build: Build, known: Known | None = None) -> bool:
        """Whether a requirement has anything to say about a build."""
        if when.changed and not any(self.effort.is_new(p, build[p]) for p in when.changed):
            return False
        if any(build[p] is None for p in when.fitted):
            return False
        return all(self.look_up(item, build, known).value in words for item, words in when.words)

    # -- requirements

    def requirement(self, rule: Requirement) -> Relation:
        """A requirement as a relation."""
        condition = rule.when
        inputs = tuple(i for i in (rule.subject, rule.at_least, rule.at_most) if i is not None)
        asked = (*inputs, *(item for item, _ in condition.words))
        direct = {*condition.changed, *condition.fitted, *(i.name for i in asked if i.source == "part")}
        scope = self._somewhere(tuple(sorted(direct.union(*(self.scope_of(i) for i in asked)))))

        def judge(build: Build) -> Verdict:
            if not self.speaks(condition, build):
                return Verdict.FITS
            return self._judge_rule(rule, build)

        def explain(build: Build) -> tuple[Reason, ...]:
            if not self.speaks(condition, build):
                return ()
            reason = self._rule_reason(rule, build)
            return () if reason is None else (reason,)

        def rough(build: Build, known: Known) -> Outlook:
            if not self.speaks(condition, build, known):
                return Outlook(Verdict.FITS, False)
            if rule.subject is None:
                return Outlook(Verdict.CHECK, False)
            return self._outlook(rule, [self.look_up(i, build, known) for i in _asked(rule)])

        return Relation(
            rule.id,
            "requirement",
            scope,
            judge,
            explain,
            rule.severity,
            rule.says,
            rule.source,
            uses=tuple(i for i in asked if i.source == "quantity"),
            parts=tuple(sorted(direct)),
            bound=self._rule_bound(rule),
            rough=rough,
            looks_at=self._looks_at(asked, condition.changed),
        )

    def _looks_at(
        self, asked: Sequence[Input], changed: Sequence[str]
    ) -> Callable[[str, Part | None], Hashable] | None:
        """What a judgement of inputs sees of a candidate: the values read of it, and whether it is new where that
        counts; ``None`` where everything counts."""
        if any(item.source == "quantity" and item.name in EFFORT for item in asked):
            return None
        paths, trust = self.flow.paths(asked), self.goal.trust

        def looks_at(position: str, part: Part | None) -> Hashable:
            new = position in changed and self.effort.is_new(position, part)
            seen = (self.flow.seen(position, part, path) for path in paths.get(position, ()))
            return part is None, new, *((value, evidence >= trust, owner) for value, evidence, owner in seen)

        return looks_at

    def _judge_rule(self, rule: Requirement, build: Build) -> Verdict:
        """The verdict of a rule that speaks; true bounds are looked for only where rough ones leave a doubt."""
        if rule.subject is None:
            return Verdict.CHECK
        rough = self._outlook(rule, [self.look_up(i, build) for i in _asked(rule)])
        if rough.verdict is Verdict.CHECK and rough.open:
            return self._outlook(rule, [self.sharp(i, build) for i in _asked(rule)]).verdict
        return rough.verdict

    def _outlook(self, rule: Requirement, results: Sequence[Result]) -> Outlook:
        """The verdict on the values of a rule's inputs, and whether sharper bounds could still change it."""
        found = results[0]
        if found.impossible:
            return Outlook(Verdict.NO, False)
        if any(r.value is None for r in results):
            return Outlook(Verdict.CHECK, False)
        if rule.one_of or isinstance(found.value, str):
            verdict = Verdict.FITS if found.value in rule.one_of else Verdict.NO
        else:
            assert found.value is not None
            limits = iter(r.value for r in results[1:])
            low = None if rule.at_least is None else next(limits)
            high = None if rule.at_most is None else next(limits)
            if isinstance(low, str) or isinstance(high, str):
                return Outlook(Verdict.CHECK, False)
            verdict = hold(found.value, low, high).verdict
        if found.evidence < self.goal.trust and verdict is Verdict.FITS:
            return Outlook(Verdict.CHECK, False)
        return Outlook(verdict, not all(r.sharp for r in results))

    def _ends(self, rule: Requirement, build: Build) -> tuple[Result | None, Result | None]:
        low = None if rule.at_least is None else self.sharp(rule.at_least, build)
        high = None if rule.at_most is None else self.sharp(rule.at_most, build)
        return low, high

    def _rule_bound(self, rule: Requirement) -> Callable[[Domains], Verdict] | None:
        held = plain(rule)
        if held is None:
            return None
        name, low, high = held

        def bound(domains: Domains) -> Verdict:
            hull = self.flow.hull(name, domains)
            return Verdict.CHECK if hull is None else hold(hull, low, high).verdict

        return bound

    def _rule_reason(self, rule: Requirement, build: Build) -> Reason | None:
        verdict = self._judge_rule(rule, build)
        if verdict is Verdict.FITS:
            return None
        if rule.subject is None:
            nothing = Side("the build gives", "this build", "what it concerns", None, WORD)
            asked = Side("the rule demands", rule.id, rule.measure_first or rule.says, None, WORD)
            return Reason(
                rule.id,
                verdict,
                rule.says,
                nothing,
                asked,
                None,
                WORD,
                rule.source,
                needs=(rule.measure_first or rule.says,),
            )
        measure = self.measure_of(rule.subject)
        found = self.sharp(rule.subject, build)
        left = Side(
            "the build gives",
            self._who(rule.subject, build),
            self._what(rule.subject),
            found.value,
            measure,
            found.evidence,
        )
        needs = list(found.missing)
        if rule.one_of:
            right = Side("the rule demands", rule.id, "one of", " or ".join(rule.one_of), WORD)
            return Reason(rule.id, verdict, rule.says, left, right, None, WORD, rule.source, tuple(needs))
        low, high = self._ends(rule, build)
        for end in (low, high):
            needs += [] if end is None else list(end.missing)
        limits = [None if e is None or not isinstance(e.value, Range) else e.value for e in (low, high)]
        held = (
            hold(found.value, *limits)
            if isinstance(found.value, Range)
            else Held(verdict, limits[0] or limits[1], limits[0] is not None)
        )
        right = Side("the rule demands", rule.id, "at least" if held.lower else "at most", held.limit, measure)
        if not needs and verdict is Verdict.CHECK:
            needs = list(self._uncertain(found, build))
        return Reason(
            rule.id,
            verdict,
            rule.says,
            left,
            right,
            held.gap or None,
            measure,
            rule.source,
            tuple(dict.fromkeys(needs)),
            found.trouble,
        )

    def _uncertain(self, found: Result, build: Build) -> tuple[str, ...]:
        """What has to be measured to know a result better."""
        parts = {p.base or p.id: p for p in (*self.flow.stock_build.values(), *build.values()) if p is not None}
        things: dict[str, Part | Literal["vehicle"]] = {**parts, "vehicle": "vehicle"}
        leaves = sorted(found.leaves)
        return tuple(to_measure(path, things[owner]) if owner in things else path for owner, path in leaves)

    def _who(self, item: Input, build: Build) -> str:
        if item.source == "part":
            part = build[item.name]
            return f"{item.name.replace('_', ' ')}, {part.name if part is not None else 'none'}"
        return "this build"

    def _what(self, item: Input) -> str:
        return (item.path if item.source == "part" else item.name).replace("_", " ").replace(".", " ")

    # -- goal limits

    def _effort_bound(self, limit: Limit, domains: Domains) -> Verdict:
        """No only if even the least money, labour or skill any build out of the candidates needs is too much."""
        if limit.at_most is None:
            return Verdict.CHECK
        least = self.effort.least(limit.quantity, domains)
        return Verdict.NO if least > limit.at_most + _hair(limit.at_most) else Verdict.CHECK

    def limit(self, limit: Limit) -> Relation:
        """A wanted limit as a relation."""
        item = Input("quantity", limit.quantity)
        low = None if limit.at_least is None else Range.exactly(limit.at_least)
        high = None if limit.at_most is None else Range.exactly(limit.at_most)
        measure = self.measure_of(item)

        def outlook(found: Result) -> Outlook:
            if found.impossible:
                return Outlook(Verdict.NO, False)
            if not isinstance(found.value, Range):
                return Outlook(Verdict.CHECK, False)
            verdict = hold(found.value, low, high).verdict
            if verdict is Verdict.FITS and found.evidence < self.goal.trust:
                return Outlook(Verdict.CHECK, False)
            return Outlook(verdict, not found.sharp)

        def overspent(build: Build) -> Range | None:
            """What the known prices alone come to, where that is too much already and some price is unknown."""
            if limit.quantity != "price" or high is None or self.effort.price(build) is not None:
                return None
            least = Range.exactly(self.effort.known_price(build))
            return least if hold(least, None, high).verdict is Verdict.NO else None

        def judge(build: Build) -> Verdict:
            found = rough(build, {})
            if found.verdict is Verdict.CHECK and found.open:
                return outlook(self.sharp(item, build)).verdict
            return found.verdict

        def rough(build: Build, known: Known) -> Outlook:
            if overspent(build) is not None:
                return Outlook(Verdict.NO, False)
            return outlook(self.look_up(item, build, known))

        def explain(build: Build) -> tuple[Reason, ...]:
            verdict = judge(build)
            if verdict is Verdict.FITS:
                return ()
            found = self.sharp(item, build)
            spent = overspent(build)
            if spent is not None:
                found = Result(spent, missing=("a price",))
            held = (
                hold(found.value, low, high)
                if isinstance(found.value, Range)
                else Held(verdict, low or high, low is not None)
            )
            voice: Voice = "the build gives"
            left = Side(voice, "this build", limit.quantity.replace("_", " "), found.value, measure, found.evidence)
            right = Side(
                "you asked", f"goal line {limit.line}", "at least" if held.lower else "at most", held.limit, measure
            )
            needs = found.missing or self._uncertain(found, build)
            return (
                Reason(
                    name, verdict, limit.text, left, right, held.gap or None, measure, "the goal", needs, found.trouble
                ),
            )

        def bound(domains: Domains) -> Verdict:
            if limit.quantity in EFFORT:
                return self._effort_bound(limit, domains)
            hull = self.flow.hull(limit.quantity, domains)
            return Verdict.CHECK if hull is None else hold(hull, low, high).verdict

        name = f"want {limit.quantity}"
        return Relation(
            name,
            "goal limit",
            self._somewhere(self.scope_of(item)),
            judge,
            explain,
            says=f"{limit.quantity.replace('_', ' ')}: {limit.text}",
            source="the goal",
            uses=(item,),
            bound=bound,
            rough=rough,
            looks_at=self._looks_at([item], ()),
            limit=limit,
        )
