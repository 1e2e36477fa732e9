"""Where the console script begins: the garbage collector is told first that a command is short."""

import gc

# Python looks for garbage after every 700 new objects, and starting up makes tens of thousands that all stay: a tenth
# of `job show`. Commands that run for long are still collected.
OBJECTS = 10_000


def main() -> None:
    """Run the command line, and leave without a last look for garbage."""
    gc.set_threshold(OBJECTS)
    from torqueaudit.cli.main import main as run  # only now: importing click makes many of those objects

    try:
        run()
    finally:
        gc.freeze()  # what is frozen is not walked once more when Python ends; the process gives it all back anyway
