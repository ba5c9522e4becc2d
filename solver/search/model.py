"""Relations and costs as tables over what is left of every position's candidates.

The variables are the positions, whose values are the classes of candidates that nothing but money tells apart, and,
for every set of tasks the same positions call for, one more (asked for or not).  A relation or a cost becomes a table
where it has to be asked no more than so many times; as candidates go, wider ones come within reach.
What never does is left to the enumeration, which knows every relation whole.

Invariant: a build out of the candidates left that passes all hard relations has, on these tables, a cost no
higher than its score.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import repeat
from math import inf, prod
from operator import attrgetter

import numpy as np
from numpy.typing import NDArray

from shared.part import Part

from ..problem import Problem
from ..scoring import cents
from .blur import Blurs
from .completion import Charge
from .elimination import Bounds, bounds
from .factors import NEVER, Factor, expanded, gathered, grouped, ordered, projected, sliced, spread
from .members import Member, alike_members
from .shared_ways import least_by_case, pairs
from .sources import Asked, sources_of
from .spending import allowed
from .tasks import task_tables
from .visits import visit_shares
from .waiting import Waiting, waiting_for

# Cells of the widest table made and of the widest of blurred parts (which asks no more for being wide), questions
# before bounds are made again, and what blurring takes part in; these change the time, never the answer.
MOST_WIDE = 300_000
WIDEST_BLURRED = 2_000_000
MOST_AT_ONCE = 4_000
LEAST_BLURRED = 400
LEAST_RULE_BLURRED = 20_000
MOST_BLURRED = 300
FINEST_BLURRED = 10_000
# More cases of parts from one donor than this are not gone through, nor any where there are few builds anyway.
MOST_CASES = 100
FEW_BUILDS = 10**6

Domains = Mapping[str, tuple[Part | None, ...]]
Class = tuple[Member, ...]


@dataclass(frozen=True, slots=True)
class Counted:
    """What bounds add up: the score (once or not at all), and so many times what is spent of the goal's money."""

    score: int
    spent: int

    def of(self, member: Member) -> int:
        """What a candidate comes to by itself."""
        return self.score * member.cost + self.spent * member.taken

    def within(self, alike: Class, room: int) -> Class:
        """The members of a class that come to no more than so much above its least."""
        amounts = [self.of(member) for member in alike]
        most = min(amounts) + room
        return alike if max(amounts) <= most else tuple(m for m, a in zip(alike, amounts, strict=True) if a <= most)


SCORE = Counted(1, 0)
SPENT = Counted(0, 1)
_cost = attrgetter("cost")


class Tables:
    """The tables of a problem; candidates can be dropped, and wider sources taken in when enough have gone.

    With ``certain``, relations whose doubt is seen truly must fit without a check.
    """

    def __init__(self, problem: Problem, domains: Domains, certain: bool) -> None:
        self.problem = problem
        self.positions = tuple(problem.domains)
        self.number = {at: i for i, at in enumerate(self.positions)}
        self.blurs = Blurs(problem)
        sources = sources_of(problem, certain)
        self.domains = [
            alike_members(problem, sources, v, at, domains[at], problem.dearest, certain)
            for v, at in enumerate(self.positions)
        ]
        self.sizes = [len(own) for own in self.domains]
        self.certain = certain
        self.money = allowed(problem)
        self.factors: dict[tuple[int, ...], Factor] = {}
        self.blurred: dict[str, Factor] = {}
        self.sharpness: dict[str, float] = {}
        firsts = [[own[0].part for own in classes] for classes in self.domains]
        self.waiting = [waiting_for(s, self.positions, firsts) for s in sources]
        self._weigh()
        asked, self.used_up = task_tables(problem, self.domains, certain)
        self.sizes += [2] * len(self.used_up)
        for factor in asked:
            self._add(factor)

    def copy(self) -> Tables:
        """The same tables, to drop other candidates from; answers already had are shared."""
        other = object.__new__(Tables)
        other.__dict__.update(self.__dict__)
        other.domains, other.sizes = list(self.domains), list(self.sizes)
        other.waiting, other.factors = list(self.waiting), dict(self.factors)
        other.blurred, other.sharpness = dict(self.blurred), dict(self.sharpness)
        return other

    @property
    def left(self) -> dict[str, tuple[Part | None, ...]]:
        """The candidates left at every position."""
        return {
            at: tuple(m.part for own in classes for m in own)
            for at, classes in zip(self.positions, self.domains, strict=True)
        }

    @property
    def builds(self) -> int:
        """How many builds the candidates left make, whatever the relations say."""
        return prod(sum(map(len, classes)) for classes in self.domains)

    @property
    def rules_blurred(self) -> frozenset[str]:
        """The rules that are blurred now."""
        return frozenset(w.source.name for w in self.waiting if w.source.of_rule and w.source.name in self.blurred)

    def cells(self, variables: Sequence[int]) -> int:
        """How many tuples variables have."""
        return prod(self.sizes[v] for v in variables)

    def take(self, most_asked: int) -> bool:
        """Make tables of sources that have to be asked no more than so often; true if there are more of them.

        The narrowest come first, so that what they refuse need not be asked of the wider ones; after so many questions
        bounds may make the rest narrower.  What is asked of a quantity is blurred until then.
        """
        within = [w for w in self.waiting if w.dear <= most_asked and self.cells(w.source.scope) <= MOST_WIDE]
        asked = 0
        gone = set()
        for waiting in sorted(within, key=lambda w: w.dear):
            before = len(waiting.answers)
            self._add(self._filled(waiting))
            asked += len(waiting.answers) - before
            self.blurred.pop(waiting.source.name, None)
            gone.add(waiting.source.name)
            if asked > MOST_AT_ONCE:
                break
        self.waiting = [w for w in self.waiting if w.source.name not in gone]
        for source in (w.source for w in self.waiting):
            wanted = source.asked
            if wanted is not None and most_asked >= (LEAST_BLURRED if wanted.of_goal else LEAST_RULE_BLURRED):
                finest = min(FINEST_BLURRED, most_asked // 5) if wanted.of_goal else 0
                self._blur(source.name, wanted, source.scope, max(MOST_BLURRED, finest))
        return len(gone) < len(within)

    def _blur(self, name: str, asked: Asked, scope: tuple[int, ...], most: int) -> None:
        """A table of what blurred candidates cost; made anew when it comes to be four times as sharp."""
        sharpness = self.cells(scope) / most
        if self.sharpness.get(name, inf) <= sharpness * 4:
            return
        self.sharpness[name] = sharpness
        firsts = {self.positions[v]: tuple(own[0].part for own in self.domains[v]) for v in scope}
        found = self.blurs.table(asked.quantity, asked.cost, firsts, most, WIDEST_BLURRED)
        if found is not None:
            variables = [self.number[at] for at in found.positions]
            self.blurred[name] = ordered(variables, spread(found.costs, found.groups))

    def bounds(self, most_cells: int, counted: Counted = SCORE, rules: bool = True) -> Bounds:
        """The least score of any build out of the candidates left, and of any through each candidate.

        What a build spends beyond the goal's money may be ``counted`` on top, so many times.  No build within the money
        scores less than that says, however often (Lagrange: what is to be at most nothing is added).  Where it alone
        is counted, no build within the money comes to more than nothing.

        Blurred ``rules`` may be left out: where tables do not fit into one bucket more of them are no better bound.
        """
        aside = frozenset() if rules else self.rules_blurred
        factors = self._tabled(aside)
        if not counted.score:
            factors = [Factor(f.scope, f.table // NEVER * NEVER) for f in factors]
        for v, classes in enumerate(self.domains):
            factors.append(Factor((v,), np.array([min(map(counted.of, own)) for own in classes], dtype=np.int64)))
        if not counted.spent:
            return bounds(self.sizes, factors, most_cells)
        factors += [Factor(f.scope, f.table * counted.spent) for f in self.used_up]
        low = bounds(self.sizes, factors, most_cells)
        spare = counted.spent * (self.money or 0)
        through = tuple(np.where(costs >= NEVER, NEVER, costs - spare) for costs in low.through)
        return Bounds(low.total if low.total >= NEVER else low.total - spare, through)

    def _tabled(self, aside: frozenset[str]) -> list[Factor]:
        """Every table there is, but some of what is blurred."""
        return [*self.factors.values(), *(f for name, f in self.blurred.items() if name not in aside)]

    def keep(self, low: Bounds, limit: int, counted: Counted = SCORE) -> Bounds:
        """Drop the values that no assignment within the limit can have; the bounds of those that stay.

        ``counted`` is what the bounds were made with.  Where that would leave some variable no value at all, nothing is
        within the limit: the tables stay as they are and the bound says so.
        """
        kept = [np.flatnonzero(costs <= limit) for costs in low.through]
        if not all(len(k) for k in kept):
            return Bounds(max(low.total, limit + 1), low.through)
        if low.total > limit:
            return low
        through = tuple(costs[k] for costs, k in zip(low.through, kept, strict=True))
        if any(len(k) < size for k, size in zip(kept, self.sizes, strict=True)):
            # A table that neither refuses nor costs any more says nothing.
            left = (sliced(f, kept) for f in self.factors.values())
            self.factors = {f.scope: f for f in left if f.table.any()}
            self.blurred = {name: sliced(f, kept) for name, f in self.blurred.items()}
            self.used_up = [sliced(f, kept) for f in self.used_up]
            self.waiting = [w.kept(kept) for w in self.waiting]
            self.sizes = [len(k) for k in kept]
        before = self.builds
        for v, classes in enumerate(self.domains):
            rooms = (limit - through[v]).tolist()
            self.domains[v] = tuple(
                counted.within(classes[i], room) for i, room in zip(kept[v].tolist(), rooms, strict=True)
            )
        if self.builds < before:
            self._weigh()
        return Bounds(low.total, through)

    def part_ways(self, most_cells: int, limit: int) -> bool:
        """Drop the candidates that no build within the limit can have, by which parts come from one donor; false where
        there is none (see ``shared_ways``)."""
        worth = cents(self.problem.scoring.worth("donors"))
        cases = pairs(self.domains) if worth and self.builds > FEW_BUILDS else []
        if not 0 < len(cases) <= MOST_CASES:
            return True
        factors = self._tabled(frozenset())
        least = least_by_case(self.domains, worth, cases, lambda own: bounds(self.sizes, [*factors, *own], most_cells))
        through = [np.zeros(size, dtype=np.int64) for size in self.sizes]
        for v, classes in enumerate(self.domains):
            left = [
                tuple(m for m, low in zip(own, lows, strict=True) if low <= limit)
                for own, lows in zip(classes, least[v], strict=True)
            ]
            through[v][: len(left)] = [0 if own else NEVER for own in left]
            self.domains[v] = tuple(own or classes[i] for i, own in enumerate(left))
        some = self.keep(Bounds(0, tuple(through)), limit).total <= limit
        self._weigh()
        return some

    def charges(self, domains: Domains) -> list[Charge]:
        """What several positions cost together, labour apart, over some of the candidates left."""
        places = []
        for at, classes in zip(self.positions, self.domains, strict=True):
            number = {m.part: i for i, own in enumerate(classes) for m in own}
            places.append(np.array([number[part] for part in domains[at]]))
        found = []
        for factor in [*self.factors.values(), *self.blurred.values()]:
            labour = factor.scope[-1] >= len(self.positions)
            if not labour and factor.table.any() and prod(len(places[v]) for v in factor.scope) <= MOST_WIDE:
                table = factor.table[np.ix_(*(places[v] for v in factor.scope))]
                found.append(Charge(tuple(self.positions[v] for v in factor.scope), table))
        return found

    # -- filling

    def _add(self, factor: Factor) -> None:
        """Take a table in; tables over the same variables become one, and one that says nothing is none."""
        if not factor.table.any():
            return
        other = self.factors.get(factor.scope)
        if other is not None:
            factor = Factor(factor.scope, np.minimum(other.table + factor.table, NEVER))
        self.factors[factor.scope] = factor

    def _possible(self, variables: tuple[int, ...]) -> NDArray[np.bool_]:
        """Which tuples of values no table so far refuses."""
        left = np.ones([self.sizes[v] for v in variables], dtype=bool)
        wanted = frozenset(variables)
        for factor in self.factors.values():
            if wanted.isdisjoint(factor.scope):
                continue
            shared = [v for v in factor.scope if v in wanted]
            if len(shared) > 1 or len(factor.scope) == 1:
                left &= expanded(projected(factor, shared), variables) < NEVER
        return left

    def _filled(self, waiting: Waiting) -> Factor:
        """A table filled by asking once for every combination of groups that may still be in a build."""
        source, answers = waiting.source, waiting.answers
        sights, groups = zip(*map(grouped, waiting.seen), strict=True)
        table = np.full([len(own) for own in groups], NEVER, dtype=np.int64)
        names = [self.positions[v] for v in source.scope]
        firsts = [[self.domains[v][own[0]][0].part for own in g] for v, g in zip(source.scope, groups, strict=True)]
        for index in map(tuple, np.argwhere(gathered(self._possible(source.scope), groups)).tolist()):
            key = tuple([own[i] for own, i in zip(sights, index, strict=True)])
            answer = answers.get(key)
            if answer is None:
                build = {at: own[i] for at, own, i in zip(names, firsts, index, strict=True)}
                answer = answers[key] = source.cost(build)
            table[index] = answer
        return Factor(source.scope, spread(table, groups))

    # -- costs

    def _weigh(self) -> None:
        """What each candidate costs by itself, the way to its donor included (see :func:`visit_shares`); the
        cheapest of a class comes first and stands for it."""
        worth = cents(self.problem.scoring.worth("donors"))
        donors = {
            at: [m.donors for own in classes for m in own]
            for at, classes in zip(self.positions, self.domains, strict=True)
        }
        shares = visit_shares(donors, worth) if worth else {}
        for v, at in enumerate(self.positions):
            ways = iter(shares[at]) if shares else repeat(0)
            self.domains[v] = tuple(
                tuple(sorted([m.at(m.price + next(ways)) for m in own], key=_cost)) for own in self.domains[v]
            )
