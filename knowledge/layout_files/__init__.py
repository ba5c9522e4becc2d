"""The files of a layout: how one kind of car goes together.

``reading``      a layout's folder as one model
``shapes``       the shape of its files
``work_shapes``  the shape of its work
``kinds``        interface kinds and part kinds
``joins``        which ports meet
``expressions``  where a number comes from
``work``         tasks and their steps, fasteners, cautions
``work_order``   which step comes before which
``sentences``    numbers in sentences, in the units somebody asked for
"""
