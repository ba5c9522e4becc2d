"""Minimal sets: the smallest groups that cannot all hold, and the smallest whose loss lets the rest hold.

Everything here knows groups by number and a question *can these hold?* that answers yes, no with the groups that
were enough for the no, or ``None`` where it cannot be told.

References: Reiter, "A theory of diagnosis from first principles", Artificial Intelligence 32 (1987), for minimal
conflicts and corrections as each other's minimal hitting sets; Bailey and Stuckey, PADL 2005, for finding both
together.  From memory.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations

Group = int
Held = Callable[[Sequence[Group]], "frozenset[Group] | bool | None"]
"""``True`` where groups can hold; a subset that cannot where they cannot; ``None`` where it cannot be told."""


@dataclass(frozen=True)
class MinimalSets:
    """``conflicts`` and ``corrections``, smallest first; ``complete`` where there are no others of either.

    Of the conflicts in ``unproved`` it could not be told whether every member is needed.
    """

    conflicts: tuple[tuple[Group, ...], ...]
    corrections: tuple[tuple[Group, ...], ...]
    complete: bool
    unproved: frozenset[tuple[Group, ...]] = frozenset()


def shrink(groups: Iterable[Group], held: Held) -> tuple[tuple[Group, ...], bool]:
    """A minimal subset of ``groups`` that cannot hold, and whether every member was proved to be needed.

    The groups must not be able to hold.  Later ones are given up first.
    """
    left = sorted(groups)
    kept: list[Group] = []
    proved = True
    while left:
        member = left.pop()
        answer = held([*left, *kept])
        if answer is None or answer is True:
            proved = proved and answer is True
            kept.append(member)
        elif isinstance(answer, frozenset):
            left = [g for g in left if g in answer]
    return tuple(sorted(kept)), proved


def hitting_sets(sets: Sequence[Sequence[Group]], most: int) -> Iterable[tuple[Group, ...]]:
    """Every minimal set of at most ``most`` members that meets each of ``sets``, smallest first, then in order."""
    members = sorted({g for s in sets for g in s})
    found: list[frozenset[Group]] = []
    for size in range(most + 1):
        for chosen in combinations(members, size):
            group = frozenset(chosen)
            if all(not group.isdisjoint(s) for s in sets) and not any(f <= group for f in found):
                found.append(group)
                yield chosen


def minimal_sets(
    count: int, held: Held, most_size: int = 4, most_questions: int = 300, known: Sequence[tuple[Group, ...]] = ()
) -> MinimalSets:
    """All minimal conflicts among groups ``0 .. count - 1``, and all minimal corrections of at most ``most_size``.

    Each minimal hitting set of the conflicts known so far is tried as a correction: either what is left can hold,
    and it is one, or what is left has a conflict not known yet.  When every one is a correction, no conflict is
    missing, as long as no correction needs more than ``most_size`` members.  ``known`` are minimal conflicts already
    found.
    """
    everything = range(count)
    conflicts: list[tuple[Group, ...]] = list(known)
    confirmed: dict[tuple[Group, ...], None] = {}
    untold: set[tuple[Group, ...]] = set()
    unproved: set[tuple[Group, ...]] = set()
    questions = 0

    def asked(groups: Sequence[Group]) -> frozenset[Group] | bool | None:
        nonlocal questions
        questions += 1
        return held(groups)

    def look() -> bool:
        """Find one more conflict; false when every hitting set is known for what it is."""
        for chosen in hitting_sets(conflicts, most_size):
            if chosen in confirmed or chosen in untold:
                continue
            if questions >= most_questions:
                untold.add(chosen)
                return False
            rest = [g for g in everything if g not in chosen]
            answer = asked(rest)
            if answer is True:
                confirmed[chosen] = None
            elif isinstance(answer, frozenset):
                members, proved = shrink(answer, asked)
                if not proved:
                    untold.add(chosen)
                    unproved.add(members)
                if members not in conflicts:
                    conflicts.append(members)
                return True
            else:
                untold.add(chosen)
        return False

    while look():
        if () in conflicts:
            return MinimalSets(((),), (), True)
    wide = _needs_more(conflicts, most_size)
    corrections = [c for c in confirmed if c and not any(set(o) < set(c) for o in confirmed)]
    return MinimalSets(
        tuple(sorted(conflicts, key=lambda c: (len(c), c))),
        tuple(sorted(corrections, key=lambda c: (len(c), c))),
        not untold and not wide,
        frozenset(unproved),
    )


def _needs_more(conflicts: Sequence[Sequence[Group]], most: int) -> bool:
    """Whether some minimal correction of these conflicts has more than ``most`` members."""
    members = sorted({g for s in conflicts for g in s})
    if len(members) <= most:
        return False
    return any(len(h) > most for h in hitting_sets(conflicts, min(most + 1, len(members))))
