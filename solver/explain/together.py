"""Do these parts go together?  What clashes among them, what is in doubt, and what would mend it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from math import inf

from knowledge.files.shape import nearest_part
from shared.explained import MendKind, MendShown
from shared.faults import BadInput, Fault
from shared.part import Part
from shared.units import System
from shared.verdict import Verdict

from ..choices import adapter_positions
from ..problem import Problem
from ..relations import Build, Relation
from ..search.enumeration import LimitReached
from ..words import VERDICT_WORDS, money, shown
from .answers import good_enough
from .document import DoubtShown, ViolatedShown
from .mending import cheap, dear_end, relaxed
from .questions import Line, Questions, part_line
from .relaxing import Relaxation, Relaxing
from .showing import new_parts, reasons_of, source_of, standing

MOST_MENDS = 4
MOST_TRIED = 10
NARROW = 6
# The work (see Budget) for the ways out of all clashes with the rest as it is now, and for what goes with the parts.
MOST_WORK_CLASHES = 60_000
MOST_WORK_WHOLE = 40_000


def chosen_parts(problem: Problem, names: Sequence[str], goal_file: str) -> dict[str, Part]:
    """The parts somebody names, each at a position: ``part`` or ``position=part``.

    Raises :class:`BadInput` for every name that is none.
    """
    faults: list[Fault] = []
    found: dict[str, Part] = {}
    for name in names:
        at, _, part_id = name.rpartition("=")
        places = {p: part for p, c in problem.domains.items() for part in c if part is not None and part.id == part_id}
        wanted = [p for p in places if p == at or not at]
        free = [p for p in wanted if p not in found]
        if free:
            found[free[0]] = places[free[0]]
            continue
        if wanted:
            both = f"{found[wanted[0]].id} and {part_id} at {wanted[0]}"
            faults.append(Fault(goal_file, 0, "wrong-place", both, "one part for a position", "ask of one at a time"))
            continue
        if places:
            where = ", ".join(places)
            mend = f"name a position of it: {', '.join(f'{p}={part_id}' for p in places)}"
            faults.append(Fault(goal_file, 0, "wrong-place", name, f"a part for a position of its own ({where})", mend))
            continue
        mend = nearest_part(
            part_id, {part.id: part for c in problem.domains.values() for part in c if part is not None}
        )
        faults.append(Fault(goal_file, 0, "unknown-part", repr(name), "the id of a part of the catalogue", mend))
    if faults:
        raise BadInput(faults)
    return found


def with_parts(problem: Problem, chosen: dict[str, Part]) -> Build:
    """The car as it is now with the chosen parts on it, and with what comes mounted on them."""
    build = dict(problem.stock)
    for at, part in chosen.items():
        build[at] = part
    for part in chosen.values():
        for at in part.brings:
            if at not in chosen and at in build:
                build[at] = next((p for p in problem.domains[at] if p is not None and p.host == part.id), build[at])
    return build


class Together:
    """The chosen parts of one question."""

    def __init__(self, questions: Questions, chosen: dict[str, Part], units: System) -> None:
        self.questions = questions
        self.problem = questions.problem
        self.chosen = chosen
        self.units: System = units
        self.lines = tuple(part_line(at, part) for at, part in chosen.items())
        self.build = with_parts(self.problem, chosen)
        self.relaxing = Relaxing(questions, units)
        self.surely = Relaxing(Questions(self.problem, certain=True, budget=questions.budget), units)
        brought = {at for part in chosen.values() for at in part.brings if at in self.problem.domains}
        self.places = {*chosen, *brought}
        self.adapters = adapter_positions(self.problem.garage)

    def touching(self, relations: Iterable[Relation]) -> list[Relation]:
        """The relations that look at a chosen part."""
        return [r for r in relations if self.places.intersection(r.scope)]

    # -- violated and doubtful

    def violated(self) -> tuple[ViolatedShown, ...]:
        """Every rule of the trade that refuses the chosen parts with the rest as it is now."""
        found = []
        budget = self.questions.budget
        until = budget.spent + MOST_WORK_CLASHES
        for relation in self.touching(self.questions.trade):
            if relation.verdict(self.build) is not Verdict.NO or relation.verdict(self.problem.stock) is Verdict.NO:
                continue
            alone = self.questions.ask([relation, *self._fixed(self.lines)])
            reasons = reasons_of([relation], self.build, self.units)
            with budget.within(max(until - budget.spent, 0)):
                mends, complete = self.mends_of(relation)
            found.append(
                ViolatedShown(
                    relation=relation.name,
                    kind=relation.kind,
                    says=relation.says,
                    source=source_of(relation, reasons),
                    alone=alone is not None and alone.build is None,
                    reasons=reasons,
                    mends=mends,
                    ways_out_complete=complete,
                )
            )
        return tuple(found)

    def doubtful(self) -> tuple[DoubtShown, ...]:
        """Everything about the chosen parts that is in doubt and was not in doubt on the car as it is now."""
        found: list[DoubtShown] = []
        for relation in self.touching(self.questions.trade):
            if relation.verdict(self.build) is not Verdict.CHECK:
                continue
            before = {(r.left, r.right) for r in relation.explain(self.problem.stock)}
            for reason in relation.explain(self.build):
                if reason.verdict is Verdict.CHECK and (reason.left, reason.right) not in before:
                    out = shown(reason, relation.severity, self.units)
                    good = good_enough(self.problem, self.build, relation, reason, self.units)
                    found.append(DoubtShown(relation=relation.name, reason=out, measure=reason.needs, good_enough=good))
        return tuple(dict.fromkeys(found))

    # -- mends

    @staticmethod
    def _fixed(lines: Iterable[Line]) -> list[Relation]:
        return [r for line in lines for r in line.relations]

    def _places_of(self, relation: Relation) -> list[str]:
        """Where a change could mend a relation."""
        if len(relation.scope) <= NARROW:
            return list(relation.scope)
        rule = next((r for r in self.problem.garage.layout.requirements if r.id == relation.name), None)
        return list(dict.fromkeys([*(self.chosen), *(() if rule is None else rule.helps)]))

    def mends_of(self, relation: Relation) -> tuple[tuple[MendShown, ...], bool]:
        """Single changes that mend a violated relation, the chosen parts it looks at going on the car with them.

        With them whether there are no others that are no dearer.
        """
        trials = [
            (at, part)
            for at in self._places_of(relation)
            if at in relation.scope
            for part in self.problem.domains[at]
            if part is not self.build[at] and relation.verdict({**self.build, at: part}) is not Verdict.NO
        ]
        return self._tried(trials, [line for line in self.lines if line.position in relation.scope], ())

    def mends_of_conflict(
        self, lines: Sequence[Line], moves: Mapping[Line, Relaxation]
    ) -> tuple[tuple[MendShown, ...], bool]:
        """Single changes after which the rest of a conflict can be met, cheapest first, and whether these are all.

        ``moves`` tells how little each of its lines of the goal has to give.
        """
        trials = [
            (line.position, part)
            for line in lines
            if line.position is not None
            for part in self.problem.domains[line.position]
            if part is not line.part
        ]
        asked = [line for line in lines if line.kind != "part"]
        found, complete = self._tried(trials, [line for line in lines if line.kind == "part"], asked)
        given = relaxed(self.problem, moves, self.chosen, self.units)
        return tuple(sorted((*found, *given), key=cheap)), complete

    def _cheapest(self, base: Sequence[Relation]) -> tuple[Build, bool, bool] | None:
        """The cheapest build that passes ``base``, whether that was proved, and whether it certainly passes.

        One that certainly passes is taken before one that passes if checked, whatever it costs.
        """
        for relaxing in (self.surely, self.relaxing):
            reply = relaxing.questions.ask(base, self.build)
            if reply is not None and reply.build is not None:
                build, proved = relaxing.cheapest(base, reply.build)
                return build, proved, standing(base, build) is Verdict.FITS
        return None

    def _least(self, at: str, part: Part | None) -> float:
        """What a part costs at the least, an assembly it comes with included."""
        host = None if part is None or part.host is None else self.problem.garage.parts.get(part.host)
        home = None if host is None else next((p for p, c in self.problem.domains.items() if host in c), None)
        found = self.problem.effort.part_price(at if home is None else home, part if home is None else host)
        return inf if found is None else found.lo

    def _tried(
        self, trials: Iterable[tuple[str, Part | None]], lines: Sequence[Line], asked: Sequence[Line]
    ) -> tuple[tuple[MendShown, ...], bool]:
        """The cheapest of these changes that really let the rest go together, and whether there is none like them."""

        def order(trial: tuple[str, Part | None]) -> tuple[float, str, str]:
            return self._least(*trial), trial[0], "" if trial[1] is None else trial[1].id

        found: list[MendShown] = []
        untold = self.questions.budget.untold
        complete = True
        for tried, (at, part) in enumerate(sorted(trials, key=order)):
            if len(found) >= MOST_MENDS and self._least(at, part) > max(dear_end(m.total) for m in found[:MOST_MENDS]):
                break
            if tried == MOST_TRIED or self.questions.budget.left == 0:
                complete = False
                break
            rest = [line for line in lines if line.position != at]
            base = [*self.questions.trade, *self._fixed(rest), *self._fixed(asked)]
            base += self._fixed([part_line(at, part)]) if part is not None else [_empty(at)]
            made = self._cheapest(base)
            if made is not None:
                found.append(self._mend(at, part, *made, rest))
                found.sort(key=cheap)
        return tuple(found[:MOST_MENDS]), complete and self.questions.budget.untold == untold

    def _mend(
        self, at: str, part: Part | None, build: Build, proved: bool, certain: bool, rest: Sequence[Line]
    ) -> MendShown:
        where = at.replace("_", " ")
        own = {at, *(line.position for line in rest)}
        others = {p: q for p, q in build.items() if p not in own}
        also = new_parts(self.problem, others)
        text = f"nothing at {where}" if part is None else f"{part.name} ({where})"
        kind: MendKind = "another part"
        if part is None:
            kind = "nothing there"
        elif part is self.problem.stock[at]:
            kind = "what is fitted now"
        elif part.altered:
            kind = "alteration"
        elif at in self.adapters or part.adapter:
            kind = "adapter"
        price = money(self.problem.effort.part_price(at, part))
        return MendShown(
            kind=kind,
            text=text,
            position=at,
            part=None if part is None else part.id,
            price=price,
            total=money(self.problem.effort.price(build)) if proved else None,
            also=also,
            verdict=VERDICT_WORDS[Verdict.FITS if certain else Verdict.CHECK],
        )

    def whole(self) -> MendShown | None:
        """The cheapest build that has all the chosen parts, whatever the goal.

        ``None`` if there is none; raises :class:`LimitReached` where that could not be told.
        """
        base = [*self.questions.trade, *self._fixed(self.lines)]
        reply = self.questions.ask(base, self.build)
        if reply is None:
            raise LimitReached("whether the parts go together took too many steps to tell")
        if reply.build is None:
            return None
        with self.questions.budget.within(MOST_WORK_WHOLE):
            build, proved, certain = self._cheapest(base) or (
                reply.build,
                False,
                standing(base, reply.build) is Verdict.FITS,
            )
        others = {p: q for p, q in build.items() if p not in self.chosen}
        also = new_parts(self.problem, others)
        return MendShown(
            kind="another part",
            text="with " + ", ".join(also) if also else "with nothing else changed",
            total=money(self.problem.effort.price(build)) if proved else None,
            also=also,
            verdict=VERDICT_WORDS[Verdict.FITS if certain else Verdict.CHECK],
        )


def _empty(at: str) -> Relation:
    return Relation(
        f"nothing at {at}",
        "goal choice",
        (at,),
        lambda build: Verdict.FITS if build[at] is None else Verdict.NO,
        lambda build: (),
        parts=(at,),
    )
