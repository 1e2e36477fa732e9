"""What an adapter makes of a setting: the lever formula, and the correction with its budget."""
