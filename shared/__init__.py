"""The words everything else is written in: units, ranges, models, faults.  Imports nothing of ours."""
