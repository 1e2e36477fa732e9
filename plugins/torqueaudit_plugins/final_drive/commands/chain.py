"""The command `torqueaudit chain`: calculators for the geometry of the final drive."""

import click

from torqueaudit_plugins.final_drive.commands.axle import adjuster, alignment, slack, travel
from torqueaudit_plugins.final_drive.commands.length import length, ratio_
from torqueaudit_plugins.final_drive.commands.wear import trend, wear


@click.group(name="chain")
def chain() -> None:
    """Calculators for the geometry of the final drive; lengths in mm. They need no book."""


for each in (wear, trend, length, slack, alignment, adjuster, travel, ratio_):
    chain.add_command(each)
