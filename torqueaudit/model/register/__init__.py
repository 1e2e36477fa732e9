"""What a workshop registers: its settings, its people, and the tokens of its labels."""
