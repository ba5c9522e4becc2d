"""Where somebody certainly has to work, told from the open candidates of every position."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ..problem import Problem
from .rules import Candidates

# A position, and the host it is known from that somebody works there, if it is known from one.
Touched = tuple[int, int | None]


class Touching:
    """What the candidates of every position are to whoever builds, as the bits of integers.

    ``new`` tells of each candidate whether it is not the one fitted now; ``old`` are those that are, ``mounted`` those
    that come with an assembly, ``bare`` the empty place.
    """

    def __init__(self, problem: Problem, candidates: Candidates) -> None:
        positions = tuple(problem.domains)
        number = {at: i for i, at in enumerate(positions)}
        is_new = problem.effort.is_new
        self.new = [[is_new(at, p) for p in own] for at, own in zip(positions, candidates, strict=True)]
        self.old = [sum(1 << i for i, new in enumerate(row) if not new) for row in self.new]
        self.mounted = [
            sum(1 << i for i, p in enumerate(own) if p is not None and p.host is not None) for own in candidates
        ]
        self.bare = [sum(1 << i for i, p in enumerate(own) if p is None) for own in candidates]
        hosts = (problem.garage.layout.positions[at].host for at in positions)
        self.hosts = [None if host is None else number[host] for host in hosts]

    def touched(self, masks: Sequence[int]) -> list[Touched]:
        """Positions where somebody certainly has to work, whichever open candidates are chosen."""
        found: list[Touched] = []
        for v, mask in enumerate(masks):
            if mask & self.mounted[v]:
                continue
            if not mask & self.old[v]:
                found.append((v, None))
                continue
            host = self.hosts[v]
            if host is not None and not masks[host] & self.old[host] and not mask & self.old[v] & self.bare[v]:
                found.append((v, host))
        return found

    def may(self, masks: Sequence[int]) -> list[int]:
        """Positions where somebody may have to work."""
        found = []
        for v, mask in enumerate(masks):
            host = self.hosts[v]
            moved = host is not None and masks[host] & ~self.old[host] and mask & ~self.bare[v] & ~self.mounted[v]
            if mask & ~self.old[v] & ~self.mounted[v] or moved:
                found.append(v)
        return found

    def needed(self, touched: Iterable[Touched], needed: dict[int, int]) -> None:
        """Add for each position the candidates that must be missing for somebody to have to work there."""
        for v, host in touched:
            needed[v] |= self.mounted[v] | (self.old[v] if host is None else self.old[v] & self.bare[v])
            if host is not None:
                needed[host] |= self.old[host]

    def like(self, position: int, gone: int, found: int) -> int:
        """Those of ``found`` that are touched wherever all of ``gone`` are."""
        for kept in (self.mounted[position], self.old[position] & self.bare[position], self.old[position]):
            if not gone & kept:
                found &= ~kept
        return found
