"""What a workshop registers: settings, people, procedures, and what a label leads to."""
