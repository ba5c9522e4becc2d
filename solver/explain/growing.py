"""A few relations that cannot all hold, out of many, found by asking only for builds that are easy to find."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from shared.verdict import Verdict

from ..relations import Relation
from ..search.possible import Reply


def grown(
    pool: Sequence[Relation], ask: Callable[[list[Relation]], Reply | None], more: Callable[[], bool]
) -> list[Relation]:
    """A few relations out of ``pool`` that no build meets; all of them where that cannot be told, or not any more.

    A build that meets those taken so far is asked what refuses it, and the first of these is taken too: such
    questions have an easy yes, where leaving relations out of a large set makes many hard ones.
    """
    taken: list[Relation] = []
    while more():
        reply = ask([r for r in pool if r in taken])
        if reply is None:
            break
        if reply.build is None:
            return [r for r in pool if r in reply.core]
        build = reply.build
        left = [r for r in pool if r not in taken]
        refusing = next((r for r in left if r.outlook(build).verdict is Verdict.NO), None)
        if refusing is None:
            refusing = next((r for r in left if r.verdict(build) is Verdict.NO), None)
        if refusing is None:
            break
        taken.append(refusing)
    return list(pool)
