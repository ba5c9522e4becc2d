"""Which step of the work comes before which: from what the steps say, and from what lies apart."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from shared.work import Step


@dataclass(frozen=True, order=True)
class Before:
    """``first`` is done before ``then``, and why; one that is not ``firm`` only where it can be had."""

    first: str
    then: str
    why: str
    firm: bool = True


def named_steps(steps: Iterable[Step]) -> Mapping[str, tuple[str, ...]]:
    """What each name means: a step's own, or a task's, which stands for all of its steps."""
    found: dict[str, list[str]] = {}
    for step in steps:
        found.setdefault(step.id, []).append(step.id)
        if step.task != step.id:
            found.setdefault(step.task, []).append(step.id)
    return {name: tuple(members) for name, members in found.items()}


def orders(steps: Sequence[Step]) -> tuple[Before, ...]:
    """Every order between steps of the layout's data, each once.

    The steps of one task follow one another; ``after`` is taken at its word; what lies apart is taken apart before
    anything that needs it so, and put together after.
    """
    named = named_steps(steps)
    opens = {thing: step.id for step in steps for thing in step.takes_apart}
    closes = {thing: step.id for step in steps for thing in step.puts_together}
    found: set[Before] = set()
    last: dict[str, str] = {}
    for step in steps:
        if step.task in last:
            found.add(Before(last[step.task], step.id, "same task"))
        last[step.task] = step.id
        for key, firm in (("after", True), ("rather_after", False)):
            for name in getattr(step, key):
                found.update(Before(other, step.id, "after", firm) for other in named.get(name, ()) if other != step.id)
        for thing in step.while_apart:
            if thing in opens:
                found.add(Before(opens[thing], step.id, thing))
            if thing in closes:
                found.add(Before(step.id, closes[thing], thing))
        for thing in step.takes_apart:
            if thing in closes and closes[thing] != step.id:
                found.add(Before(step.id, closes[thing], thing))
    return tuple(sorted(found))
