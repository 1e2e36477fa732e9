"""The pages a phone opens."""
