"""A rule over far too many positions split in two at a quantity it reads.

How low the tail may sit hangs on coil, spacer, leaf, block and shackle, but only by way of the lift they make.  The
rows of the positions *behind* such a quantity are put in kinds: two are of one kind if the rule passes the same
combinations of all *other* positions with both.  The kind is a variable of its own; rows and kind are one table, the
rule is left with the kind and the other positions.

Invariant: exact.  Rows in order of the quantity are decided in blocks, by what the rule says of all their values at
once; a block it does not decide is halved, down to single builds, of which the rule itself is asked.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import prod

from knowledge.computing.dataflow import Dataflow
from knowledge.computing.quantities import Result, inputs_of
from shared.ranges import Range
from shared.verdict import Verdict

from ..relations import Build, Relation

MOST_OTHERS = 2_000


@dataclass(frozen=True)
class Cut:
    """Where a rule is split: at ``quantity``; ``behind`` it and among the ``others`` are the positions with a choice.

    Those in both are among ``behind``; the rule sees them also by another way than the quantity.
    """

    quantity: str
    behind: tuple[str, ...]
    others: tuple[str, ...]
    beside: tuple[str, ...]


def cut_of(relation: Relation, flow: Dataflow, sizes: Mapping[str, int]) -> Cut | None:
    """The quantity at which the larger side is smallest; ``None`` where a rule has none."""
    rule = relation.rule
    if rule is None or relation.of_effort or rule.subject is None or rule.subject.source != "quantity":
        return None
    found: tuple[float, Cut] | None = None
    opened = {at for at in relation.scope if sizes[at] > 1}
    seen, waiting = {rule.subject.name}, [rule.subject.name]
    asked = [i for i in (rule.subject, rule.at_least, rule.at_most, *(i for i, _ in rule.when.words)) if i is not None]
    while waiting:
        for item in inputs_of(flow.layout.quantities[waiting.pop()]):
            if item.source != "quantity" or item.name in seen:
                continue
            seen.add(item.name)
            waiting.append(item.name)
            apart = {*rule.when.changed, *rule.when.fitted}
            for one in asked:
                if one.source == "part":
                    apart.add(one.name)
                elif one.source == "quantity":
                    apart.update(flow.cut_scope(one.name, frozenset([item.name]))[0])
            behind = opened.intersection(flow.scope[item.name])
            others = opened.difference(behind)
            if not others or not behind.difference(apart):
                continue
            ways = prod(sizes[at] for at in others)
            larger = max(prod(sizes[at] for at in behind), ways)
            if ways <= MOST_OTHERS and (found is None or larger < found[0]):
                found = (
                    larger,
                    Cut(item.name, tuple(sorted(behind)), tuple(sorted(others)), tuple(sorted(behind & apart))),
                )
    return None if found is None else found[1]


def kinds(
    relation: Relation,
    flow: Dataflow,
    cut: Cut,
    behind: Sequence[Build],
    others: Sequence[Build],
    asked: Callable[[], None],
) -> list[int]:
    """For each way to fill the positions behind a cut, which of the others the relation does not refuse, as bits.

    ``asked`` is called whenever the relation is.
    """
    groups: dict[tuple[int, ...], list[int]] = {}
    for number, build in enumerate(behind):
        groups.setdefault(tuple([relation.alike(at, build[at]) for at in cut.beside]), []).append(number)
    found = [0] * len(behind)
    for members in groups.values():
        block = _Block(relation, flow, cut, behind, members, asked)
        for i, other in enumerate(others):
            for number in block.passing(other):
                found[number] |= 1 << i
    return found


class _Block:
    """Builds that differ to a relation only in one quantity, in the order of it."""

    def __init__(
        self,
        relation: Relation,
        flow: Dataflow,
        cut: Cut,
        behind: Sequence[Build],
        members: Sequence[int],
        asked: Callable[[], None],
    ) -> None:
        self.relation = relation
        self.asked = asked
        self.quantity = cut.quantity
        self.behind = behind
        values = {n: flow.value(cut.quantity, behind[n]).value for n in members}
        ranges = {n: value for n, value in values.items() if isinstance(value, Range)}
        self.single = [n for n in members if n not in ranges]
        self.ordered = sorted(ranges, key=lambda n: (ranges[n].lo, ranges[n].hi, n))
        self.ranges = [ranges[n] for n in self.ordered]

    def passing(self, other: Build) -> list[int]:
        """The builds the relation does not refuse with these other parts."""
        found = [n for n in self.single if self._holds(n, other)]
        waiting = [(0, len(self.ordered))] if self.ordered else []
        while waiting:
            start, end = waiting.pop()
            if end - start == 1:
                if self._holds(self.ordered[start], other):
                    found.append(self.ordered[start])
                continue
            verdict = self._of_all(start, end, other)
            if verdict is Verdict.FITS:
                found += self.ordered[start:end]
            elif verdict is not Verdict.NO:
                middle = (start + end) // 2
                waiting += [(start, middle), (middle, end)]
        return found

    def _of_all(self, start: int, end: int, other: Build) -> Verdict:
        span = Range(self.ranges[start].lo, max(r.hi for r in self.ranges[start:end]))
        build = {**self.behind[self.ordered[start]], **other}
        assert self.relation.rough is not None
        self.asked()
        return self.relation.rough(build, {self.quantity: Result(span, sharp=False)}).verdict

    def _holds(self, number: int, other: Build) -> bool:
        self.asked()
        return self.relation.holds({**self.behind[number], **other})
