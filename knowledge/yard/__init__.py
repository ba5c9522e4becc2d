"""The cars standing in a yard, as somebody typed them.

``cars``   the list
``car``    one car, out of the words about it
``notes``  what its notes say about its parts, with ``notes.csv``
"""
