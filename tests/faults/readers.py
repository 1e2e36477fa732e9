"""Every reader of what a person or a file says, fed with spoilt words: only refusals in a sentence may come out.

Cards and commands write to the book that they are given.
"""

import json
import re
import shlex
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from datetime import date
from decimal import Decimal
from functools import cache, partial
from io import BytesIO
from pathlib import Path
from random import Random
from typing import Any, NamedTuple
from zoneinfo import ZoneInfo

import click
from click.testing import CliRunner

from spoilt import spoilt
from torqueaudit.book.book import Book
from torqueaudit.book.errors import BookError
from torqueaudit.cards.card import Clock, play
from torqueaudit.cli.main import cli
from torqueaudit.ledger.canonical import canonical
from torqueaudit.ledger.chain import head_of
from torqueaudit.ledger.checkpoint import checkpoint_of
from torqueaudit.ledger.entry import NoEntry, document_of, entry_of
from torqueaudit.ledger.note import NoSignatures, note_of
from torqueaudit.ledger.proof import NotProved, check, proof_of
from torqueaudit.model.act import Refused
from torqueaudit.model.log.mapping import read_mapping
from torqueaudit.model.log.rows import LogSource
from torqueaudit.model.move_in.mapping import VehicleColumns, read_move_mapping
from torqueaudit.model.numbers import read_decimal
from torqueaudit.model.procedure.toml.file import read_procedure
from torqueaudit.model.procedure.toml.values import ProcedureMistakes
from torqueaudit.model.register.distance import length_m
from torqueaudit.model.register.token import TokenError, read_token
from torqueaudit.model.wrench.wrench import Wrench
from torqueaudit.photo.decode import read_photo
from torqueaudit.photo.harmless import make_harmless
from torqueaudit.photo.pictures import NotRead
from torqueaudit.plugins import Plugins, load_plugins
from torqueaudit.read.adapter import read_adapter
from torqueaudit.read.day import read_day, read_hour, read_moment
from torqueaudit.read.log import read_pass
from torqueaudit.read.number import read_entry_number, read_person_number, read_vehicle_number, read_wrench_number
from torqueaudit.read.odometer import read_odometer
from torqueaudit.read.pair import read_pair
from torqueaudit.read.points import read_points, read_share
from torqueaudit.read.tightening import read_angle, read_differing, read_drag, read_torque
from torqueaudit.read.vehicle_row import read_vehicle_row
from torqueaudit.read.words import read_answer, read_mark, read_method, read_outcome, read_slot
from torqueaudit.read.wrench import read_class, read_lever, read_range, read_scales, read_temperature
from torqueaudit.read.wrench_row import read_wrench_row
from torqueaudit.workshop.door.workshop import Workshop
from torqueaudit_plugins.qr_labels.calc.stock import LabelRefused, read_stock, stock_names, stock_text
from torqueaudit_plugins.wrench_logs import read_log

ROOT = Path(__file__).parents[2]
# What may come out, of exactly these kinds; of ValueError no sentence that Python itself wrote.
TOLD = {ValueError, ProcedureMistakes, TokenError, NotRead, LabelRefused, NoEntry, NotProved, NoSignatures, Refused}
_OF_PYTHON = re.compile(  # but where a sentence says first of what
    "invalid literal|could not convert|Invalid isoformat|not enough values|too many values|substring not found|"
    "Exceeds the limit|embedded null|unconverted data|must be in|is not in list|out of range|codec can't|x not in tuple"
)


class Reader(NamedTuple):
    """A reader: words that it reads, what reads them, and its share of the tries."""

    corpus: tuple[Any, ...]
    read: Callable[[Any], object]
    share: int


class Untold(NamedTuple):
    """An input that raised what is no refusal."""

    reader: str
    given: str
    error: str


def tried(name: str, reader: Reader, seed: int, count: int) -> Iterator[Untold]:
    """Try a reader with so many spoilt inputs; what came out and was no refusal."""
    chance = Random(f"{name}/{seed}")
    for _ in range(count):
        given = spoilt(chance, reader.corpus)
        if error := untold(reader.read, given):
            yield Untold(name, repr(given)[:300], error)


def untold(read: Callable[[Any], object], given: object) -> str:
    """What a reader raises that is no refusal in a sentence; "" where it reads, or refuses."""
    try:
        read(given)
    except Exception as error:  # noqa: BLE001  # that is what is looked for
        told = type(error) in TOLD or isinstance(error, Refused | BookError | click.ClickException)
        if told and str(error).strip() and not (type(error) is ValueError and _OF_PYTHON.search(str(error))):
            return ""
        return f"{type(error).__name__}: {error}"[:300]
    return ""


@cache
def _plugins() -> Plugins:
    return load_plugins()


WRENCH = Wrench(
    number="W-1",
    kind="setting",
    tag="blue",
    min_nm=Decimal(40),
    max_nm=Decimal(200),
    lever_mm=Decimal(500),
    due_on=None,
    withdrawn="",
)
ZONE = ZoneInfo("Europe/Vienna")


def _of_words() -> dict[str, tuple[tuple[str, ...], Callable[[str], object]]]:
    units = _plugins().units
    return {
        "adapter": (("50@45", "45mm@60°", "50±0.5@45±2", "30@0"), read_adapter),
        "day": (("2031-04-02",), read_day),
        "hour": (("14:30", "9:15"), read_hour),
        "moment": (
            ("2031-04-02 09:15", "9:15", "2031-04-02T09:15:00+02:00", "2031-03-30 02:30"),
            lambda text: read_moment(text, ZONE, date(2031, 4, 2)),
        ),
        "person": (("P-3", "p3", "Owner"), read_person_number),
        "vehicle": (("V-2", "v 2"), read_vehicle_number),
        "wrench": (("W-1", "w1"), read_wrench_number),
        "entry": (("#77", "77"), read_entry_number),
        "odometer": (("12 000 km", "7500 mi", "18.450 km"), read_odometer),
        "length": (("1000 km", "500 m", "20 mi"), length_m),
        "pair": (("length=287.6 mm",), partial(read_pair, where="--input")),
        "points": (
            ("100 N·m: 97.2 98.1 97.6 98.4 97.9; W 1.4 %; W′ 3.7 %; b_ep 0.1 %", "80 lbf·ft: 79 80 81"),
            lambda text: read_points(units, WRENCH, [text]),
        ),
        "share": (("0.5 %",), read_share),
        "torque": (("98 N·m", "72.5 lbf·ft", "10 kgf·m"), lambda text: read_torque(units, text)),
        "drag": (("8 N·m", "7 … 9 N·m"), lambda text: read_drag(units, text)),
        "angle": (("92°", "90 deg"), read_angle),
        "differing": (("3=did not reach torque",), read_differing),
        "outcome": (("turned, then clicked", "Shown"), read_outcome),
        "mark": (("intact", "Not marked"), read_mark),
        "method": (("mark seen",), read_method),
        "slot": (("aligned", "turned on to the next slot"), read_slot),
        "answer": (("in order", "n/a"), read_answer),
        "class": (("II A", "type II class A"), read_class),
        "lever": (("500±2", "500 mm"), read_lever),
        "temperature": (("21.5 °C",), read_temperature),
        "range": (("40 N·m", "200 N·m"), lambda text: read_range(units, text, "200 N·m")),
        "scales": (("0.5 N·m", "1 lbf·ft"), lambda text: read_scales(units, [text], Decimal(200))),
        "decimal": (("108,5", "25", "1.000"), lambda text: read_decimal(text, "a value", 3000)),
        "token": (("r2c7cnmtf3679xfryjc", "R2C7-CNMT-F367-9XFR-YJC"), read_token),
        "head": ((f"YARD/65/{'4a30' * 16}", f"yard / 65 / {'4A30' * 16}"), head_of),
    }


def _entry(text: str) -> None:
    """A stored text, read and written again."""
    entry = entry_of(text)
    with _told_by_canonical():
        document_of(entry)


@contextmanager
def _told_by_canonical() -> Iterator[None]:
    """Documented: a TypeError, in a sentence, for a value of a kind that the ledger does not hold."""
    try:
        yield
    except TypeError as error:
        if " cannot stand in the ledger" not in str(error) and "nothing stands here" not in str(error):
            raise


def _json(text: str) -> None:
    """Any JSON that Python reads, written as the ledger writes it."""
    try:
        value = json.loads(text)
    except (ValueError, RecursionError):
        return
    with _told_by_canonical():
        canonical(value)


ENTRY = (
    '{"happened_at":"2031-04-02T09:15:00Z","id":"a","kind":"tightened.1","number":1,"payload":{"act":{"digest":'
    f'"{"0" * 64}","of":1}},"judged":{{"role":"mechanic"}},"said":{{"position":"nut"}},'
    f'"words":{{"why":"{"0" * 64}"}}}},'
    f'"previous":"{"0" * 64}","recorded_at":"2031-04-02T09:15:00Z","sequence":1,"site":"YARD","subject":"job/1",'
    '"who":"P-1"}'
)
SEALED = f"torqueaudit/YARD\n5\n{'A' * 43}=\nhead YARD/5/{'4a30' * 16}\nsealed 2031-04-02T09:15:00Z\n"
NOTE = f"{SEALED}\n— torqueaudit/YARD {'A' * 91}=\n"
PROOF = json.dumps(
    {
        "format": "torqueaudit proof",
        "version": 1,
        "sequence": 1,
        "tree_size": 1,
        "document": ENTRY,
        "path": [],
        "note": NOTE,
        "public_key": "A" * 43 + "=",
    }
)


def _proof(text: str) -> None:
    check(proof_of(text), NOTE)


def _toml(text: str) -> None:
    plugins = _plugins()
    read_procedure(text, plugins.units, Decimal(10), (), plugins.kinds, plugins.part_kinds)


WRENCH_LOGS = ROOT / "examples" / "wrench-logs"
LOG_MAPPING = (WRENCH_LOGS / "mapping.toml").read_text("utf-8")
LOG_CSV = (WRENCH_LOGS / "front-wheel.csv").read_bytes()
LOG_JSON = (
    b'{"Date": "17.11.2026", "Clock": "15:02", "Serial": "DEMO-0815", "Order": 10, "Place": "1", "Stage": 2, '
    b'"Peak": 19.2, "Unit": "Nm", "Angle": 0, "No": "101"}\n'
)


def _log(data: bytes) -> None:
    """A log as JSON lines or as text with columns, and what its rows say by the mapping of the example."""
    units = _plugins().units
    mapping = read_mapping(LOG_MAPPING, units)
    name = "log.jsonl" if data[:1] == b"{" else "log.csv"
    found = read_log(LogSource(name, data, mapping.columns, mapping.file.separator))
    for row in found.rows if found else ():
        read_pass(row, mapping, units)


MOVING_IN = ROOT / "examples" / "moving-in"
LIST_MAPPINGS = tuple((MOVING_IN / f"{name}.toml").read_text("utf-8") for name in ("vehicles", "wrenches"))
LISTS = tuple((MOVING_IN / f"{name}.csv").read_bytes() for name in ("vehicles", "wrenches"))


def _list(data: bytes) -> None:
    """A list of vehicles or of wrenches, whichever has its columns, and what its rows say."""
    units = _plugins().units
    mapping = read_move_mapping(LIST_MAPPINGS[b"Serial" in data], units)
    found = read_log(LogSource("list.csv", data, mapping.columns, mapping.file.separator))
    for row in found.rows if found else ():
        try:
            if isinstance(mapping.means, VehicleColumns):
                read_vehicle_row(row, mapping.means, mapping.decimal)
            else:
                read_wrench_row(row, mapping.means, mapping.decimal, units)
        except ValueError as error:
            if _OF_PYTHON.search(str(error)):  # any other says what is wrong with this row, and the next one is read
                raise


class Shop:
    """A workshop for cards and commands; what they record stays for the next one."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.runner = CliRunner()
        clock = Clock("2031-04-02 09:00")
        self.workshop = Workshop(Book.open(path, clock, chance := Random(5)), _plugins(), clock, chance)

    def card(self, text: str) -> None:
        """Play a card of one line or more."""
        play(self.workshop, text)

    def command(self, words: tuple[str, ...]) -> None:
        """Run a command as the console does. Raises what is no exit with a code and a sentence."""
        if set(words) & FORBIDDEN:
            return
        done = self.runner.invoke(cli, ["--book", str(self.path), *words], env={"TORQUEAUDIT_BY": "P-1"})
        if done.exception is not None and not isinstance(done.exception, SystemExit):
            raise done.exception
        if "fault of the program" in done.output or "Traceback" in done.output:
            raise RuntimeError(done.output[:300])
        if done.exit_code and not done.output.strip():
            raise RuntimeError(f"exit code {done.exit_code} and no word")


# What would wait for somebody, print on paper or write a great deal.
FORBIDDEN = {"serve", "demo", "--printer", "--out", "backup", "restore", "repair", "export", "import", "label", "scan"}


def _commands() -> tuple[tuple[str, ...], ...]:
    """The commands that the documents show, and some of the book that is tried."""
    shown = [ROOT / "README.md", *sorted((ROOT / "docs").glob("*.md"))]
    lines = [line for file in shown for line in file.read_text("utf-8").splitlines()]
    told = [shlex.split(line.strip(), comments=True)[1:] for line in lines if re.match("    torqueaudit [a-z]", line)]
    own = (
        'job open --vehicle V-1 --procedure axle --odometer "12 000 km"',
        'fastener tighten 1 rear-axle-nut --wrench W-1 --shown "108 N·m" --adapter 50@45 --outcome "value shown"',
        'fastener loosen 1 rear-axle-nut --why "wheel out again" --ago 5',
        "fastener mark 1 rear-axle-nut intact --at 9:15",
        "check record 1 rear-axle-nut watched --by P-3",
        'measurement take 2 wear --input "pins=19" --input "length=287.2 mm" --condition posture=wheels',
        'wrench calibrate W-1 --on 2031-04-01 --as-found "100 N·m: 97.2 98.1 97.6; W 1.4 %" --certificate C-1',
        'vehicle add red --model "Kestrel 500" --year 2030 --plate "K 123" --id one',
        'job hand-over 1 --odometer "12 010 km" --with-stops --why "fetched"',
        "ledger show --from 3 --to 9 --json",
        "ledger strike 3 --why x",
        "settings change --untouched-days 9 --guard-factor 1.5 --zone Europe/Vienna",
        "person add Ida --role mechanic --start 2031-04-01",
        "job strike 1 '#7' --why wrong",
        "nightly --date 2031-04-02",
    )
    return tuple(tuple(each) for each in (*told, *map(shlex.split, own)) if not set(each) & FORBIDDEN)


CARDS = (
    "2031-04-02 10:00 job 1 opened axle on V-1 at 12000 km by P-2",
    "2031-04-02 10:05 rear-axle-nut 108 N·m with W-1 adapter 50@45 then 92° to 74 N·m drag 7 … 9 N·m by P-2",
    "2031-04-02 10:06 rear-axle-nut mark not seen: under the cover by P-2",
    "2031-04-02 10:09 rear-axle-nut checked mark seen by P-3",
    "2031-04-02 10:10 slack measured 37 mm ± 0.5 mm at mid-span under posture=side stand by P-2",
    "2031-04-02 10:11 wear measured pins 19, length 287.2 mm at link 3 under posture=wheels, again by P-2",
    "2031-04-02 10:12 tab-washer fitted used washer 18 mm lot L-7 with size=525, links=112 by P-2",
    "2031-04-02 10:13 conceded no-wrench-fits on rear axle nut until 2031-05-01: BASIS, LIMIT by P-1",
    "2031-04-02 10:15 released by P-1",
    "2031-04-02 10:20 handed over at 12010 km with stops: fetched by P-1",
    "2031-04-02 10:21 ridden to 12040 km, sure: it pulls evenly by owner",
    "2031-04-02 10:22 re-checked at 12100 km: all well by P-2",
    "2031-04-02 10:23 line 1 struck: wrong nut by P-2",
    "2031-04-02 10:24 V-1 rear-axle-nut reported loosened: tyre changed elsewhere by owner",
    "2031-04-02 10:25 clock",
)


def _photos() -> tuple[bytes, ...]:
    """A label's symbol as PNG, JPEG and WebP."""
    from torqueaudit_plugins.qr_labels.calc.symbol import draw_symbol

    symbol = draw_symbol("http://yard.local:8080/r/r2c7cnmtf3679xfryjc", "M")
    picture = symbol.resize((symbol.width * 4, symbol.height * 4)).convert("L")
    photos = []
    for kind in ("PNG", "JPEG", "WEBP"):
        picture.save(target := BytesIO(), kind)
        photos.append(target.getvalue())
    return tuple(photos)


def readers(book: Path) -> dict[str, Reader]:
    """Every reader, those of cards and commands on a book."""
    shop = Shop(book)
    words = {name: Reader(corpus, read, 30) for name, (corpus, read) in _of_words().items()}
    procedures = tuple(each.read_text("utf-8") for each in sorted((ROOT / "examples").rglob("*.toml")))
    stocks = tuple(map(stock_text, stock_names()))
    return words | {
        "entries": Reader((ENTRY,), _entry, 40),
        "json": Reader((ENTRY, '{"a":[1,true,"x"]}'), _json, 40),
        "checkpoints": Reader((NOTE, SEALED), checkpoint_of, 30),
        "notes": Reader((NOTE,), note_of, 30),
        "proofs": Reader((PROOF,), _proof, 30),
        "procedures": Reader(procedures, _toml, 12),
        "mappings": Reader((LOG_MAPPING,), lambda text: read_mapping(text, _plugins().units), 12),
        "logs": Reader((LOG_CSV, LOG_JSON), _log, 12),
        "mappings of lists": Reader(LIST_MAPPINGS, lambda text: read_move_mapping(text, _plugins().units), 12),
        "lists": Reader(LISTS, _list, 12),
        "stocks": Reader(stocks, lambda text: read_stock("own", text), 20),
        "cards": Reader(CARDS, shop.card, 8),
        "commands": Reader(_commands(), shop.command, 10),
        "photos": Reader(_photos(), read_photo, 2),
        "photos of work": Reader(_photos()[:2], make_harmless, 2),
    }


def shares(known: Mapping[str, Reader], count: int) -> dict[str, int]:
    """How many of so many tries each reader gets, one at least."""
    whole = sum(reader.share for reader in known.values())
    return {name: max(1, count * reader.share // whole) for name, reader in known.items()}
