"""Whether any build passes some relations, asked many hundred times over.

Explaining asks the same question of many subsets of the relations and with many parts put in by force.  One
:class:`Possible` answers them all and remembers, between the questions, every verdict and every pruning.

The search keeps for each position the set of candidates still open, as the bits of an integer.  A relation whose
open combinations can be listed prunes every candidate it leaves no combination; a wider one is asked through its
bound.  Where that settles nothing a candidate is tried, and when it fails the search goes back to the last
choice that had to do with the failure.  Everything removed carries its reason, so that a *no* comes with the
relations it was proved from (a *core*), which is the seed of every minimal conflict.

References: Prosser, "Hybrid algorithms for the constraint satisfaction problem", Computational Intelligence 9
(1993), for jumping back; Boussemart et al., "Boosting systematic search by weighting constraints", ECAI 2004, for
the order of positions.  Both from memory.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from shared.part import Part
from shared.verdict import Verdict

from ..problem import Problem
from ..relations import Build, Relation
from .effort_rule import EffortRule
from .enumeration import LimitReached
from .rules import Masks, Pruned, RelationRule, Rule, Work, bits, classes_of

MOST_NODES = 4000
FEW_FAILURES = 30
MORE_FAILURES = 100
FEW_RULES = 60
WORK_A_NODE = 60
GENEROUS = 60


@dataclass(frozen=True)
class Reply:
    """A build that passes, or the relations that were enough to prove that there is none."""

    build: Build | None
    core: tuple[Relation, ...] = ()


@dataclass(frozen=True)
class _Failure:
    """Why nothing is left: the rules used, and the positions whose choices it hangs on."""

    rules: frozenset[int]
    choices: frozenset[int]


@dataclass
class _Event:
    """Candidates removed at a position: by a rule, by force, by a choice, or because a choice failed."""

    position: int
    before: int
    after: int
    rule: int | None = None
    failed: _Failure | None = None
    choice: bool = False


_Root = tuple[tuple[int, ...], tuple[_Event, ...], _Failure | None]


class _Wandering(Exception):
    """Choices keep failing: prune harder before going on."""


@dataclass
class Possible:
    """Answers *can these relations all hold?* for one problem; with ``certain``, *can they certainly?*"""

    problem: Problem
    most_nodes: int = MOST_NODES
    asked: int = 0
    certain: bool = False
    work: Work = field(default_factory=Work)
    _rules: dict[Relation, Rule] = field(default_factory=dict)
    _weights: dict[Relation, int] = field(default_factory=dict)
    _roots: dict[tuple[Relation, ...], _Root] = field(default_factory=dict)
    _orders: dict[tuple[int, int], list[int]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.positions = tuple(self.problem.domains)
        self.number = {at: i for i, at in enumerate(self.positions)}
        self.candidates = tuple(self.problem.domains[at] for at in self.positions)

    def rule(self, relation: Relation) -> Rule:
        """A relation made ready for pruning."""
        found = self._rules.get(relation)
        if found is None:
            limit = relation.limit
            if limit is not None and EffortRule.handles(limit):
                found = EffortRule(self.problem, relation, limit, self.candidates, self.certain)
            else:
                scope = tuple(self.number[p] for p in relation.scope)
                classes = classes_of(relation, [self.positions[v] for v in scope], [self.candidates[v] for v in scope])
                worst = Verdict.FITS if self.certain else Verdict.CHECK
                found = RelationRule(relation, scope, self.positions, self.candidates, classes, self.work, worst)
            self._rules[relation] = found
        return found

    def order(self, v: int, first: Part | None) -> list[int]:
        """The candidates of a position in the order they are tried: ``first``, then what is cheapest."""
        at, candidates = self.positions[v], self.candidates[v]
        found = self._orders.get((v, id(first)))
        if found is None:
            new = self.problem.effort.is_new

            def key(i: int) -> tuple[bool, float, int]:
                part = candidates[i]
                price = 0.0 if part is None or not new(at, part) or part.price is None else part.price.lo
                return part is not first, price, i

            found = self._orders[v, id(first)] = sorted(range(len(candidates)), key=key)
        return found

    def mask(self, position: str, parts: Iterable[Part | None]) -> int:
        """Some candidates of a position as bits."""
        wanted = {id(part) for part in parts}
        return sum(1 << i for i, part in enumerate(self.problem.domains[position]) if id(part) in wanted)

    def ask(
        self,
        relations: Sequence[Relation],
        forced: Mapping[str, Sequence[Part | None]] | None = None,
        hint: Build | None = None,
        most_nodes: int | None = None,
        generous: int = GENEROUS,
    ) -> Reply:
        """A build that passes these relations with ``forced`` candidates only, or the core of a proof of none.

        Positions that no relation looks at hold what ``hint`` (or the car now) has.  Raises ``LimitReached`` if
        that cannot be told within ``most_nodes`` choices.  ``generous`` is how many bounds may be asked only to make
        the core smaller.
        """
        self.asked += 1
        self.work.generous = generous
        search = _Search(self, relations, forced or {}, hint, most_nodes or self.most_nodes)
        return search.run()

    def left(self, relations: Sequence[Relation]) -> dict[str, tuple[Part | None, ...]] | None:
        """The candidates that the relations one by one leave at every position; ``None`` if one is left empty."""
        search = _Search(self, relations, {}, None, self.most_nodes)
        if search._propagate(range(len(relations))) is not None:
            return None
        return {at: tuple(self.candidates[v][i] for i in bits(search.masks[v])) for v, at in enumerate(self.positions)}


class _Search:
    def __init__(
        self,
        owner: Possible,
        relations: Sequence[Relation],
        forced: Mapping[str, Sequence[Part | None]],
        hint: Build | None,
        most_nodes: int,
    ) -> None:
        self.owner = owner
        self.key = tuple(relations)
        self.rules = [owner.rule(r) for r in relations]
        self.masks: Masks = [(1 << len(c)) - 1 for c in owner.candidates]
        self.forced = {owner.number[at]: owner.mask(at, parts) for at, parts in forced.items()}
        self.touching: list[list[int]] = [[] for _ in owner.positions]
        for number, rule in enumerate(self.rules):
            for v in rule.scope:
                self.touching[v].append(number)
        self.narrowest = sorted(self.rules, key=lambda rule: rule.width)
        self.trail: list[_Event] = []
        self.nodes = most_nodes
        self.failures = 0
        self.most_work = most_nodes * WORK_A_NODE
        first = owner.problem.stock if hint is None else hint
        self.order = [owner.order(v, first[at]) for v, at in enumerate(owner.positions)]

    def run(self) -> Reply:
        """The answer."""
        failure = self.prune() or self._search_harder()
        if failure is not None:
            return Reply(None, tuple(rule.relation for i, rule in enumerate(self.rules) if i in failure.rules))
        return Reply({at: self.owner.candidates[v][self._first(v)] for v, at in enumerate(self.owner.positions)})

    def _first(self, v: int) -> int:
        """The open candidate of a position that is tried next."""
        left = self.masks[v]
        return next(i for i in self.order[v] if left >> i & 1)

    def prune(self) -> _Failure | None:
        """What follows from the relations alone, then from what is forced."""
        known = self.owner._roots.get(self.key)
        if known is None:
            failure = self._root()
            known = self.owner._roots[self.key] = (tuple(self.masks), tuple(self.trail), failure)
        self.masks, self.trail = list(known[0]), list(known[1])
        if known[2] is not None:
            return known[2]
        for v, mask in sorted(self.forced.items()):
            left = self.masks[v] & mask
            if left != self.masks[v]:
                self.trail.append(_Event(v, self.masks[v], left))
                self.masks[v] = left
                if not left:
                    return self._explain(v)
        return self._propagate({n for v in self.forced for n in self.touching[v]})

    def _root(self) -> _Failure | None:
        """What follows from the relations alone, beginning with what is known to follow from most of them."""
        thorough = len(self.rules) > FEW_RULES
        number = {relation: i for i, relation in enumerate(self.key)}
        base = max(
            (key for key in self.owner._roots if len(key) > FEW_RULES and all(r in number for r in key)),
            key=len,
            default=None,
        )
        if base is None:
            return self._propagate(range(len(self.rules)), thorough)
        masks, trail, failure = self.owner._roots[base]

        def moved(failed: _Failure) -> _Failure:
            return _Failure(frozenset(number[base[i]] for i in failed.rules), failed.choices)

        self.masks = list(masks)
        self.trail = [
            replace(
                event,
                rule=None if event.rule is None else number[base[event.rule]],
                failed=None if event.failed is None else moved(event.failed),
            )
            for event in trail
        ]
        if failure is not None:
            return moved(failure)
        return self._propagate((number[r] for r in set(self.key).difference(base)), thorough)

    def _search_harder(self) -> _Failure | None:
        """Search; where choices keep failing, ask the bounds one by one: first what is forced, then everything."""
        self.most_work += self.owner.work.spent
        everything = range(len(self.rules))
        touched = {n for v in self.forced for n in self.touching[v]}
        mark = len(self.trail)
        for failures, thorough in ((FEW_FAILURES, set[int]()), (MORE_FAILURES, touched)):
            self.failures = failures
            try:
                return self._propagate(thorough, True, False) or self._propagate(everything) or self._search()
            except _Wandering:
                self._undo(mark)
        self.failures = self.nodes + 1
        return self._propagate(everything, True) or self._search()

    # -- pruning

    def _propagate(self, numbers: Iterable[int], root: bool = False, onward: bool = True) -> _Failure | None:
        waiting = sorted(numbers, key=lambda n: (self.rules[n].width, n))
        queued = set(waiting)
        while waiting:
            number = waiting.pop(0)
            queued.discard(number)
            rule = self.rules[number]
            pruned: Pruned = rule.prune(self.masks, root)
            for v, left in pruned.kept:
                if left == self.masks[v]:
                    continue
                self.trail.append(_Event(v, self.masks[v], left, rule=number))
                self.masks[v] = left
                if not left:
                    weights = self.owner._weights
                    weights[rule.relation] = weights.get(rule.relation, 1) + 1
                    return self._explain(v)
                for other in self.touching[v] if onward else ():
                    if other not in queued:
                        queued.add(other)
                        waiting.append(other)
        return None

    def _explain(self, wiped: int) -> _Failure:
        """The rules and choices behind an empty position, back along the trail."""
        everything = [(1 << len(c)) - 1 for c in self.owner.candidates]
        needed = {wiped: everything[wiped]}
        masks = list(self.masks)
        rules: set[int] = set()
        choices: set[int] = set()
        wanted: set[int] = set()
        for event in reversed(self.trail):
            v = event.position
            masks[v] = event.before
            gone = event.before & ~event.after & needed.get(v, 0)
            if event.choice and (gone or v in wanted):
                choices.add(v)
            elif not gone or event.choice:
                continue
            elif event.failed is not None:
                rules |= event.failed.rules
                wanted |= event.failed.choices - {v}
            elif event.rule is not None:
                rules.add(event.rule)
                for other, mask in self.rules[event.rule].because(v, gone, masks).items():
                    needed[other] = needed.get(other, 0) | mask
        return _Failure(frozenset(rules), frozenset(choices))

    def _undo(self, mark: int) -> None:
        while len(self.trail) > mark:
            event = self.trail.pop()
            self.masks[event.position] = event.before

    # -- choices

    def _pick(self) -> int | None:
        """A position to try: of those of a rule that the first open candidates break, the one that has made most
        trouble for its size; ``None`` where they break no rule and so are a build.
        """
        singles = [1 << self._first(v) for v in range(len(self.masks))]
        for rule in self.narrowest:
            if rule.prune(singles, False).kept:
                break
        else:
            return None
        weights = self.owner._weights
        best, best_key = None, (float("inf"), 0)
        for v in rule.scope:
            size = self.masks[v].bit_count()
            if size > 1:
                weight = sum(weights.get(self.rules[n].relation, 1) for n in self.touching[v])
                key = (size / weight, v)
                if best is None or key < best_key:
                    best, best_key = v, key
        assert best is not None, "a rule whose positions are settled was not asked again"
        return best

    def _search(self) -> _Failure | None:
        v = self._pick()
        if v is None:
            return None
        start = len(self.trail)
        while True:
            value = self._first(v)
            self.nodes -= 1
            self.owner.work.nodes += 1
            if self.nodes < 0 or self.owner.work.spent > self.most_work:
                raise LimitReached("the search took too many steps")
            mark = len(self.trail)
            self.trail.append(_Event(v, self.masks[v], 1 << value, choice=True))
            self.masks[v] = 1 << value
            failure = self._propagate(self.touching[v]) or self._search()
            if failure is None:
                return None
            self.failures -= 1
            if self.failures < 0:
                raise _Wandering
            self._undo(mark)
            if v not in failure.choices:
                self._undo(start)
                return failure
            left = self.masks[v] & ~(1 << value)
            self.trail.append(_Event(v, self.masks[v], left, failed=failure))
            self.masks[v] = left
            after = self._explain(v) if not left else self._propagate(self.touching[v])
            if after is not None:
                self._undo(start)
                return after
