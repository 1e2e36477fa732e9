"""Which way the closed end of a spring clip points, drawn: the chain runs to the right, as the arrow says.

The closed end leads, so that nothing that it touches on its way pulls it off its pins: common practice, no source.
"""

from torqueaudit.plugin import Drawing, Stroke

WIDTH, HEIGHT = 160, 84

# The way of travel; below it the plate of the link, the ends of its neighbours, and its two pins.
_ARROW = (Stroke("M30 9H126", "thick"), Stroke("M126 2L146 9L126 16Z", "solid"))
_CHAIN = (
    Stroke("M48 34H112A22 22 0 0 1 112 78H48A22 22 0 0 1 48 34Z", "thin"),
    Stroke("M2 44H29M2 68H29M131 44H158M131 68H158", "thin"),
    Stroke("M44 56A4 4 0 0 1 52 56A4 4 0 0 1 44 56Z", "solid"),
    Stroke("M108 56A4 4 0 0 1 116 56A4 4 0 0 1 108 56Z", "solid"),
)
# From the tip of one leg along it, round the pin in the closed end, and back to the tip of the other leg.
_LEADS = Stroke("M16 38L38 46H94L110 43A13 13 0 0 1 110 69L94 66H38L16 74", "thick")
_TRAILS = Stroke("M144 38L122 46H66L50 43A13 13 0 0 0 50 69L66 66H122L144 74", "thick")

CLOSED_END_LEADS = Drawing(WIDTH, HEIGHT, (*_ARROW, *_CHAIN, _LEADS))
CLOSED_END_TRAILS = Drawing(WIDTH, HEIGHT, (*_ARROW, *_CHAIN, _TRAILS))
