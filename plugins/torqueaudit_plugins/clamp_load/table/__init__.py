"""The table `[x.clamp_load]` of a procedure."""
