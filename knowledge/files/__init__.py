"""Files of any kind: from bytes to a tree, from a tree to a shape, each fault with its line.

``folders``    the YAML files of a folder
``trees``      the tree of a plain YAML text, at once
``documents``  any YAML text as a tree, and where in it anything stands
``formats``    the kinds of files there are: is this the one that is wanted
``shape``      the base of every file's shape: from a tree to a shape, from its complaint to a fault
``values``     values, and how each is known
``cache``      what was read, kept between runs
``lasting``    making a great many things that last
"""
