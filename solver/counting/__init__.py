"""Exact counts, however large: how many builds there are, how many meet a goal, and what each rule rules out.

``ruled_out``    what each rule rules out by itself and beyond all the others; everything, of a small catalogue
``joint``        how many builds keep all rules and limits at once
``contraction``  the same over tables: positions taken out one after another
``splitting``    a rule over too many positions, split in two at a quantity
``lanes``        sums kept beside counts, in large whole numbers
``sums``         what builds spend, as a sum in whole numbers
``spent``        how many builds a limit on what is spent lets pass
``wide``         how many builds one wide rule refuses: boxes of rows
``tallies``      the rows: builds that look the same to a rule
``spans``        what a rule says of everything in a box

Counting by branching, for a few narrow relations, is a question the search answers: :mod:`solver.search.counts`.
"""

from __future__ import annotations

from .ruled_out import Whole, combinations_of, counted_meeting, counted_whole, removed_alone

__all__ = ["Whole", "combinations_of", "counted_meeting", "counted_whole", "removed_alone"]
