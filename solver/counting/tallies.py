"""Tallies: builds counted by all that a rule can see of them, put together along the flow of quantities.

What a rule sees of a hundred builds may be the same three figures.  A tally has a row for each thing that can be seen
of the parts at some positions, with how many ways of filling these show it and one of them as a witness.  Two tallies
never share a position, so that their counts multiply.  Computing a quantity makes one tally of those that hold its
inputs; inputs nothing else reads are dropped, and rows that have become the same are added up.

Invariant.  In any build the parts behind a row can be put in place of its witness, and whether the rule refuses the
build stays the same.  Figures in doubt keep everything they were computed from apart, because the rule's true bounds
(see :meth:`knowledge.computing.dataflow.Dataflow.sharpened`) hang on that.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import product
from math import prod

from knowledge.computing.quantities import Leaf, Result, inputs_of
from shared.layout import Input, Requirement
from shared.part import Part
from shared.ranges import Range

from ..problem import Problem
from ..relations import Relation
from .spans import UNKNOWN, Known, Said, said, span_of

Column = Input
Seen = tuple[Said, ...]
MOST_TANGLED = 0.1
NO_LEAVES: frozenset[Leaf] = frozenset()


@dataclass(slots=True)
class Row:
    """``count`` ways to fill some positions that look the same; ``parts`` is one of them.

    ``new`` tells whether any of the positions that count as changed holds something else than now.  ``leaves`` are
    for each value the uncertain inputs behind it, ``None`` where its bounds may be too wide; a row is ``tangled`` where
    that is so or one input is behind two values.  ``apart`` is what keeps this row from others of equal values.
    """

    values: Seen
    count: int
    parts: dict[str, Part | None]
    new: bool
    leaves: tuple[frozenset[Leaf] | None, ...]
    apart: tuple[Hashable, ...]
    tangled: bool = field(init=False)

    def __post_init__(self) -> None:
        own = [leaves for leaves in self.leaves if leaves]
        self.tangled = None in self.leaves or (len(own) > 1 and len(NO_LEAVES.union(*own)) < sum(map(len, own)))


@dataclass(frozen=True, eq=False)
class Tally:
    """Rows over the same positions; ``columns`` says what their values are."""

    columns: tuple[Column, ...]
    rows: tuple[Row, ...]

    @cached_property
    def spans(self) -> Known:
        """The span of every column."""
        return {c: span_of((row.values[i] for row in self.rows), c) for i, c in enumerate(self.columns)}

    @cached_property
    def count(self) -> int:
        """How many ways there are to fill the positions."""
        return sum(row.count for row in self.rows)

    @cached_property
    def new(self) -> frozenset[bool]:
        """Whether there are rows with something new, and without."""
        return frozenset(row.new for row in self.rows)

    @cached_property
    def leaves(self) -> frozenset[Leaf] | None:
        """The uncertain inputs behind any row; ``None`` where a row is tangled."""
        if any(row.tangled for row in self.rows):
            return None
        return NO_LEAVES.union(*(leaves for row in self.rows for leaves in row.leaves if leaves))

    def some(self, rows: Iterable[Row]) -> Tally:
        """Some of the rows."""
        return Tally(self.columns, tuple(rows))


class Tallying:
    """The tallies of one rule: at first one a position, then fewer, while quantities are computed."""

    def __init__(self, problem: Problem, relation: Relation, rule: Requirement) -> None:
        self.problem = problem
        self.flow = problem.flow
        self.rule = rule
        self.asked = [i for i in (rule.subject, rule.at_least, rule.at_most) if i is not None]
        self.words = dict(rule.when.words)
        self.pending: dict[str, tuple[Input, ...]] = {}
        self.fixed: Known = {}
        self.left: set[str] = set()
        self.worked = 0
        waiting = [*self.asked, *self.words]
        while waiting:
            item = waiting.pop()
            if item.source == "quantity" and item.name not in self.pending:
                self.pending[item.name] = tuple(dict.fromkeys(inputs_of(self.flow.layout.quantities[item.name])))
                waiting += self.pending[item.name]
            elif item.source not in ("part", "quantity"):
                self.fixed[item] = span_of([said(self.flow.input(item, problem.stock))])
        self.tallies = [self._position(at) for at in relation.scope]

    def _read(self) -> set[Input]:
        """What is still read: by the rule itself, and by quantities not yet computed."""
        return {*self.asked, *self.words, *(item for items in self.pending.values() for item in items)}

    def _silent(self, column: Column, value: Said) -> bool:
        """Whether a value is not among the words for which the rule speaks."""
        return column in self.words and value not in self.words[column]

    def _position(self, at: str) -> Tally:
        """The candidates of a position; those for which the rule does not speak are left out."""
        columns = tuple(
            sorted((i for i in self._read() if i.source == "part" and i.name == at), key=lambda item: item.path)
        )
        when = self.rule.when
        rows: dict[Hashable, Row] = {}
        for part in self.problem.domains[at]:
            seen = [self.flow.seen(at, part, column.path) for column in columns]
            values: Seen = tuple(UNKNOWN if value is None else value for value, _, _ in seen)
            if (part is None and at in when.fitted) or (self.words and any(map(self._silent, columns, values))):
                continue
            new = at in when.changed and self.problem.effort.is_new(at, part)
            apart = tuple(owner for _, _, owner in seen)
            leaves = tuple(
                frozenset(((owner, c.path, v.lo, v.hi),)) if owner is not None and isinstance(v, Range) else NO_LEAVES
                for c, v, owner in zip(columns, values, apart, strict=True)
            )
            row = rows.setdefault((values, apart, new), Row(values, 0, {at: part}, new, leaves, apart))
            row.count += 1
        return Tally(columns, tuple(rows.values()))

    def compute(self, most_rows: int) -> None:
        """Compute quantities, always the one with fewest combinations of rows, while these are no more than so many."""
        while self.pending:
            home = {column: tally for tally in self.tallies for column in tally.columns}
            ready = {
                name: list(dict.fromkeys(home[item] for item in items if item in home))
                for name, items in self.pending.items()
                if not any(item.source == "quantity" and item.name in self.pending for item in items)
            }
            sizes = {name: prod(len(t.rows) for t in tallies) for name, tallies in ready.items()}
            name = min((n for n in sizes if n not in self.left), key=lambda n: (sizes[n], n), default=None)
            if name is None or sizes[name] > most_rows:
                return
            self.worked += sizes[name]
            self._compute(name, ready[name])

    def _compute(self, name: str, merged: Sequence[Tally]) -> None:
        """One quantity: one tally instead of some, with a column for it.

        One that would put an uncertain input behind two columns of many rows is left: what the two come to together is
        dear to find.
        """
        items = self.pending.pop(name)
        column = Input("quantity", name)
        if not merged:
            self.fixed[column] = span_of([said(self.flow.value(name, self.problem.stock))])
            return
        read = self._read()
        columns = [c for tally in merged for c in tally.columns]
        kept = [i for i, c in enumerate(columns) if c in read]
        silent = column in self.words
        rows: dict[Hashable, Row] = {}
        for chosen in product(*(tally.rows for tally in merged)):
            parts = {at: part for row in chosen for at, part in row.parts.items()}
            result = self.flow.value(name, parts)
            if silent and self._silent(column, said(result)):
                continue
            new = self._row(chosen, kept, parts, result)
            row = rows.setdefault((new.values, new.apart, new.new), new)
            if row is not new:
                row.count += new.count
        made = Tally((*(columns[i] for i in kept), column), tuple(rows.values()))
        tangled = sum(row.tangled for row in made.rows)
        if tangled > len(made.rows) * MOST_TANGLED:
            self.pending[name] = items
            self.left.add(name)
            return
        self.tallies = [t for t in self.tallies if t not in merged]
        self.tallies.append(made)

    @staticmethod
    def _row(chosen: Sequence[Row], kept: Sequence[int], parts: dict[str, Part | None], result: Result) -> Row:
        """The row that some rows and what is computed of them make."""
        if len(chosen) == 1:
            before, leaves, apart = chosen[0].values, chosen[0].leaves, chosen[0].apart
        else:
            before = tuple([value for row in chosen for value in row.values])
            leaves = tuple([own for row in chosen for own in row.leaves])
            apart = tuple([a for row in chosen for a in row.apart])
        return Row(
            values=(*[before[i] for i in kept], said(result)),
            count=prod(row.count for row in chosen),
            parts=parts,
            new=any(row.new for row in chosen),
            leaves=(*[leaves[i] for i in kept], result.leaves if result.sharp else None),
            apart=(*apart, *before) if result.leaves else apart,
        )
