"""A limit on the score as a rule that prunes: so the best build with a part can be come nearer to by questions.

A score is a sum of what each candidate costs, of the labour of all that is worked at, of the ways to donor cars, and of
what the goal's preferences and the advice put on a quantity (*wishes*).  What is certain of each is added up.

Invariant: what is said of open candidates is no more than the score of any build out of them, and of one build it is
its score.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import accumulate

from ..effort import fewest
from ..problem import Problem
from ..relations import Relation
from ..scoring import cents
from .rules import NOTHING, Candidates, Pruned, Work, bits
from .sources import Wish, wishes_of
from .touching import Touched, Touching

ASKED = 10


@dataclass
class _Wished:
    """A wish asked of open candidates, in the classes that it cannot tell apart."""

    wish: Wish
    names: tuple[str, ...]
    classes: tuple[tuple[int, ...], ...]
    candidates: Candidates
    work: Work
    least: dict[tuple[int, ...], int] = field(default_factory=dict)
    gathered: dict[tuple[int, int], int] = field(default_factory=dict)

    def gather(self, axis: int, mask: int) -> int:
        """The open candidates of a position and all that are like any of them."""
        found = self.gathered.get((axis, mask))
        if found is None:
            found = sum(own for own in self.classes[axis] if own & mask)
            self.gathered[axis, mask] = found
        return found

    def of(self, masks: Sequence[int]) -> int:
        """What any build out of the open candidates pays at the least; of one build what it pays."""
        opened = tuple([self.gather(axis, masks[v]) for axis, v in enumerate(self.wish.scope)])
        found = self.least.get(opened)
        if found is None:
            self.work.spent += ASKED
            firsts = [[own for own in self.classes[axis] if own & mask] for axis, mask in enumerate(opened)]
            parts = {
                at: tuple(self.candidates[v][bits(own)[0]] for own in classes)
                for at, v, classes in zip(self.names, self.wish.scope, firsts, strict=True)
            }
            if all(len(own) == 1 for own in parts.values()):
                found = self.wish.of({at: own[0] for at, own in parts.items()})
            else:
                found = self.wish.least(parts)
            self.least[opened] = found
        return found


class Scores:
    """What open candidates score at the least; for all limits on the score of one problem."""

    def __init__(self, problem: Problem, candidates: Candidates, work: Work) -> None:
        self.problem, self.work = problem, work
        self.positions = tuple(problem.domains)
        effort, scoring = problem.effort, problem.scoring
        self.costs = [
            [scoring.part_cents(at, p, problem.dearest) for p in own]
            for at, own in zip(self.positions, candidates, strict=True)
        ]
        self.touching = Touching(problem, candidates)
        self.way = cents(scoring.worth("donors"))
        self.carriers = [
            [effort.carriers(at, p) for p in own] for at, own in zip(self.positions, candidates, strict=True)
        ]
        self.driven = [sum(1 << i for i, donors in enumerate(own) if donors) for own in self.carriers]
        # What a build pays by its skill class or the number of changes is told of whole builds only.
        self.of_whole = any(p.quantity in ("skill", "parts_changed") for p in problem.goal.prefer)
        self.wishes = []
        for wish in wishes_of(problem):
            names = tuple(self.positions[v] for v in wish.scope)
            classes = []
            for at, v in zip(names, wish.scope, strict=True):
                groups: dict[object, int] = {}
                for i, part in enumerate(candidates[v]):
                    sight = wish.alike(at, part)
                    groups[sight] = groups.get(sight, 0) | 1 << i
                classes.append(tuple(groups.values()))
            self.wishes.append(_Wished(wish, names, tuple(classes), candidates, work))
        self.cheapest: list[dict[int, int]] = [{} for _ in candidates]
        self.full = [(1 << len(own)) - 1 for own in candidates]
        self.floors = [self.least(v, mask) for v, mask in enumerate(self.full)]
        self.rising = [self._rising(row) for row in self.costs]
        self._labours: dict[frozenset[int], int] = {}
        self._fewest: dict[frozenset[frozenset[str]], int] = {}
        self._unions: list[dict[int, frozenset[str]]] = [{} for _ in candidates]
        self._wholes: dict[tuple[int, ...], int] = {}

    def least(self, v: int, mask: int) -> int:
        """What the cheapest open candidate costs by itself."""
        known = self.cheapest[v]
        found = known.get(mask)
        if found is None:
            found = known[mask] = min((self.costs[v][i] for i in bits(mask)), default=0)
        return found

    @staticmethod
    def _rising(costs: Sequence[int]) -> tuple[list[int], list[int]]:
        """Costs in order, and for each number of the cheapest candidates the bits of them."""
        ordered = sorted((cost, 1 << i) for i, cost in enumerate(costs))
        return [cost for cost, _ in ordered], [0, *accumulate(bit for _, bit in ordered)]

    def affordable(self, v: int, room: int) -> int:
        """The candidates that cost no more than ``room`` by themselves."""
        costs, masks = self.rising[v]
        return masks[bisect_right(costs, room)]

    def labour(self, touched: Iterable[int]) -> int:
        """What the tasks at these positions come to."""
        key = frozenset(touched)
        found = self._labours.get(key)
        if found is None:
            tasks = self.problem.effort.tasks_for(self.positions[v] for v in key)
            task_cents = self.problem.scoring.task_cents
            found = sum(task_cents(t.hours, sum(c.high for c in t.consumables)) for t in tasks)
            self._labours[key] = found
        return found

    def driven_for(self, masks: Sequence[int]) -> list[int]:
        """The positions for which a donor is certainly driven to."""
        return [v for v, mask in enumerate(masks) if mask and not mask & ~self.driven[v]] if self.way else []

    def ways(self, driven: Iterable[int], masks: Sequence[int]) -> int:
        """What the ways to the fewest donors come to that have something for each of these positions."""
        wanted = frozenset([self.union(v, masks[v]) for v in driven])
        found = self._fewest.get(wanted)
        if found is None:
            found = self._fewest[wanted] = self.way * len(fewest(wanted))
        return found

    def union(self, v: int, mask: int) -> frozenset[str]:
        """The donors that carry any open candidate of a position."""
        known = self._unions[v]
        found = known.get(mask)
        if found is None:
            found = known[mask] = frozenset().union(*(self.carriers[v][i] for i in bits(mask)))
        return found

    def carried(self, v: int, donors: frozenset[str]) -> int:
        """The candidates of a position that come from these donors alone."""
        return sum(1 << i for i, own in enumerate(self.carriers[v]) if own and own <= donors)

    def whole(self, masks: Sequence[int]) -> int:
        """The score of the one build that is open."""
        key = tuple(masks)
        found = self._wholes.get(key)
        if found is None:
            found = sum(self.least(v, mask) for v, mask in enumerate(masks))
            found += self.labour(v for v, _ in self.touching.touched(masks))
            found += self.ways(self.driven_for(masks), masks)
            found += sum(wish.of(masks) for wish in self.wishes)
            found += self._of_whole(masks) if self.of_whole else 0
            self._wholes[key] = found
        return found

    def _of_whole(self, masks: Sequence[int]) -> int:
        """What the one build that is open pays by its skill class and the number of its changes."""
        scoring, domains = self.problem.scoring, self.problem.domains
        build = {at: domains[at][mask.bit_length() - 1] for at, mask in zip(self.positions, masks, strict=True)}
        return scoring.whole_cents(build)

    def like(self, v: int, gone: int) -> int:
        """The candidates of a position that make any build score no less than with the best of ``gone``."""
        low = self.least(v, gone)
        found = sum(1 << i for i, cost in enumerate(self.costs[v]) if cost >= low)
        found = self.touching.like(v, gone, found)
        if self.way and not gone & ~self.driven[v]:
            found &= self.carried(v, self.union(v, gone))
        for wished in self.wishes:
            if v in wished.wish.scope:
                found &= wished.gather(wished.wish.scope.index(v), gone)
        return gone if self.of_whole else found


class ScoreRule:
    """At most such a score."""

    def __init__(self, scores: Scores, relation: Relation, most: int) -> None:
        self.scores, self.relation, self.most = scores, relation, most
        self.scope = tuple(range(len(scores.positions)))
        # Asked after all that is quicker to ask.
        self.width = len(self.scope) + 2
        self.dear = 6
        self.memo: dict[tuple[int, ...], Pruned] = {}

    def prune(self, masks: Sequence[int], root: bool) -> Pruned:
        """What is left of the open candidates."""
        key = tuple(masks)
        found = self.memo.get(key)
        if found is None:
            found = self.memo[key] = self._prune(masks)
        return found

    def holds(self, chosen: Sequence[int], quickly: bool) -> bool:
        """Whether one candidate for each position passes."""
        masks = [1 << i for i in chosen]
        return self._rough(masks) <= self.most if quickly else self.scores.whole(masks) <= self.most

    def _rough(self, masks: Sequence[int]) -> int:
        """What the open candidates score at the least, as far as it has to be known to tell that it is too much."""
        scores = self.scores
        total = sum(scores.least(v, mask) for v, mask in enumerate(masks))
        total += scores.labour(v for v, _ in scores.touching.touched(masks))
        if total <= self.most:
            total += scores.ways(scores.driven_for(masks), masks)
        for wished in scores.wishes:
            if total > self.most:
                break
            total += wished.of(masks)
        return total

    def _prune(self, masks: Sequence[int]) -> Pruned:
        scores = self.scores
        total = self._rough(masks)
        if total <= self.most and not any(mask & (mask - 1) for mask in masks):
            total = scores.whole(masks)
        if total > self.most:
            return Pruned(((self._telling(masks), 0),))
        kept = []
        for v, mask in enumerate(masks):
            room = self.most - total + scores.least(v, mask)
            if room < scores.rising[v][0][-1]:
                left = mask & scores.affordable(v, room)
                if left != mask:
                    kept.append((v, left))
        return Pruned(tuple(kept)) if kept else NOTHING

    def _telling(self, masks: Sequence[int]) -> int:
        """A position that has lost something."""
        return next((v for v, mask in enumerate(masks) if mask != self.scores.full[v]), 0)

    def because(self, position: int, gone: int, masks: Sequence[int]) -> dict[int, int]:
        """For each position the missing candidates that ``gone`` going from ``position`` hung on.

        What is not needed for the score to be too much is left out: wishes first, then ways, money and work.
        """
        scores = self.scores
        opened = [self.like(position, gone) if v == position else mask for v, mask in enumerate(masks)]
        reason = _Reason(scores, opened)
        if reason.total <= self.most:
            # Only the exact score of the one build that was open is too much.
            return {v: left for v, mask in enumerate(masks) if v != position and (left := scores.full[v] & ~mask)}
        reason.lessen(self.most)
        return {v: left for v, mask in reason.needed(self.most).items() if v != position and (left := mask & ~masks[v])}

    def like(self, position: int, gone: int) -> int:
        """The candidates of a position that would go with ``gone``, for the same reason."""
        return self.scores.like(position, gone)

    def entailed(self, masks: Sequence[int]) -> bool:
        """Whether it is certain that every combination of the open candidates passes: told of one build alone."""
        return not any(mask & (mask - 1) for mask in masks) and self.scores.whole(masks) <= self.most


class _Reason:
    """Why open candidates score too much: what is spent, worked at, driven to and missed, as far as it is needed."""

    def __init__(self, scores: Scores, opened: Sequence[int]) -> None:
        self.scores, self.opened = scores, opened
        self.spent: dict[int, int] = {
            v: above for v, mask in enumerate(opened) if (above := scores.least(v, mask) - scores.floors[v])
        }
        self.touched: list[Touched] = scores.touching.touched(opened)
        self.driven = scores.driven_for(opened)
        self.floors = {i: wished.of(scores.full) for i, wished in enumerate(scores.wishes)}
        self.missed: dict[int, int] = {
            i: above for i, wished in enumerate(scores.wishes) if (above := wished.of(opened) - self.floors[i])
        }

    @property
    def total(self) -> int:
        """What the open candidates score at the least by what is still in the reason."""
        scores = self.scores
        found = sum(scores.floors) + sum(self.floors.values())
        found += sum(self.spent.values()) + sum(self.missed.values())
        return found + scores.labour(v for v, _ in self.touched) + scores.ways(self.driven, self.opened)

    def lessen(self, most: int) -> None:
        """Leave out what is not needed for the total to be above ``most``."""
        for amounts in (self.missed, self.spent):
            for key in sorted(amounts, key=lambda k: (amounts[k], k)):
                above = amounts.pop(key)
                if self.total <= most:
                    amounts[key] = above
            if amounts is self.missed:
                self._lessen_ways(most)
        for pair in list(self.touched):
            before = self.touched
            self.touched = [other for other in before if other != pair]
            if self.total <= most:
                self.touched = before

    def _lessen_ways(self, most: int) -> None:
        """Leave out the ways that are not needed."""
        for v in list(self.driven):
            before = self.driven
            self.driven = [u for u in before if u != v]
            if self.total <= most:
                self.driven = before

    def needed(self, most: int) -> Mapping[int, int]:
        """For each position the candidates that must be missing for that."""
        scores = self.scores
        needed = dict.fromkeys(range(len(self.opened)), 0)
        for v, above in self.spent.items():
            low = above + scores.floors[v]
            needed[v] |= sum(1 << i for i, cost in enumerate(scores.costs[v]) if cost < low)
        scores.touching.needed(self.touched, needed)
        for v in self.driven:
            needed[v] |= scores.full[v] & ~scores.carried(v, scores.union(v, self.opened[v]))
        spare = self.total - most - 1
        for i in sorted(self.missed):
            wished = scores.wishes[i]
            spare -= self._widened(wished, self.missed[i] + self.floors[i], spare, needed)
        return needed

    def _widened(self, wished: _Wished, missed: int, spare: int, needed: dict[int, int]) -> int:
        """Add what must be missing for a wish to be missed by nearly as much; how much less it then is."""
        scores, opened, given = self.scores, list(self.opened), 0
        for axis, v in enumerate(wished.wish.scope):
            left = scores.full[v] & ~wished.gather(axis, opened[v])
            if not left:
                continue
            before, opened[v] = opened[v], scores.full[v]
            if scores.work.generous > 0:
                scores.work.generous -= 1
                less = missed - wished.of(opened)
                if less <= spare:
                    given = max(given, less)
                    continue
            opened[v] = before
            needed[v] |= left
        return given
