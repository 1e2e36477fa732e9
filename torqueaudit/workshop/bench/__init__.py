"""The bench question: what to set this wrench to."""
