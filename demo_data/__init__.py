"""The demo scenario, and the files that `swapwright new` starts from.  Data only."""
