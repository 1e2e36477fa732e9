"""One command of the installed package in a process of its own, forked from one that has loaded it already.

Starting Python takes most of the time of a short command, and the suite runs a thousand of them. What is loaded, and in
which order, is held by tests/cli/test_imports.py, and the script itself by tests/test_installed.py and tests/docs.
"""

import os
import sys
from io import TextIOWrapper
from multiprocessing import get_context
from pathlib import Path
from subprocess import CompletedProcess
from tempfile import TemporaryDirectory

LOADED = [
    "cryptography.hazmat.primitives.asymmetric.ed25519",
    "email.message",
    "importlib.metadata",
    "sqlite_utils",
    "torqueaudit.book.lists.rows",
    "torqueaudit.book.queries",
    "torqueaudit.book.soundness",
    "torqueaudit.book.sqlite.engine",
    "torqueaudit.cli.act",
    "torqueaudit.cli.fastener",
    "torqueaudit.cli.job",
    "torqueaudit.cli.job_sheet",
    "torqueaudit.cli.ledger",
    "torqueaudit.cli.main",
    "torqueaudit.cli.mistyped",
    "torqueaudit.cli.nightly",
    "torqueaudit.cli.person",
    "torqueaudit.cli.procedure",
    "torqueaudit.cli.vehicle",
    "torqueaudit.cli.wrench",
    "torqueaudit.plugin.commands",
    "torqueaudit.read.tightening",
    "torqueaudit.reports.files",
    "torqueaudit.workshop.jobs.fasteners",
    "torqueaudit.workshop.judged.answer",
    "torqueaudit.workshop.opening",
    "torqueaudit_plugins.clamp_load",
    "torqueaudit_plugins.final_drive.rules.families",
    "torqueaudit_plugins.imperial_units",
    "torqueaudit_plugins.metric_units",
    "torqueaudit_plugins.qr_labels",
    "torqueaudit_plugins.workshop_rules",
    "torqueaudit_plugins.wrench_adapter",
]


def run_apart(words: list[str], surroundings: dict[str, str], folder: str) -> "CompletedProcess[str]":
    """Run a command to its end, with what it printed."""
    context = get_context("forkserver")
    context.set_forkserver_preload(LOADED)
    with TemporaryDirectory() as there:
        out, err = Path(there) / "out", Path(there) / "err"
        process = context.Process(target=_command, args=(words, surroundings, folder, str(out), str(err)))
        process.start()
        process.join()
        code = process.exitcode if process.exitcode is not None else -1
        return CompletedProcess(words, code, out.read_text("utf-8"), err.read_text("utf-8"))


def _command(words: list[str], surroundings: dict[str, str], folder: str, out: str, err: str) -> None:
    os.chdir(folder)
    os.environ.clear()
    os.environ.update(surroundings)
    sys.argv = words
    sys.path[:0] = filter(None, surroundings.get("PYTHONPATH", "").split(os.pathsep))
    for number, path in ((1, out), (2, err)):
        os.dup2(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), number)
    os.dup2(os.open(os.devnull, os.O_RDONLY), 0)
    sys.stdin = open(0, encoding="utf-8", closefd=False)  # noqa: SIM115  # for the life of the process
    sys.stdout = TextIOWrapper(open(1, "wb", closefd=False), encoding="utf-8")  # noqa: SIM115  # as above
    sys.stderr = TextIOWrapper(open(2, "wb", closefd=False), encoding="utf-8", line_buffering=True)  # noqa: SIM115
    from torqueaudit.cli.start import main

    code = 0
    try:
        main()
    except SystemExit as ended:
        code = ended.code if isinstance(ended.code, int) else 0 if ended.code is None else 1
    sys.stdout.flush()
    sys.stderr.flush()
    os._exit(code)
