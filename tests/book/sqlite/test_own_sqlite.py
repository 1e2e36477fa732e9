"""Where there is no wheel of pysqlite3, Python's own SQLite serves."""

import os
import subprocess
import sys
from pathlib import Path

CONTRACT = Path(__file__).parents[1] / "contract"


def test_pythons_own_sqlite_keeps_the_contract(tmp_path: Path) -> None:
    """The whole suite, in programs that find no pysqlite3."""
    (tmp_path / "pysqlite3.py").write_text("raise ImportError")
    surroundings = {**os.environ, "PYTHONPATH": f"{tmp_path}{os.pathsep}{os.environ.get('PYTHONPATH', '')}"}
    which = "from torqueaudit.book.sqlite.connection import sqlite3; print(sqlite3.__name__)"
    chosen = subprocess.run([sys.executable, "-c", which], env=surroundings, capture_output=True, text=True, check=True)
    suite = subprocess.run(
        [sys.executable, "-m", "pytest", "-q", "-n", "0", "-o", f"cache_dir={tmp_path}", CONTRACT],
        env=surroundings,
        cwd=tmp_path,
        capture_output=True,
        text=True,
        check=False,
    )

    assert "sqlite3" == chosen.stdout.strip()
    assert (0, "") == (suite.returncode, suite.stderr), suite.stdout
