"""What the trade knows: interface kinds, layouts, requirements, formulas, standards; and the reading of catalogues."""
