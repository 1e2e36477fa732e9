"""The bench: a whole job on a phone or tablet, one screen for each thing that is done."""
