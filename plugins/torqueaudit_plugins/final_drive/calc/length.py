"""Length of a closed chain and centre distance of its sprockets, each worked out exactly from the other.

    R = p/(2·sin(π/z))        sin β = (R2 - R1)/C
    N = 2·C·cos β/p + z1·(π - 2β)/2π + z2·(π + 2β)/2π

N is the number of links, C the centre distance with both runs straight, p the pitch, z and R teeth and pitch circle of
the front (1) and the rear (2) sprocket. This follows from geometry: two tangents, and z links to a full turn of each
sprocket. The usual handbook form replaces sin β by β and the pitch circles by z·p/2π; it differs by some micrometres.
"""

from math import asin, ceil, cos, floor, isfinite, pi

from torqueaudit_plugins.final_drive.calc.bisection import root_of
from torqueaudit_plugins.final_drive.calc.sprockets import MOST_LINKS, Drive, require_links

# A thousandth of a link is less than a hundredth of a millimetre of centre distance: nobody can set it.
NO_LINK = 1e-3


def links_at(drive: Drive, centre_mm: float) -> float:
    """How many links close the drive at a centre distance, not rounded.

    Raises ValueError, with a sentence, where the sprockets would touch or the chain would be longer than any.
    """
    if not centre_mm > drive.touching_mm:
        raise ValueError(
            f"a centre distance of {centre_mm:g} mm is smaller than the sprockets: {drive.front} and {drive.rear} "
            f"teeth touch at {drive.touching_mm:.1f} mm; measure from axle centre to shaft centre"
        )
    if not isfinite(centre_mm) or 2 * centre_mm > MOST_LINKS * drive.pitch_mm:
        raise ValueError(f"a centre distance of {centre_mm:g} mm is no motorcycle's; measure in mm")
    return _links(drive, centre_mm)


def centre_at(drive: Drive, links: int) -> float:
    """The centre distance in mm at which a chain of so many links is straight in both runs.

    Raises ValueError, with a sentence, for an odd number and for a chain that does not reach around.
    """
    require_links(links)
    least = _links(drive, drive.touching_mm)
    if links <= least:
        raise ValueError(
            f"a chain of {links} links is too short to close around {drive.front} and {drive.rear} teeth: "
            f"it takes more than {least:.1f}"
        )
    return root_of(lambda centre: _links(drive, centre) - links, drive.touching_mm, links * drive.pitch_mm / 2)


def even_links(links: float) -> int:
    """The next even number of links that is long enough."""
    return 2 * ceil((links - NO_LINK) / 2)


def links_within(drive: Drive, least_mm: float, most_mm: float) -> range:
    """The even numbers of links that close the drive at a centre distance the adjusters allow; may be empty.

    Raises ValueError, with a sentence, as `links_at` does.
    """
    if not least_mm < most_mm:
        raise ValueError(
            f"the adjusters' range from {least_mm:g} to {most_mm:g} mm is none; give the smaller one first"
        )
    most = 2 * floor((links_at(drive, most_mm) + NO_LINK) / 2)
    return range(even_links(links_at(drive, least_mm)), most + 1, 2)


def straight_run_mm(drive: Drive, centre_mm: float) -> float:
    """Length of a run between the two points where it leaves the sprockets, C·cos β."""
    return centre_mm * cos(_lean(drive, centre_mm))


def _links(drive: Drive, centre_mm: float) -> float:
    lean = _lean(drive, centre_mm)
    runs = 2 * centre_mm * cos(lean) / drive.pitch_mm
    return runs + drive.front * (pi - 2 * lean) / (2 * pi) + drive.rear * (pi + 2 * lean) / (2 * pi)


def _lean(drive: Drive, centre_mm: float) -> float:
    """The angle β between a run and the line of centres, in radians; below zero where the front sprocket is larger."""
    return asin((drive.rear_radius_mm - drive.front_radius_mm) / centre_mm)
