"""The table `[x.final_drive]` of a procedure."""
