"""The requirements of a layout as relations."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from knowledge.computing.dataflow import Dataflow
from knowledge.computing.quantities import Domains, Result
from knowledge.layouts import EFFORT
from shared.interface import WORD
from shared.layout import Input, Requirement
from shared.ranges import Range
from shared.verdict import Reason, Side, Verdict

from .asked import Asked
from .holding import Held, hold, plain, verdict_on
from .relations import Build, Known, Outlook, Relation

# True bounds are searched for; what is this near to a limit is left to them.
_CLEARLY = 1e-6


@dataclass(frozen=True)
class Requirements(Asked):
    """Turns requirements into relations for one car, catalogue and goal."""

    def requirement(self, rule: Requirement) -> Relation:
        """A requirement as a relation."""
        condition = rule.when
        inputs = tuple(i for i in (rule.subject, rule.at_least, rule.at_most) if i is not None)
        asked = (*inputs, *(item for item, _ in condition.words))
        direct = {*condition.changed, *condition.fitted, *(i.name for i in asked if i.source == "part")}
        scope = self.somewhere(tuple(sorted(direct.union(*(self.scope_of(i) for i in asked)))))

        speaks = self.speaking(condition)
        reads = [self.reader(item) for item in inputs]

        def judge(build: Build) -> Verdict:
            found = rough(build, {})
            if found.verdict is Verdict.CHECK and found.open:
                return self._outlook(rule, [self.sharp(i, build) for i in inputs]).verdict
            return found.verdict

        def explain(build: Build) -> tuple[Reason, ...]:
            if not speaks(build, {}):
                return ()
            reason = self._rule_reason(rule, build, judge(build))
            return () if reason is None else (reason,)

        def rough(build: Build, known: Known) -> Outlook:
            if not speaks(build, known):
                return Outlook(Verdict.FITS, False)
            if rule.subject is None:
                return Outlook(Verdict.CHECK, False)
            return self._outlook(rule, [read(build, known) for read in reads])

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
            may=self._rule_may(rule),
            looks_at=self.looks_at_of(asked, condition.changed),
            rule=rule,
        )

    def _outlook(self, rule: Requirement, results: Sequence[Result]) -> Outlook:
        """The verdict on the values of a rule's inputs, and whether sharper bounds could still change it.

        True bounds are looked for only where rough ones leave a doubt.
        """
        found = results[0]
        if found.impossible:
            return Outlook(Verdict.NO, False)
        sharp = True
        for result in results:
            if result.value is None:
                return Outlook(Verdict.CHECK, False)
            sharp = sharp and result.sharp
        if rule.one_of or isinstance(found.value, str):
            verdict = Verdict.FITS if found.value in rule.one_of else Verdict.NO
        else:
            assert found.value is not None
            low = None if rule.at_least is None else results[1].value
            high = None if rule.at_most is None else results[-1].value
            if isinstance(low, str) or isinstance(high, str):
                return Outlook(Verdict.CHECK, False)
            verdict = verdict_on(found.value, low, high)
        if found.evidence < self.goal.trust and verdict is Verdict.FITS:
            return Outlook(Verdict.CHECK, False)
        return Outlook(verdict, not sharp)

    def _ends(self, rule: Requirement, build: Build) -> tuple[Result | None, Result | None]:
        low = None if rule.at_least is None else self.sharp(rule.at_least, build)
        high = None if rule.at_most is None else self.sharp(rule.at_most, build)
        return low, high

    @cached_property
    def _quick(self) -> Dataflow:
        """The same quantities without bounds that are dear to find."""
        return replace(self.flow, most_turning=1)

    def _rule_bound(self, rule: Requirement) -> Callable[[Domains], Verdict] | None:
        subject, ends = rule.subject, (rule.at_least, rule.at_most)
        inputs = [item for item in (subject, *ends) if item is not None]
        of_effort = any(item.source == "quantity" and item.name in EFFORT for item in inputs)
        if subject is None or subject.source != "quantity" or of_effort or rule.one_of:
            return None
        # Where it hangs on what is fitted whether a rule speaks, it seldom refuses many candidates at once.
        flow = self.flow if plain(rule) else self._quick

        def bound(domains: Domains) -> Verdict:
            if not self.surely_speaks(rule.when, domains):
                return Verdict.CHECK
            value = flow.span(subject, domains)
            limits = [None if end is None else flow.span(end, domains) for end in ends]
            if value is None or any(end and limit is None for end, limit in zip(ends, limits, strict=True)):
                return Verdict.CHECK
            return verdict_on(value, *limits)

        return bound

    def _rule_may(self, rule: Requirement) -> Callable[[Build], bool] | None:
        """Whether a rule that speaks clearly passes the values there are in the middle of all that is uncertain."""
        items = [i for i in (rule.subject, rule.at_least, rule.at_most) if i is not None]
        if rule.one_of or not all(i.source in ("quantity", "literal") and i.name not in EFFORT for i in items):
            return None

        def value(item: Input | None, build: Build) -> Range | None:
            if item is None:
                return None
            if item.source == "literal":
                return item.value.value if item.value is not None and isinstance(item.value.value, Range) else None
            found = self.flow.in_the_middle(item.name, build)
            return None if found is None else Range.exactly(found)

        def may(build: Build) -> bool:
            found, low, high = (value(item, build) for item in (rule.subject, rule.at_least, rule.at_most))
            if found is None or (rule.at_least and low is None) or (rule.at_most and high is None):
                return False
            clear = _CLEARLY * max(1.0, abs(found.lo))
            return verdict_on(Range(found.lo - clear, found.hi + clear), low, high) is Verdict.FITS

        return may

    def _rule_reason(self, rule: Requirement, build: Build, verdict: Verdict) -> Reason | None:
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
            needs = list(self.uncertain(found, build))
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

    def _who(self, item: Input, build: Build) -> str:
        if item.source == "part":
            part = build[item.name]
            return f"{item.name.replace('_', ' ')}, {part.name if part is not None else 'none'}"
        return "this build"

    def _what(self, item: Input) -> str:
        return (item.path if item.source == "part" else item.name).replace("_", " ").replace(".", " ")
