"""Torque and fastener records for a motorcycle workshop."""

__version__ = "0.1.0"
