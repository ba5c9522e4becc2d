"""Whether any build passes some relations, asked many hundred times over.

Explaining asks the same question of many subsets of the relations and with many parts put in by force.  One
:class:`Possible` answers them all and remembers, between the questions, every verdict, every pruning and what was
learnt from every choice that failed.  A *no* comes with the relations it was proved from (a *core*), which is the seed
of every minimal conflict.  See ``trying`` for the search and ``lessons`` for what it learns.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from shared.part import Part
from shared.verdict import Verdict

from ..problem import Problem
from ..relations import Build, Relation
from .effort_rule import EffortRule
from .relation_rule import RelationRule
from .rules import Rule, Work, bits, classes_of
from .score_rule import ScoreRule, Scores
from .trying import GENEROUS, MOST_NODES, Memory, Trying


@dataclass(frozen=True)
class Reply:
    """A build that passes, or the relations that were enough to prove that there is none."""

    build: Build | None
    core: tuple[Relation, ...] = ()


@dataclass
class Possible:
    """Answers *can these relations all hold?* for one problem; with ``certain``, *can they certainly?*"""

    problem: Problem
    most_nodes: int = MOST_NODES
    asked: int = 0
    certain: bool = False
    work: Work = field(default_factory=Work)
    memory: Memory = field(default_factory=Memory)
    _rules: dict[Relation, Rule] = field(default_factory=dict)
    _orders: dict[tuple[int, int], list[int]] = field(default_factory=dict)
    _limits: dict[int, Relation] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.positions = tuple(self.problem.domains)
        self.number = {at: i for i, at in enumerate(self.positions)}
        self.candidates = tuple(self.problem.domains[at] for at in self.positions)

    @cached_property
    def scores(self) -> Scores:
        """What open candidates score at the least."""
        return Scores(self.problem, self.candidates, self.work)

    def score_limit(self, most: int) -> Relation:
        """The relation that lets builds pass which score no more than ``most`` [cents]."""
        found = self._limits.get(most)
        if found is None:
            scores = self.scores

            def judge(build: Build) -> Verdict:
                masks = [self.mask(at, (build[at],)) for at in self.positions]
                return Verdict.FITS if scores.whole(masks) <= most else Verdict.NO

            name = f"score at most {most}"
            found = self._limits[most] = Relation(name, "goal limit", self.positions, judge, lambda build: ())
            self._rules[found] = ScoreRule(scores, found, most)
        return found

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
        implied: Iterable[Relation] = (),
    ) -> Reply:
        """A build that passes these relations with ``forced`` candidates only, or the core of a proof of none.

        Positions that no relation looks at hold what ``hint`` (or the car now) has.  Raises ``LimitReached`` if
        that cannot be told within ``most_nodes`` choices.  ``generous`` is how many bounds may be asked only to make
        the core smaller.  ``implied`` are relations that hold wherever these do, of which lessons may speak.
        """
        self.asked += 1
        self.work.generous = generous
        first = self.problem.stock if hint is None else hint
        found = self._trying(relations, first, most_nodes or self.most_nodes, implied).answer(
            {self.number[at]: self.mask(at, parts) for at, parts in (forced or {}).items()}
        )
        if isinstance(found, frozenset):
            return Reply(None, tuple(r for r in relations if r in found))
        return Reply({at: parts[i] for at, parts, i in zip(self.positions, self.candidates, found, strict=True)})

    def _trying(
        self, relations: Sequence[Relation], first: Build, most_nodes: int, implied: Iterable[Relation] = ()
    ) -> Trying:
        rules = [self.rule(r) for r in relations]
        order = [self.order(v, first[at]) for v, at in enumerate(self.positions)]
        return Trying(rules, self.memory, self.work, order, most_nodes, implied)

    def left(self, relations: Sequence[Relation]) -> dict[str, tuple[Part | None, ...]] | None:
        """The candidates that the relations one by one leave at every position; ``None`` if one is left empty."""
        left = self._trying(relations, self.problem.stock, self.most_nodes).left()
        if left is None:
            return None
        return {
            at: tuple(parts[i] for i in bits(mask))
            for at, parts, mask in zip(self.positions, self.candidates, left, strict=True)
        }
