"""The smallest relaxations: how far a line of the goal has to move, as numbers that were proved by solving again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import ceil, floor

from shared.goal import Limit
from shared.ranges import Range
from shared.units import System, measures, to_system

from ..relations import Build, Relation
from .questions import Line, Questions

MOST_STEPS = 40
_STEP = 1e-6
# Above the rounding within which limits are kept, or a step would not be one.
_LEAST_STEP = 1e-8
# A limit every known value keeps.
_ANY = 1e18


@dataclass(frozen=True)
class Moved:
    """A limit moved just far enough.

    ``value`` is the printed number nearest to the old one that is far enough, in SI; a build meets it.
    ``proved`` tells that the nearest value any build reaches, ``exact``, was proved: nothing nearer can be met.
    """

    line: Line
    lower: bool
    limit: Limit
    value: float
    exact: float
    proved: bool
    build: Build


@dataclass(frozen=True)
class Relaxation:
    """Lines changed together that let the rest of the goal be met: limits moved, choices given up.

    ``relations`` are all that then hold, the moved limits among them; ``build`` is the cheapest found that passes
    them, ``verified`` tells that none is cheaper.
    """

    moved: tuple[Moved, ...]
    dropped: tuple[Line, ...]
    relations: tuple[Relation, ...]
    build: Build
    verified: bool


def _ends(limit: Limit) -> list[bool]:
    """The ends a limit has: true for the lower one."""
    return [lower for lower, end in ((True, limit.at_least), (False, limit.at_most)) if end is not None]


def _with_end(limit: Limit, lower: bool, value: float) -> Limit:
    return replace(limit, at_least=value) if lower else replace(limit, at_most=value)


class Relaxing:
    """Moves lines of one goal; every number is asked of the search again.

    A search begins ``near`` a build, where one is known that meets much of what is asked.
    """

    def __init__(self, questions: Questions, units: System, near: Build | None = None) -> None:
        self.questions = questions
        self.units: System = units
        self.near = near

    def _ask(self, base: Sequence[Relation], limit: Limit, hint: Build | None) -> Build | None:
        """A build that passes ``base`` and a limit; ``None`` if there is none or it cannot be told."""
        reply = self.questions.ask([*base, self.questions.problem.demands.limit(limit)], hint or self.near)
        return None if reply is None else reply.build

    def _surely_none(self, base: Sequence[Relation], limit: Limit) -> tuple[bool, Build | None]:
        """Whether it is certain that no build passes, and a build if one does."""
        reply = self.questions.ask([*base, self.questions.problem.demands.limit(limit)], self.near)
        if reply is None:
            return False, None
        return reply.build is None, reply.build

    def _reached(self, limit: Limit, lower: bool, build: Build) -> float | None:
        """The end of a build's value nearest to a limit; ``None`` where nothing is known of it."""
        demands = self.questions.problem.demands
        relation = self.questions.problem.demands.limit(limit)
        value = demands.sharp(relation.uses[0], build).value
        if not isinstance(value, Range):
            return None
        return value.hi if lower is not self.questions.certain else value.lo

    def nearest(self, base: Sequence[Relation], line: Line, lower: bool) -> Moved | None:
        """The nearest value one end of a limit can be moved to so that ``base`` and it can be met.

        ``base`` are all other relations that have to hold.  ``None`` where moving that end is of no use.
        """
        assert line.limit is not None
        limit = line.limit
        old = limit.at_least if lower else limit.at_most
        assert old is not None
        build = self._ask(base, _with_end(limit, lower, -_ANY if lower else _ANY), None)
        if build is None:
            return None
        best = self._reached(limit, lower, build)
        if best is None:
            return None
        wrong = old
        proved = False
        for step in range(MOST_STEPS):
            hair = max(abs(best) * _STEP, _LEAST_STEP)
            trial = best + hair if lower else best - hair
            if step % 2:
                middle = (best + wrong) / 2
                trial = max(trial, middle) if lower else min(trial, middle)
            if (trial >= old) if lower else (trial <= old):
                proved = True
                break
            none, found = self._surely_none(base, _with_end(limit, lower, trial))
            if found is not None:
                reached = self._reached(limit, lower, found)
                if reached is None:
                    break
                best, build = (max(best, reached), found) if lower else (min(best, reached), found)
            elif not none:
                break
            elif abs(trial - best) <= 2 * hair:
                proved = True
                break
            else:
                wrong = trial
        value = self._outward(limit.quantity, best, lower)
        reply = self._ask(base, _with_end(limit, lower, value), build)
        if reply is None:
            value = best
            reply = self._ask(base, _with_end(limit, lower, value), build)
        if reply is None:
            # Not asked any more or not told, but the build that came nearest is still one.
            value = self._outward(limit.quantity, best, lower)
            if (
                self.questions.problem.demands.limit(_with_end(limit, lower, value)).verdict(build)
                > self.questions.worst
            ):
                return None
            reply = build
        return Moved(line, lower, _with_end(limit, lower, value), value, best, proved, reply)

    def _outward(self, quantity: str, value: float, lower: bool) -> float:
        """The printed number next to a value on the easier side."""
        measure = self.questions.problem.demands.measure_of(
            self.questions.problem.demands.limit(Limit(quantity, None, 0.0, "")).uses[0]
        )
        table = measures()[measure]
        how = table.printed(self.units)
        scale = 10.0**how.decimals
        shown = to_system(value, measure, self.units) * scale
        steps = floor(shown + 1e-6) if lower else ceil(shown - 1e-6)
        factor, offset = table.spellings[how.unit]
        return steps / scale * factor + offset

    def relax(self, correction: Sequence[Line], everything: Sequence[Line]) -> list[Relaxation]:
        """Ways to change just these lines, each limit of them kept as near as it goes, one after another.

        For two lines each is moved least in turn; for more, one way is given.
        """
        chosen = list(correction)
        orders = [chosen] if len(chosen) != 2 else [chosen, chosen[::-1]]
        found: list[Relaxation] = []
        for order in orders:
            made = self._in_order(order, [line for line in everything if line not in chosen])
            if made is not None and not any(_same(made, other) for other in found):
                found.append(made)
        return found

    def singly(self, conflict: Sequence[Line]) -> dict[Line, Relaxation]:
        """For each line of a conflict, how little it has to give for the others of the conflict to be met."""
        found = {}
        for line in conflict:
            made = (
                None
                if line.kind == "part"
                else self._in_order([line], [other for other in conflict if other is not line])
            )
            if made is not None:
                found[line] = made
        return found

    def _in_order(self, order: Sequence[Line], rest: Sequence[Line]) -> Relaxation | None:
        questions = self.questions
        base = [*questions.trade, *(r for line in rest for r in line.relations)]
        moved: list[Moved] = []
        dropped: list[Line] = []
        build: Build | None = None
        for line in order:
            if line.limit is None:
                dropped.append(line)
                continue
            options = [m for lower in _ends(line.limit) if (m := self.nearest(base, line, lower)) is not None]
            if not options:
                return None
            best = min(options, key=lambda m: (abs(m.value - (_old(m) or 0.0)), m.lower))
            moved.append(best)
            build = best.build
            base.append(questions.problem.demands.limit(best.limit))
        if dropped:
            base, build = self._give_up_little(base, dropped, build)
        if build is None:
            reply = questions.ask(base, self.near)
            build = None if reply is None else reply.build
        if build is None:
            return None
        cheapest = self.cheapest(base, build)
        return Relaxation(tuple(moved), tuple(dropped), tuple(base), *cheapest)

    def _give_up_little(
        self, base: list[Relation], dropped: Sequence[Line], build: Build | None
    ) -> tuple[list[Relation], Build | None]:
        """Put back every relation of the given-up choices that need not be given up."""
        for line in dropped:
            for relation in line.relations:
                if build is not None and relation.verdict(build).value < 2:
                    base = [*base, relation]
                    continue
                reply = self.questions.ask([*base, relation], build)
                if reply is not None and reply.build is not None:
                    base, build = [*base, relation], reply.build
        return base, build

    def cheapest(self, base: Sequence[Relation], build: Build) -> tuple[Build, bool]:
        """The cheapest build that passes ``base``, starting from one that does; whether that was proved."""
        price = self.questions.problem.effort.price
        certain = self.questions.certain

        def spent(build: Build) -> float | None:
            """What a build comes to at the end that counts; ``None`` where a price is unknown."""
            found = price(build)
            return None if found is None else found.hi if certain else found.lo

        best, wrong = build, 0.0
        low = spent(best)
        for step in range(MOST_STEPS):
            if low is None or low <= 0.0:
                return best, low is not None
            trial = low - 0.01 if step % 2 == 0 else (low + wrong) / 2
            if low - trial < 0.01:
                trial = low - 0.01
            none, found = self._surely_none(base, Limit("price", None, trial, "least money"))
            if found is not None:
                best, low = found, spent(found)
            elif not none:
                return best, False
            elif low - trial <= 0.011:
                return best, True
            else:
                wrong = trial
        return best, False


def _old(moved: Moved) -> float | None:
    limit = moved.line.limit
    assert limit is not None
    return limit.at_least if moved.lower else limit.at_most


def _same(one: Relaxation, two: Relaxation) -> bool:
    def key(r: Relaxation) -> tuple[object, ...]:
        return tuple(sorted((m.line.name, m.lower, m.value) for m in r.moved)), sorted(d.name for d in r.dropped)

    return key(one) == key(two)
