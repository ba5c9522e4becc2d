"""One question to the relations: pruning until nothing changes, then trying.

For each position the set of candidates still open is kept, as the bits of an integer.  A relation whose open
combinations can be listed prunes every candidate it leaves no combination; a wider one is asked through its bound.
Where that settles nothing a candidate is tried.  When it fails, what is learnt from that takes the search back to the
first choice where it would have told something, and is remembered for later questions.

References: Boussemart et al., "Boosting systematic search by weighting constraints", ECAI 2004, for the order of
positions; Moskewicz et al., "Chaff", DAC 2001, for watching two of what a lesson names.  Both from memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from heapq import heapify, heappop, heappush

from ..relations import Relation
from .enumeration import LimitReached
from .lessons import Event, Failure, Learnt, Lesson, Trail
from .rules import Rule, Work

MOST_NODES = 4000
MOST_LESSONS = 1_000
FEW_RULES = 60
WORK_A_NODE = 60
GENEROUS = 60

Core = frozenset[Relation]
_Root = tuple[tuple[int, ...], tuple[Event, ...], Core | None]


@dataclass
class Memory:
    """What questions to the same problem leave to later ones."""

    weights: dict[Relation, int] = field(default_factory=dict)
    roots: dict[tuple[Relation, ...], _Root] = field(default_factory=dict)
    lessons: list[Lesson] = field(default_factory=list)


class _Impossible(Exception):
    """Some relations by themselves leave nothing."""

    def __init__(self, core: Core) -> None:
        self.core = core


@dataclass
class _Watched:
    """A lesson, and two of its positions where one of its candidates is open."""

    lesson: Lesson
    one: int
    two: int


class Trying:
    """The search for one build that passes some rules; ``order`` has for each position the order of trying.

    ``implied`` are relations that hold wherever those of the rules do.
    """

    def __init__(
        self,
        rules: Sequence[Rule],
        memory: Memory,
        work: Work,
        order: Sequence[Sequence[int]],
        most_nodes: int,
        implied: Iterable[Relation] = (),
    ) -> None:
        self.rules = rules
        self.asked = frozenset(rule.relation for rule in rules).union(implied)
        self.memory = memory
        self.work = work
        self.order = order
        self.full = [(1 << len(own)) - 1 for own in order]
        self.trail = Trail(self.full)
        self.touching: list[list[int]] = [[] for _ in order]
        for number, rule in enumerate(rules):
            for v in rule.scope:
                self.touching[v].append(number)
        self.narrowest = sorted(range(len(rules)), key=lambda n: rules[n].width)
        self.seen: list[int] = [0] * len(order)
        self.chosen: list[int] = [-1] * len(order)
        self.unsure = set(self.narrowest), set(self.narrowest)
        self.watching: list[list[_Watched]] = [[] for _ in order]
        self.nodes = most_nodes
        self.most_work = work.spent + most_nodes * WORK_A_NODE

    def answer(self, forced: Mapping[int, int]) -> list[int] | Core:
        """For each position a candidate out of the ``forced`` ones, or the relations that are enough for there to be
        none."""
        try:
            self._prune(forced)
            self._remember()
            self._search()
        except _Impossible as none:
            return none.core
        finally:
            del self.memory.lessons[:-MOST_LESSONS]
        return [self._first(v) for v in range(len(self.order))]

    def left(self) -> list[int] | None:
        """The candidates that the rules one by one leave at every position; ``None`` if one is left empty."""
        return None if self._propagate(range(len(self.rules))) is not None else self.trail.masks

    def _first(self, v: int) -> int:
        """The open candidate of a position that is tried next."""
        left = self.trail.masks[v]
        return next(i for i in self.order[v] if left >> i & 1)

    def _settled(self, failure: Failure | None) -> None:
        """Before anything is tried, a failure is the answer."""
        if failure is not None:
            core = self.trail.learn(failure)
            assert isinstance(core, frozenset), "nothing was tried yet"
            raise _Impossible(core)

    def _prune(self, forced: Mapping[int, int]) -> None:
        """What follows from the relations alone, then from what is forced."""
        key = tuple(rule.relation for rule in self.rules)
        known = self.memory.roots.get(key)
        if known is None:
            core: Core | None = None
            try:
                self._root(key)
            except _Impossible as none:
                core = none.core
            known = self.memory.roots[key] = (tuple(self.trail.masks), tuple(self.trail.events), core)
        else:
            self.trail = Trail(known[0], known[1])
        if known[2] is not None:
            raise _Impossible(known[2])
        for v, mask in sorted(forced.items()):
            left = self.trail.masks[v] & mask
            if left != self.trail.masks[v]:
                self.trail.narrow(v, left, None)
                if not left:
                    self._settled(self._empty(v))
        self._settled(self._propagate({n for v in forced for n in self.touching[v]}))

    def _root(self, key: tuple[Relation, ...]) -> None:
        """What follows from the relations alone, beginning with what is known to follow from most of them."""
        thorough = len(self.rules) > FEW_RULES
        base = max(
            (known for known in self.memory.roots if len(known) > FEW_RULES and self.asked.issuperset(known)),
            key=len,
            default=(),
        )
        if base:
            masks, events, core = self.memory.roots[base]
            self.trail = Trail(masks, events)
            if core is not None:
                raise _Impossible(core)
        new = self.asked.difference(base)
        self._settled(self._propagate((n for n, relation in enumerate(key) if relation in new), thorough))

    def _remember(self) -> None:
        """What earlier questions taught, as far as it follows from what is asked now."""
        for lesson in self.memory.lessons:
            if self.asked.issuperset(lesson.relations):
                self._settled(self._heed(lesson))

    # -- pruning

    def _propagate(self, numbers: Iterable[int], root: bool = False) -> Failure | None:
        """Prune until nothing changes, what is cheap to ask first: where that leaves nothing the rest is not asked."""
        masks = self.trail.masks
        waiting = [(self.rules[n].dear, n) for n in numbers]
        heapify(waiting)
        queued = {n for _, n in waiting}
        changed: list[int] = []
        while True:
            while changed:
                v = changed.pop()
                for other in self.touching[v]:
                    if other not in queued:
                        queued.add(other)
                        heappush(waiting, (self.rules[other].dear, other))
                failure = self._reminded(v, changed)
                if failure is not None:
                    return failure
            if not waiting:
                return None
            number = heappop(waiting)[1]
            queued.discard(number)
            rule = self.rules[number]
            for v, left in rule.prune(masks, root).kept:
                if left == masks[v]:
                    continue
                self.trail.narrow(v, left, rule)
                if not left:
                    return self._empty(v)
                changed.append(v)

    def _empty(self, v: int) -> Failure:
        return Failure({v: self.full[v]})

    def _heed(self, lesson: Lesson) -> Failure | None:
        """Look out for a lesson from now on."""
        masks = self.trail.masks
        opened = [v for v, mask in lesson.any_of.items() if masks[v] & mask]
        if not opened:
            return Failure(lesson.any_of, lesson.relations)
        if len(opened) == 1:
            return self._told(lesson, opened[0])
        watched = _Watched(lesson, *opened[:2])
        for v in opened[:2]:
            self.watching[v].append(watched)
        return None

    def _told(self, lesson: Lesson, v: int) -> Failure | None:
        """Only at one position a lesson can still come true: there it has to."""
        left = self.trail.masks[v] & lesson.any_of[v]
        if left != self.trail.masks[v]:
            self.trail.narrow(v, left, lesson)
            return self._propagate(self.touching[v])
        return None

    def _reminded(self, v: int, changed: list[int]) -> Failure | None:
        """What the lessons tell when a position has lost candidates; the positions they change are added."""
        masks = self.trail.masks
        watching, self.watching[v] = self.watching[v], []
        for number, watched in enumerate(watching):
            any_of = watched.lesson.any_of
            other = watched.two if watched.one == v else watched.one
            here = masks[v] & any_of[v]
            there = masks[other] & any_of[other]
            if not here and there != masks[other]:
                new = next((u for u, mask in any_of.items() if u != other and masks[u] & mask), None)
                if new is not None:
                    watched.one, watched.two = other, new
                    self.watching[new].append(watched)
                    continue
                if not there:
                    self.watching[v] += watching[number:]
                    return Failure(any_of, watched.lesson.relations)
                self.trail.narrow(other, there, watched.lesson)
                changed.append(other)
            self.watching[v].append(watched)
        return None

    # -- choices

    def _pick(self) -> int | None:
        """A position to try: of those of a rule that the first open candidates break, the one that has made most
        trouble for its size; ``None`` where they break no rule and so are a build.
        """
        masks, rule = self.trail.masks, self._broken()
        if rule is None:
            return None
        weights = self.memory.weights
        best, best_key = None, (float("inf"), 0)
        for v in rule.scope:
            size = masks[v].bit_count()
            if size > 1:
                weight = sum(weights.get(self.rules[n].relation, 1) for n in self.touching[v])
                key = (size / weight, v)
                if best is None or key < best_key:
                    best, best_key = v, key
        assert best is not None, "a rule whose positions are settled was not asked again"
        return best

    def _broken(self) -> Rule | None:
        """The narrowest rule that the first open candidates break; asked again only where one of these has changed.

        A doubt that only sharper bounds could end comes after all that is broken for certain.
        """
        for v, mask in enumerate(self.trail.masks):
            if mask != self.seen[v]:
                self.seen[v] = mask
                first = self._first(v)
                if first != self.chosen[v]:
                    self.chosen[v] = first
                    for unsure in self.unsure:
                        unsure.update(self.touching[v])
        for unsure, quickly in zip(self.unsure, (True, False), strict=True):
            for number in self.narrowest:
                if number in unsure:
                    if not self.rules[number].holds(self.chosen, quickly):
                        return self.rules[number]
                    unsure.discard(number)
        return None

    def _search(self) -> None:
        """Try until the first open candidates are a build."""
        while (v := self._pick()) is not None:
            self.nodes -= 1
            self.work.nodes += 1
            if self.nodes < 0 or self.work.spent > self.most_work:
                raise LimitReached("the search took too many steps")
            self.trail.choose(v, self._first(v))
            failure = self._propagate(self.touching[v])
            while failure is not None:
                learnt = self.trail.learn(failure)
                if isinstance(learnt, frozenset):
                    raise _Impossible(learnt)
                failure = self._turned(learnt)

    def _turned(self, learnt: Learnt) -> Failure | None:
        """Back to where a lesson would have told something, and on from there with it."""
        lesson, v = learnt.lesson, learnt.position
        self.memory.lessons.append(lesson)
        weights = self.memory.weights
        for relation in lesson.relations:
            weights[relation] = weights.get(relation, 1) + 1
        others = [u for u in lesson.any_of if u != v]
        if others:
            last = max(others, key=lambda u: self.trail.last(u, lesson.any_of[u]))
            watched = _Watched(lesson, v, last)
            self.watching[v].append(watched)
            self.watching[last].append(watched)
        self.trail.back_to(learnt.level)
        return self._told(lesson, v)
