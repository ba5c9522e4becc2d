"""The why of every no, on named relations and minimal subsets of them.

``reasons``          the three questions
``questions``        what can be blamed, and what is asked of the search
``budget``           how much work the questions of one answer may take together
``minimal``          minimal conflicts and corrections of numbered groups
``growing``          a few relations that cannot all hold, out of many
``refusal``          why is there no build: conflicts, and the smallest changes that unlock one
``relaxing``         how far a line of the goal has to move, proved by solving again
``together``         chosen parts: what clashes, what is in doubt, what mends it
``pairs``            their conflicts among each other and with the goal
``mending``          single changes that let the rest of a conflict be met, named and priced
``answers``          which answer to a doubt is good enough
``candidacy``        every candidate: a build that has it, or a reason, as small as could be proved
``one_part``         one part, or all: the best build with it, or why none can use it
``ledger``           exact counts
``document``         the shape of the answers; ``showing`` puts them into it
``text``             their words, with those of ``conflict_text``, ``relaxation_text`` and ``ledger_text``
"""

from __future__ import annotations

from .reasons import why

__all__ = ["why"]
