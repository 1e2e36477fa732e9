"""Time zones by their names in the tz database."""

from zoneinfo import ZoneInfo, available_timezones

from torqueaudit.model.nearest import did_you_mean


def zone_of(name: str) -> ZoneInfo:
    """A time zone, "Europe/Vienna". Raises ValueError, with the one that was probably meant."""
    try:
        return ZoneInfo(name)
    except (ValueError, OSError, KeyError):  # a path, a folder, and a name that there is not
        says = did_you_mean(name, available_timezones(), "write it as Europe/Vienna")
        raise ValueError(f"{name}: no such time zone; {says}") from None
