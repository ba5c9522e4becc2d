"""The search: from named relations to the best builds, with proof that none is better.

Step by step, each in a module of its own:

``prefilter``    candidates that fail by themselves, or against everything that is left elsewhere, go
``shared_values``  quantities that several relations read become variables of their own
``model``        relations and costs as tables over these variables, where a table is small enough
``elimination``  the least cost of any build through each value, by bucket elimination on the tables
``enumeration``  python-constraint2 searches what is within a bound, with every relation in it: the proof
``best``         raises the bound until enough builds are found
"""
