"""What parts do together: quantities computed, with true bounds.

``quantities``  what a layout's quantities are made of
``dataflow``    the quantities of a layout, for any build
``computed``    the quantities of one build, one formula at a time
``sharpened``   true bounds where one uncertain input reaches a quantity by more than one way
``points``      a quantity as a function of a few uncertain inputs
``bounds``      true bounds of a formula over ranges
"""
