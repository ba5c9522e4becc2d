"""The best build there is, come nearer to by questions: does any score no more than so much?

Where tables have to be large, bounds by bucket elimination take long; a question with a limit on the score learns from
every choice that fails instead.  What it learnt with a looser limit holds with every nearer one.
"""

from __future__ import annotations

from collections.abc import Sequence

from ..relations import Build, Relation
from .enumeration import LimitReached
from .possible import Possible

MOST_NODES = 4_000
# A question may try this part of the choices that are left.
SHARE = 2
SURER = 2


def nearest(
    possible: Possible, relations: Sequence[Relation], known: Build, none: int = -1, most_nodes: int = MOST_NODES
) -> tuple[Build, bool]:
    """The best build that passes some relations, beginning with a ``known`` one, and whether it was proved that none
    scores less.

    No build that passes scores ``none`` or less, as far as was proved before.  Ends after so many choices.
    """

    def score(build: Build) -> int:
        return possible.scores.whole([possible.mask(at, (build[at],)) for at in possible.positions])

    best, low, until = score(known), none + 1, possible.work.nodes + most_nodes
    asked: dict[int, Relation] = {}
    hard, refused = low, 0
    while low < best:
        nodes = (until - possible.work.nodes) // SHARE
        if nodes <= 0 or hard >= best:
            return known, False
        # The more often nothing was found in a row, the likelier the known build is the best.
        most = best - 1 - (best - 1 - max(low, hard) >> 1 + SURER * refused)
        asked[most] = limit = possible.score_limit(most)
        looser = [relation for other, relation in asked.items() if other > most]
        try:
            reply = possible.ask((*relations, limit), hint=known, most_nodes=nodes, implied=looser)
        except LimitReached:
            hard = most + 1
            continue
        if reply.build is None:
            low, refused = most + 1, refused + 1
        else:
            known, best, refused = reply.build, score(reply.build), 0
    return known, True
