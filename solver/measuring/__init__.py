"""What somebody measured, what it changes, and what is worth measuring next.

``records``   a reading as the record that is kept: tool, tolerance, every fault before anything is written
``effects``   the relations, quantities, part and plan before and after a reading
``worth``     the readings of a part that would remove most doubt, and which answers are good enough
``telling``   headlines, what is known of an attribute, wear limits
``showing``   readings and remarks as they come out
``asking``    the command; ``document`` the shape of its answer, ``text`` its words
"""
