"""What a workshop registers: its settings, its people, its vehicles, and the tokens of its labels."""
