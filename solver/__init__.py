"""Finds builds that meet a goal, says why others fail, and turns a build into a plan."""
