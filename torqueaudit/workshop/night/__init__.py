"""The nightly report: what a day has missed."""
