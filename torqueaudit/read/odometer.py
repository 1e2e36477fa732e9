"""Odometers as people read them off."""

from torqueaudit.model.register.distance import length_m


def read_odometer(text: str) -> int:
    """An odometer, "12 000 km" or "7500 mi", in whole metres. Raises ValueError without a unit."""
    return int(length_m(text))
