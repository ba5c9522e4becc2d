"""The files of a catalogue: the parts there are.

``catalogues``  folders of files, ids unique across them all
``shapes``      the shape of a file
``parts``       parts, and what alterations make of them
``assemblies``  what comes with a part
"""
