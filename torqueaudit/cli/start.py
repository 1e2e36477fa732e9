"""Where the console script begins: most commands end within a tenth of a second, so garbage is hardly looked for."""

import gc

# Starting up makes tens of thousands of objects that all stay. Python would look for garbage among them after every
# 700; that and the last look at the end are a seventh of `job show`. Commands that run for long are still collected.
# See decision 0010.
OBJECTS = 50_000


def main() -> None:
    """Run the command line."""
    gc.set_threshold(OBJECTS)
    from torqueaudit.cli.main import main as run  # only now: importing click makes many of those objects

    try:
        run()
    finally:
        gc.freeze()  # no last look: what the command opened it has closed, and the rest ends with the process
