"""The final drive: chain, sprockets, slack and alignment, worked out from what a mechanic counts and measures."""
