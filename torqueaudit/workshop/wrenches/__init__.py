"""Torque wrenches: entered, calibrated, found out, and what they did."""
