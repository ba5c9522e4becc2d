"""Two people at work: the shortest timetable, proved, or a good one with an honest bound.

A step takes its people and its places for its whole time, without a break.  A step that names no place has the car to
itself.  The search goes over what is finished and what is running (A*, Hart, Nilsson and Raphael 1968): at any moment
somebody is free, and either starts a step or waits for the next one to end.  Bounds: the longest chain left, the
work left shared by all, the work left at each place.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property
from heapq import heappop, heappush

from .jobs import Job, Slot, Timetable

MOST_STATES = 20_000

# Now [s], the jobs finished as a mask, and what runs: when each ends and its number, the next to end first.
State = tuple[int, int, tuple[tuple[int, int], ...]]


class _Shop:
    """Jobs as numbers and bit masks.  Jobs without duration are passed through: they take nothing."""

    def __init__(self, jobs: Sequence[Job], people: int) -> None:
        self.people = people
        self.jobs = _sorted(jobs)
        numbered = {job.name: i for i, job in enumerate(self.jobs)}
        places = sorted({place for job in self.jobs for place in job.places})
        bit = {place: 1 << i for i, place in enumerate(places)}
        self.every = (1 << (len(places) + 1)) - 1
        before: list[int] = []  # jobs with a duration that come before, through any that have none
        for job in self.jobs:
            mask = 0
            for name in job.after:
                i = numbered[name]
                mask |= (1 << i) if self.jobs[i].seconds else before[i]
            before.append(mask)
        self.real = [i for i, job in enumerate(self.jobs) if job.seconds]
        self.before = before
        self.seconds = [job.seconds for job in self.jobs]
        self.places = [sum(bit[place] for place in job.places) if job.places else self.every for job in self.jobs]
        self.hands = [min(job.people, people) for job in self.jobs]
        # A job that has the car to itself keeps everybody busy.
        self.load = [
            s * (people if p == self.every else h)
            for s, p, h in zip(self.seconds, self.places, self.hands, strict=True)
        ]
        self.bits = range(self.every.bit_length())
        self.tail = self._tails()
        self._left: dict[int, tuple[int, int, tuple[int, ...]]] = {}

    def _tails(self) -> list[int]:
        """For every job the least time from its start to the end of everything.

        That is its own time and the longest tail behind it; or, up to any job that has the car to itself, all the
        work that lies between the two.
        """
        tail = [0] * len(self.jobs)
        behind = [0] * len(self.jobs)
        ahead = [0] * len(self.jobs)
        for i in self.real:
            for j in self.real:
                if self.before[i] >> j & 1:
                    ahead[i] |= ahead[j] | 1 << j
        for i in reversed(self.real):
            after = [j for j in self.real if self.before[j] >> i & 1]
            for j in after:
                behind[i] |= behind[j] | 1 << j
            alone = [j for j in self.real if behind[i] >> j & 1 and self.places[j] == self.every]
            tail[i] = self.seconds[i] + max(
                max((tail[j] for j in after), default=0),
                self._least(behind[i]),
                max((self._least(behind[i] & ahead[j]) + tail[j] for j in alone), default=0),
            )
        self.ahead = ahead
        return tail

    def _least(self, jobs: int) -> int:
        """The least time a set of jobs takes, whatever their order: by their work, and by each place's."""
        members = [i for i in self.real if jobs >> i & 1]
        at_a_place = (sum(self.seconds[i] for i in members if self.places[i] >> b & 1) for b in self.bits)
        return max(-(-sum(self.load[i] for i in members) // self.people), *at_a_place)

    @cached_property
    def whole(self) -> int:
        """Every job that takes time, as a mask."""
        return sum(1 << i for i in self.real)

    def _unstarted(self, started: int) -> tuple[int, int, tuple[int, ...]]:
        """Of the jobs not begun: the longest chain, the work of all, the work at each place."""
        known = self._left.get(started)
        if known is None:
            rest = [i for i in self.real if not started >> i & 1]
            known = (
                max((self.tail[i] for i in rest), default=0),
                sum(self.load[i] for i in rest),
                tuple(sum(self.seconds[i] for i in rest if self.places[i] >> b & 1) for b in self.bits),
            )
            self._left[started] = known
        return known

    def bound(self, now: int, done: int, running: Sequence[tuple[int, int]]) -> int:
        """The least time at which everything can be finished."""
        started = done
        for _, i in running:
            started |= 1 << i
        tail, load, places = self._unstarted(started)
        best = max(now + tail, now + max(places))
        for end, i in running:
            best = max(best, end + self.tail[i] - self.seconds[i])
            rest = end - now
            load += rest * (self.load[i] // self.seconds[i])
            best = max(
                best, now + rest + max(w for b, w in zip(self.bits, places, strict=True) if self.places[i] >> b & 1)
            )
        return max(best, now - (-load // self.people))

    def least(self) -> int:
        """The least time for everything."""
        alone = [i for i in self.real if self.places[i] == self.every]
        return max([self.bound(0, 0, ()), *(self._least(self.ahead[i]) + self.tail[i] for i in alone)])

    def ready(self, done: int, running: Sequence[tuple[int, int]]) -> list[int]:
        """The jobs that can start now."""
        busy, taken = 0, done
        hands = self.people
        for _, i in running:
            busy |= self.places[i]
            taken |= 1 << i
            hands -= self.hands[i]
        return [
            i
            for i in self.real
            if not taken >> i & 1
            and not self.before[i] & ~done
            and not self.places[i] & busy
            and self.hands[i] <= hands
        ]


def _sorted(jobs: Sequence[Job]) -> list[Job]:
    """The jobs in an order in which each comes after those it waits for."""
    by_name = {job.name: job for job in jobs}
    order: list[Job] = []
    placed: set[str] = set()
    waiting = sorted(by_name)
    while waiting:
        free = [name for name in waiting if by_name[name].after <= placed]
        if not free:
            raise ValueError(f"jobs in a circle: {', '.join(waiting)}")
        order += [by_name[name] for name in free]
        placed.update(free)
        waiting = [name for name in waiting if name not in placed]
    return order


def timetable(jobs: Sequence[Job], people: int = 2, most_states: int = MOST_STATES) -> Timetable:
    """The shortest timetable for ``people``; if that takes more than ``most_states`` states, the best found.

    ``most_states`` is a count, not a time, so that the answer is the same on every machine.  A job that asks for
    more people than there are takes them all.
    """
    shop = _Shop(jobs, people)
    plan, end = _greedy(shop)
    bound = shop.least()
    if bound < end:
        better, bound = _search(shop, end, most_states)
        if better is not None:
            plan, end = better, max(s + shop.seconds[i] for i, s in better.items())
    return Timetable(_slots(shop, plan), end, min(bound, end))


def _greedy(shop: _Shop) -> tuple[dict[int, int], int]:
    """A timetable that always starts the job with the longest chain behind it."""
    now, done = 0, 0
    running: list[tuple[int, int]] = []
    plan: dict[int, int] = {}
    while done != shop.whole:
        ready = shop.ready(done, running)
        if ready:
            i = max(ready, key=lambda j: (shop.tail[j], -j))
            plan[i] = now
            running.append((now + shop.seconds[i], i))
            continue
        now = min(running)[0]
        done |= sum(1 << i for end, i in running if end <= now)
        running = [r for r in running if r[0] > now]
    return plan, max((s + shop.seconds[i] for i, s in plan.items()), default=0)


def _search(shop: _Shop, known: int, most_states: int) -> tuple[dict[int, int] | None, int]:
    """A timetable that ends before ``known``, or ``None`` if there is none; and a bound on every timetable."""
    start: State = (0, 0, ())
    queue: list[tuple[int, int, int, State]] = []
    came: dict[State, tuple[State, int | None] | None] = {start: None}
    seen: dict[tuple[int, tuple[int, ...]], list[tuple[int, ...]]] = {}
    number = 0
    heappush(queue, (shop.bound(*start), 0, number, start))
    for _ in range(most_states):
        if not queue:
            return None, known
        estimate, _, _, state = heappop(queue)
        if estimate >= known:
            return None, known
        if state[1] == shop.whole:
            return _walk_back(came, state), state[0]
        for following, begun in _moves(shop, state):
            if following in came or _beaten(seen, following):
                continue
            came[following] = (state, begun)
            estimate = shop.bound(*following)
            if estimate < known:
                number += 1
                heappush(queue, (estimate, -following[0], number, following))
    return None, max(queue[0][0], shop.least()) if queue else known


def _moves(shop: _Shop, state: State) -> list[tuple[State, int | None]]:
    """What can happen next: a job begins, or the next running one ends."""
    now, done, running = state
    moves: list[tuple[State, int | None]] = [
        ((now, done, tuple(sorted((*running, (now + shop.seconds[i], i))))), i) for i in shop.ready(done, running)
    ]
    if running:
        then = running[0][0]
        ended = sum(1 << i for end, i in running if end <= then)
        moves.append(((then, done | ended, tuple(r for r in running if r[0] > then)), None))
    return moves


def _beaten(seen: dict[tuple[int, tuple[int, ...]], list[tuple[int, ...]]], state: State) -> bool:
    """Whether the same has been finished and begun before, no later in anything; notes it if not."""
    now, done, running = state
    by_job = sorted(running, key=lambda r: r[1])
    key = (done, tuple(i for _, i in by_job))
    times = (now, *(end for end, _ in by_job))
    kept = seen.setdefault(key, [])
    if any(all(a <= b for a, b in zip(old, times, strict=True)) for old in kept):
        return True
    kept[:] = [old for old in kept if not all(b <= a for a, b in zip(old, times, strict=True))]
    kept.append(times)
    return False


def _walk_back(came: Mapping[State, tuple[State, int | None] | None], state: State) -> dict[int, int]:
    """When each job began on the way to a state."""
    plan: dict[int, int] = {}
    step = came[state]
    while step is not None:
        before, begun = step
        if begun is not None:
            plan[begun] = before[0]
        step = came[before]
    return plan


def _slots(shop: _Shop, plan: Mapping[int, int]) -> tuple[Slot, ...]:
    """The timetable with people: whoever was last at a place goes on there; the first person has the whole car."""
    free = [0] * shop.people
    last: list[frozenset[str]] = [frozenset()] * shop.people
    slots = []
    for i, start in sorted(plan.items(), key=lambda x: (x[1], x[0])):
        job = shop.jobs[i]
        able = [p for p in range(shop.people) if free[p] <= start]
        able.sort(key=lambda p: (not last[p] & job.places, p))
        who = tuple(sorted(able[: shop.hands[i]]))
        end = start + shop.seconds[i]
        for p in who:
            free[p], last[p] = end, job.places
        slots.append(Slot(job.name, start, end, who))
    return tuple(slots)
