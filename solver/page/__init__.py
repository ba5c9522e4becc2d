"""One page for the phone: the plan, its picture and its checklists, in one file that needs nothing from elsewhere.

``document``   what is on the page
``sheet``      from a build to that
``refusals``   from a goal without a build to that
``steps``      the work in order
``markup``     the document as HTML (``page.html.j2``, ``page.css``, ``page.js``)
"""

from __future__ import annotations

from pathlib import Path

from shared.units import System

from ..also_a_function import also_a_function
from .document import PageDocument

__all__ = ["PageDocument", "page"]


def page(source: Path, build: int = 1, units: System = "metric") -> PageDocument:
    """What is on the page of a plan's file or of a goal, which is planned first.

    ``build`` picks the plan's build.  A goal without a build gives its conflicts and what would help instead.
    :func:`solver.page.markup.page_html` writes it down.

    Raises :class:`shared.faults.BadInput` with every fault of every file.

    >>> from solver import demo_goal, page
    >>> page(demo_goal("tight")).answer
    'yes'
    """
    from ..graph.sources import opened

    found = opened(source, build, units)
    if found.build is None:
        from .refusals import page_of_refusal

        return page_of_refusal(found.problem, units)
    from .sheet import page_of_build

    return page_of_build(found.problem, found.build, build, units)


also_a_function(__name__)
