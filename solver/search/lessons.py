"""What was removed from the candidates and why; and what is to be learnt where nothing is left.

Everything removed keeps its cause.  Where a position is left empty, going back over the causes gives a *lesson*: of
some positions at least one holds one of some candidates, if some rules hold.  That follows from the rules alone, so
that it serves every later question that has them.

References: Marques-Silva and Sakallah, "GRASP", IEEE Transactions on Computers 48 (1999), for learning from a failure
up to the one event it all hangs on; Katsirelos and Bacchus, "Generalized nogoods in CSPs", AAAI 2005, for learning sets
of values.  Both from memory.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ..relations import Relation
from .rules import Masks, Rule


@dataclass(frozen=True, eq=False, slots=True)
class Lesson:
    """By some relations one of these positions holds one of these of its candidates."""

    relations: frozenset[Relation]
    any_of: Mapping[int, int]


@dataclass(slots=True)
class Event:
    """Candidates removed at a position: by a rule, by a lesson, or by force or a choice, which have no cause."""

    position: int
    before: int
    after: int
    cause: Rule | Lesson | None


@dataclass(frozen=True, slots=True)
class Failure:
    """Candidates that are all missing though some relations ask for one of them."""

    missing: Mapping[int, int]
    relations: frozenset[Relation] = frozenset()


@dataclass(frozen=True, slots=True)
class Learnt:
    """A lesson, how many choices stand where it tells something new, and the position it tells that of."""

    lesson: Lesson
    level: int
    position: int


class Trail:
    """The candidates still open at each position, and everything that was removed, in order."""

    def __init__(self, masks: Sequence[int], events: Sequence[Event] = ()) -> None:
        self.masks: Masks = list(masks)
        self.events = list(events)
        self.levels: list[int] = []
        self._at: list[list[int]] = [[] for _ in masks]
        for index, event in enumerate(self.events):
            self._at[event.position].append(index)

    def narrow(self, position: int, left: int, cause: Rule | Lesson | None) -> None:
        """Leave only these candidates at a position."""
        self._at[position].append(len(self.events))
        self.events.append(Event(position, self.masks[position], left, cause))
        self.masks[position] = left

    def choose(self, position: int, value: int) -> None:
        """Try a candidate."""
        self.levels.append(len(self.events))
        self.narrow(position, 1 << value, None)

    def back_to(self, level: int) -> None:
        """Take back all but the first ``level`` choices and what followed from the others."""
        if level < len(self.levels):
            mark = self.levels[level]
            del self.levels[level:]
            while len(self.events) > mark:
                event = self.events.pop()
                self._at[event.position].pop()
                self.masks[event.position] = event.before

    def learn(self, failure: Failure) -> Learnt | frozenset[Relation]:
        """The lesson of a failure, or the relations that by themselves are enough for it."""
        needed, relations = dict(failure.missing), set(failure.relations)
        masks = list(self.masks)
        top = len(self.events)
        for level in range(len(self.levels), 0, -1):
            while pending := self._removing(needed, self.levels[level - 1]):
                last = max(pending)
                if len(pending) == 1 and self.events[last].after:
                    return self._learnt(needed, relations, self.events[last].position)
                top = self._rewound(masks, top, last)
                self._resolve(self.events[last], needed, relations, masks)
        while top:
            top = self._rewound(masks, top, top - 1)
            self._resolve(self.events[top], needed, relations, masks)
        return frozenset(relations)

    def last(self, position: int, mask: int) -> int:
        """The last event that removed any of some candidates of a position."""
        for index in reversed(self._at[position]):
            event = self.events[index]
            if event.before & ~event.after & mask:
                return index
        return -1

    def _removing(self, needed: Mapping[int, int], start: int) -> list[int]:
        """The events from ``start`` on that removed any of some candidates."""
        found = []
        for position, mask in needed.items():
            for index in reversed(self._at[position]):
                if index < start:
                    break
                event = self.events[index]
                if event.before & ~event.after & mask:
                    found.append(index)
        return found

    def _rewound(self, masks: Masks, top: int, index: int) -> int:
        """The candidates as they were before an event."""
        while top > index:
            top -= 1
            event = self.events[top]
            masks[event.position] = event.before
        return top

    @staticmethod
    def _resolve(event: Event, needed: dict[int, int], relations: set[Relation], masks: Masks) -> None:
        """Put what an event hung on in the place of what it removed."""
        v, cause = event.position, event.cause
        gone = event.before & ~event.after & needed.get(v, 0)
        if not gone:
            return
        if cause is None:
            needed[v] &= ~gone
        elif isinstance(cause, Lesson):
            relations |= cause.relations
            for position, mask in cause.any_of.items():
                needed[position] = needed[v] & mask if position == v else needed.get(position, 0) | mask
        else:
            relations.add(cause.relation)
            needed[v] &= ~cause.like(v, gone)
            for position, mask in cause.because(v, gone, masks).items():
                needed[position] = needed.get(position, 0) | mask

    def _learnt(self, needed: Mapping[int, int], relations: set[Relation], told: int) -> Learnt:
        any_of = {position: mask for position, mask in needed.items() if mask}
        last = max((self.last(p, mask) for p, mask in any_of.items() if p != told), default=-1)
        return Learnt(Lesson(frozenset(relations), any_of), bisect_right(self.levels, last), told)
