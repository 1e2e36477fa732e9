"""Vehicles: entered, and what anybody reports of one."""
