"""What a workshop registers: settings, people, vehicles, procedures, and what a label leads to."""
