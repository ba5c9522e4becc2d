"""How many builds a wide rule refuses: exact, though far too many look at it for listing.

A rule on one quantity may look at a dozen positions.  Its builds are counted in tallies (see :mod:`.tallies`) as far
along the flow of quantities as these stay small; over what is left the rule is asked for whole boxes, a box being some
rows of every tally.  One that the rule refuses, or lets pass, whatever is in it is counted by multiplying; another is
cut in two where its rows differ most in what the rule reads, down to single builds, of which the rule itself is asked.

Invariants.  The count is exact or not given.  It takes a counted number of steps, the same on every machine.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations
from math import prod

from knowledge.computing.dataflow import Dataflow
from shared.layout import Input, Requirement
from shared.ranges import Range
from shared.verdict import Verdict

from ..problem import Problem
from ..relations import Relation
from .spans import Blank, Known, Open, Said, Span, Spans, judged, span_of
from .tallies import Row, Tally, Tallying

# What a box, a row and asking the rule itself of one build cost besides: of the last true bounds may be looked for.
A_BOX, A_ROW, A_BUILD = 5, 5, 400
# The combinations of rows taken for one quantity: more where there is more work to spare.
FEW_ROWS, MOST_ROWS = 300, 1_500
# Looked at after so many boxes, and each time twice as many.
FIRST_LOOK = 16
PATIENCE = 4
_MUCH = 1e30
Box = tuple[Tally, ...]


@dataclass
class WideCounts:
    """Counts for the rules of one problem.

    Up to ``rows`` combinations of rows are taken to compute one quantity; how many hangs on the work if it is not said.
    """

    problem: Problem
    rows: int | None = None
    flow: Dataflow = field(init=False)

    def __post_init__(self) -> None:
        # Bounds that are dear to find are not found: cutting the box in two is cheaper.
        self.flow = replace(self.problem.flow, wary=True, most_turning=1)

    def refused(self, relation: Relation, most_work: int) -> int | None:
        """How many combinations of the candidates of its scope a rule refuses; ``None`` where that is not counted.

        Work counts in formulas worked out.  A rule is given up as soon as what is decided of it so far shows that
        several times ``most_work`` would be needed.
        """
        rule = relation.rule
        if rule is None or rule.subject is None or relation.of_effort:
            return None
        rows = self.rows or min(MOST_ROWS, max(FEW_ROWS, most_work // A_BOX))
        return _Counting(self, relation, rule, most_work, rows).run()


class _Counting:
    """One count."""

    def __init__(self, owner: WideCounts, relation: Relation, rule: Requirement, most_work: int, rows: int) -> None:
        self.spans = Spans(owner.flow)
        self.relation = relation
        self.rule = rule
        self.most_work = most_work
        tallying = Tallying(owner.problem, relation, rule)
        tallying.compute(rows)
        self.asked = tallying.asked
        self.fixed = tallying.fixed
        self.spans.work += A_ROW * tallying.worked
        self.root: Box = tuple(tallying.tallies)
        self.steps = self._order(tallying.pending)
        self.weights: dict[Input, float] = {}
        self.widths: dict[Input, float] = {}
        self.better: tuple[dict[Input, bool], ...] = ({}, {})

    @staticmethod
    def _order(pending: dict[str, tuple[Input, ...]]) -> list[str]:
        """The quantities not computed yet, each after those it reads."""
        order: list[str] = []
        left = dict(pending)
        while left:
            for name in [
                n for n, items in left.items() if not any(i.name in left for i in items if i.source == "quantity")
            ]:
                order.append(name)
                del left[name]
        return order

    def run(self) -> int | None:
        """The count."""
        if not all(tally.rows for tally in self.root):
            return 0
        found = decided = boxes = 0
        look, whole, before = FIRST_LOOK, prod(len(tally.rows) for tally in self.root), self.spans.work
        waiting = [self.root]
        while waiting:
            box = waiting.pop()
            refused = self._asked(box)
            if isinstance(refused, bool):
                decided += prod(len(tally.rows) for tally in box)
                found += prod(tally.count for tally in box) if refused else 0
            else:
                waiting += refused
            boxes += 1
            self.spans.work += A_BOX
            if boxes == look:
                look *= 2
                if decided * (self.most_work - before) * PATIENCE < whole * (self.spans.work - before):
                    return None
            if self.spans.work > self.most_work:
                return None
        return found

    def _asked(self, box: Box) -> bool | list[Box]:
        """Whether the rule refuses everything in a box or nothing, or else the box in pieces."""
        if not any(True in tally.new for tally in box) and self.rule.when.changed:
            return False
        known = self._known(box)
        speaks = self._speaks(box, known)
        if speaks is False:
            return False
        found = judged(self.rule, known)
        if found is Verdict.FITS:
            return False
        if found is Verdict.NO and speaks:
            return True
        if not self.weights:
            self._weigh()
        if found is Verdict.CHECK and self._may_pass(box):
            return False
        if all(len(tally.rows) == 1 for tally in box):
            self.spans.work += A_BUILD
            parts = {at: part for tally in box for at, part in tally.rows[0].parts.items()}
            return self.relation.verdict(parts) is Verdict.NO
        mixed = max(range(len(box)), key=lambda n: len(box[n].new))
        if found is Verdict.NO and len(box[mixed].new) > 1:
            return _pieces(box, mixed, [row.new for row in box[mixed].rows])
        if found is Verdict.CHECK:
            for number, tally in enumerate(box):
                tangled = [row.tangled for row in tally.rows]
                if len(set(tangled)) > 1:
                    return _pieces(box, number, tangled)
        return self._cut(box, found.at if isinstance(found, Open) else None)

    def _speaks(self, box: Box, known: Known) -> bool | None:
        """Whether the rule speaks on everything in a box or on nothing in it; ``None`` where that is open."""
        changed = not self.rule.when.changed or any(tally.new == {True} for tally in box)
        spans = [(known[item], words) for item, words in self.rule.when.words if not isinstance(known[item], Open)]
        if any(not isinstance(span, frozenset) or span.isdisjoint(words) for span, words in spans):
            return False
        sure = [span for span, words in spans if isinstance(span, frozenset) and span.issubset(words)]
        return True if changed and len(sure) == len(self.rule.when.words) else None

    def _known(self, box: Box) -> Known:
        """The spans of everything over a box."""
        known = dict(self.fixed)
        for tally in box:
            known.update(tally.spans)
        return self._computed(known)

    def _computed(self, known: Known) -> Known:
        """With the spans of the quantities that are left to compute."""
        for name in self.steps:
            known[Input("quantity", name)] = self.spans.quantity(name, known)
        return known

    # -- figures in doubt

    def _may_pass(self, box: Box) -> bool:
        """Whether each build of a box surely passes for some of what its figures in doubt may turn out to be.

        Then none is refused, however wide its bounds are.  Every figure in doubt is put at the end that is better for
        the rule, which any can take whatever the others are where no uncertain input is behind two of them.
        """
        leaves = [tally.leaves for tally in box]
        known = [own for own in leaves if own is not None]
        if not any(known) or len(known) < len(leaves):
            return False
        if any(not one.isdisjoint(two) for one, two in combinations(known, 2)):
            return False
        return any(self._passes_at(box, better) for better in self.better)

    def _passes_at(self, box: Box, better: dict[Input, bool]) -> bool:
        """Whether everything in a box passes with figures in doubt at the better of their ends."""
        known = dict(self.fixed)
        for tally in box:
            known.update(tally.spans)
            if tally.leaves:
                for i, column in enumerate(tally.columns):
                    ends = (_at_end(row.values[i], better.get(column, False)) for row in tally.rows)
                    known[column] = span_of(ends, column)
        return judged(self.rule, self._computed(known)) is Verdict.FITS

    # -- cutting

    def _weigh(self) -> None:
        """How much each column can move what the rule reads, all else as it is on the car now, and which way."""
        now = dict(self.fixed)
        for tally in self.root:
            now |= {c: span_of([value], c) for c, value in zip(tally.columns, tally.rows[0].values, strict=True)}
        for tally in self.root:
            for i, column in enumerate(tally.columns):
                values = [v for row in tally.rows if not isinstance(v := row.values[i], Blank)]
                span = span_of(values, column)
                self.widths[column] = span.width if isinstance(span, Range) else 1.0
                known = self._computed({**now, column: span})
                self.weights[column] = sum(_width(known[item]) for item in self.asked)
                if isinstance(span, Range) and any(isinstance(v, Range) and not v.exact for v in values):
                    low, high = (
                        self._rooms(self._computed({**now, column: Range.exactly(end)})) for end in (span.lo, span.hi)
                    )
                    for better, one, two in zip(self.better, low, high, strict=True):
                        better[column] = two > one

    def _rooms(self, known: Known) -> tuple[float, float]:
        """How far above its lower limit the subject is, and how far below its upper one, as far as that can be told."""
        rule = self.rule
        subject, low, high = (
            _middle(None if item is None else known[item]) for item in (rule.subject, rule.at_least, rule.at_most)
        )
        return subject - low, high - subject

    def _cut(self, box: Box, at: Input | None) -> list[Box]:
        """A box in pieces: by ``at`` if rows differ there in kind, else where they differ most in what counts."""
        for number, tally in enumerate(box):
            if at in tally.columns:
                i = tally.columns.index(at)
                kinds = [_kind(row.values[i]) for row in tally.rows]
                if len(set(kinds)) > 1:
                    return _pieces(box, number, kinds)
                if len(tally.rows) > 1:
                    return self._halved(box, number, i)
        best = (0.0, 0.0)
        where: tuple[int, int] | None = None
        for number, tally in enumerate(box):
            for i, column in enumerate(tally.columns):
                share = _width(tally.spans[column], 1.0) / (self.widths[column] or 1.0)
                if share and len(tally.rows) > 1 and (self.weights[column] * share, share) > best:
                    best, where = (self.weights[column] * share, share), (number, i)
        if where is None:
            where = max(range(len(box)), key=lambda n: len(box[n].rows)), 0
        return self._halved(box, *where)

    @staticmethod
    def _halved(box: Box, number: int, i: int) -> list[Box]:
        """A box in two, at the middle of what the rows of one tally have in one column."""
        tally = box[number]
        span = tally.spans[tally.columns[i]] if tally.columns else None
        if isinstance(span, Range | Open):
            middle = _middle(span)
            sides = [_side(row.values[i], middle) for row in tally.rows]
            if len(set(sides)) > 1:
                return _pieces(box, number, sides)
        half = len(tally.rows) // 2
        return _pieces(box, number, [n < half for n in range(len(tally.rows))])


def _pieces(box: Box, number: int, kinds: Sequence[object]) -> list[Box]:
    """A box cut by the kinds of the rows of one tally."""
    groups: dict[object, list[Row]] = {}
    for row, kind in zip(box[number].rows, kinds, strict=True):
        groups.setdefault(kind, []).append(row)
    return [(*box[:number], box[number].some(rows), *box[number + 1 :]) for rows in groups.values()]


def _kind(value: Said) -> object:
    """What can have a span together has the same kind."""
    return Range if isinstance(value, Range) else value


def _side(value: Said, middle: float) -> object:
    """On which side of a middle a range lies; whatever is none is its own."""
    return value.lo + value.width / 2 > middle if isinstance(value, Range) else value


def _at_end(value: Said, high: bool) -> Said:
    return Range.exactly(value.hi if high else value.lo) if isinstance(value, Range) else value


def _width(span: Span, many: float = _MUCH) -> float:
    """How wide a span is: ``many`` where it holds several words, or nothing can be said of all of it."""
    if isinstance(span, Range):
        return span.width
    return many if isinstance(span, Open) or (isinstance(span, frozenset) and len(span) > 1) else 0.0


def _middle(span: Span | None) -> float:
    return span.lo + span.width / 2 if isinstance(span, Range) else 0.0
