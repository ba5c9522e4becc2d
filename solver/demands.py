"""Everything a build has to be for the trade and for the goal: requirements, and the goal's limits, as relations."""

from __future__ import annotations

from dataclasses import dataclass

from knowledge.computing.quantities import Domains, Result
from knowledge.layouts import EFFORT
from shared.evidence import Evidence, Value
from shared.goal import Limit
from shared.layout import Condition, Input, Requirement
from shared.ranges import Range
from shared.verdict import Reason, Side, Verdict, Voice

from .holding import Held, hair, hold, verdict_on
from .relations import Build, Known, Outlook, Relation
from .requirements import Requirements


def _literal(end: Range | None) -> Input | None:
    """A limit as an input."""
    return None if end is None else Input("literal", f"{end.lo!r}", value=Value(end, f"{end.lo!r}", Evidence.MEASURED))


@dataclass(frozen=True)
class Demands(Requirements):
    """Turns requirements and limits into relations for one car, catalogue and goal."""

    def _effort_bound(self, limit: Limit, domains: Domains) -> Verdict:
        """No only if even the least money, labour or skill any build out of the candidates needs is too much."""
        if limit.at_most is None:
            return Verdict.CHECK
        least = self.effort.least(limit.quantity, domains)
        return Verdict.NO if least > limit.at_most + hair(limit.at_most) else Verdict.CHECK

    def limit(self, limit: Limit) -> Relation:
        """A wanted limit as a relation."""
        item = Input("quantity", limit.quantity)
        low = None if limit.at_least is None else Range.exactly(limit.at_least)
        high = None if limit.at_most is None else Range.exactly(limit.at_most)
        measure = self.measure_of(item)
        read = self.reader(item)

        def outlook(found: Result) -> Outlook:
            if found.impossible:
                return Outlook(Verdict.NO, False)
            if not isinstance(found.value, Range):
                return Outlook(Verdict.CHECK, False)
            verdict = verdict_on(found.value, low, high)
            if verdict is Verdict.FITS and found.evidence < self.goal.trust:
                return Outlook(Verdict.CHECK, False)
            return Outlook(verdict, not found.sharp)

        def overspent(build: Build) -> Range | None:
            """What the known prices alone come to, where that is too much already and some price is unknown."""
            if limit.quantity != "price" or high is None or self.effort.price(build) is not None:
                return None
            least = Range.exactly(self.effort.known_price(build))
            return least if verdict_on(least, None, high) is Verdict.NO else None

        def judge(build: Build) -> Verdict:
            found = rough(build, {})
            if found.verdict is Verdict.CHECK and found.open:
                return outlook(self.sharp(item, build)).verdict
            return found.verdict

        def rough(build: Build, known: Known) -> Outlook:
            if overspent(build) is not None:
                return Outlook(Verdict.NO, False)
            return outlook(read(build, known))

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
            needs = found.missing or self.uncertain(found, build)
            return (
                Reason(
                    name, verdict, limit.text, left, right, held.gap or None, measure, "the goal", needs, found.trouble
                ),
            )

        def bound(domains: Domains) -> Verdict:
            if limit.quantity in EFFORT:
                return self._effort_bound(limit, domains)
            hull = self.flow.hull(limit.quantity, domains)
            return Verdict.CHECK if hull is None else verdict_on(hull, low, high)

        name = f"want {limit.quantity}"
        return Relation(
            name,
            "goal limit",
            self.somewhere(self.scope_of(item)),
            judge,
            explain,
            says=f"{limit.quantity.replace('_', ' ')}: {limit.text}",
            source="the goal",
            uses=(item,),
            bound=bound,
            rough=rough,
            looks_at=self.looks_at_of([item], ()),
            limit=limit,
            rule=Requirement(name, "must", limit.text, "the goal", Condition(), item, _literal(low), _literal(high)),
        )
