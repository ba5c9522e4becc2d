"""What somebody measured, and what it makes of the catalogue.

``readable``      what can be read on a part or on the car
``recorded``      one record
``journal``       a file that is only ever added to
``measurements``  all records, beside the goal
``readings``      readings held against what the catalogue says
``sets``          how far the pieces of one set lie apart
``condition``     wear limits, with ``condition.yaml``
"""
