"""The search: from named relations to the best builds, with proof that none is better.

Step by step, each in a module of its own:

``rules``        a relation made ready for pruning sets of candidates
``possible``     whether any build passes some relations; the candidates that no relation leaves a place for go
``model``        relations and costs as tables over the candidates left, where a table is small enough
``elimination``  the least cost of any build through each candidate, by bucket elimination on the tables
``best``         sets a limit on the score, drops what is beyond it, and raises it until enough builds are found
``enumeration``  python-constraint2 searches what is left within it, with every relation whole: the proof
``counts``       how many builds pass some relations
"""
