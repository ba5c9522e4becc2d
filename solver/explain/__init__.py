"""The why of every no, on named relations and minimal subsets of them.

``minimal``    minimal conflicts and corrections of numbered groups
``questions``  what can be blamed, and what is asked of the search
``relaxing``   how far a line of the goal has to move, proved by solving again
``together``   chosen parts: what clashes, what is in doubt, what mends it
``answers``    which answer to a doubt is good enough
``candidacy``  every candidate: a build that has it, or a reason, as small as could be proved
``ledger``     exact counts
``one_part``   one part, or all: the best build with it, or why none can use it
``reasons``    the three questions; ``document`` the shape of the answers, ``text`` their words
"""

from __future__ import annotations

from .reasons import why

__all__ = ["why"]
