"""OR-tools CP-SAT behind the questions of :mod:`solver.search.engines`; it comes with the extra ``engines``.

``engine``  the questions answered
``search``  solved, judged whole, and what is refused cut off
``costs``   money, work, donors and the score as clauses
``model``   relations as clauses
``cells``   outcomes of quantities in ranges, for relations too wide to be written out
"""
