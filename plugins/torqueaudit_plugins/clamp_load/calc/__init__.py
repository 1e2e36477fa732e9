"""Threads, strength, torque, clamp load and settling; nothing here knows of jobs."""
