"""Lookalikes: candidates of which the catalogue says the same, but for money, work and where they come from.

A catalogue is mostly further pieces of few patterns, so that what is asked of a candidate for what it is need only be
asked of one of each.  Figures known less well than the goal wants are told from those known well enough; how well
beyond that nobody asks.

Invariant: in any build a lookalike can be put in place of another, and no verdict changes but those on money, labour,
skill and donors.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from shared.evidence import Evidence, Value
from shared.part import Part
from shared.ranges import Range

from .effort import Effort
from .relations import Relation

Group = tuple[Part | None, ...]
Values = Mapping[str, Value]


@dataclass(frozen=True, slots=True)
class _Said:
    """A mapping of values (kept, so that no other is taken for it), the number of what it says, and whether a figure
    in it is a range."""

    values: Values | None
    number: int
    in_doubt: bool


@dataclass
class Lookalikes:
    """Tells the candidates of one problem apart by what is said of them."""

    relations: Sequence[Relation]
    effort: Effort
    trust: Evidence
    repeated: frozenset[str] | None
    _keys: dict[str, dict[Part, Hashable]] = field(init=False, default_factory=dict)
    _said: dict[int, _Said] = field(init=False, default_factory=dict)
    _numbers: dict[Hashable, int] = field(init=False, default_factory=dict)

    @cached_property
    def _singled_out(self) -> frozenset[str]:
        """The positions at which some relation looks at the part itself, not only at what is said of it."""
        return frozenset(at for r in self.relations if r.looks_at is None and not r.of_effort for at in r.scope)

    def key(self, at: str, part: Part | None) -> Hashable:
        """Equal for the lookalikes of a position."""
        if part is None:
            return None
        known = self._keys.setdefault(at, {})
        found = known.get(part)
        if found is None:
            found = known[part] = self._key(at, part)
        return found

    def _key(self, at: str, part: Part) -> Hashable:
        if part.brings or at in self._singled_out or not self.effort.is_new(at, part):
            return part
        said = [self._of(values) for values in (part.properties, *part.ports.values())]
        if any(one.in_doubt for one in said) and (self.repeated is None or (part.base or part.id) in self.repeated):
            # An uncertain figure may be one with that of another place: whose it is counts.
            return part
        return part.kind, part.host, part.altered, part.adapter, *part.ports, *(one.number for one in said)

    def _of(self, values: Values | None) -> _Said:
        """What some values say; of the same mapping it is found out once."""
        found = self._said.get(id(values))
        if found is None:
            stated = (values or {}).items()
            told = values is None, frozenset((name, v.value, v.evidence >= self.trust) for name, v in stated)
            in_doubt = any(isinstance(v.value, Range) and not v.value.exact for _, v in stated)
            number = self._numbers.setdefault(told, len(self._numbers))
            found = self._said[id(values)] = _Said(values, number, in_doubt)
        return found

    def groups(self, at: str, parts: Iterable[Part | None]) -> tuple[Group, ...]:
        """Candidates in groups of lookalikes, in the order of their first members."""
        found: dict[Hashable, list[Part | None]] = {}
        for part in parts:
            found.setdefault(self.key(at, part), []).append(part)
        return tuple(map(tuple, found.values()))
