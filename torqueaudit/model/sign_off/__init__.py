"""What was signed for in some days, and the facts of it that an auditor would ask about."""
