"""Photos of work at the bench: taken, looked at, blacked out, kept; and shown to nobody who is not signed in."""

import shutil
from datetime import UTC, datetime
from hashlib import sha256
from html.parser import HTMLParser
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from torqueaudit.book.places import photos_of
from torqueaudit.photo import Harmless
from torqueaudit.web.bench.waiting import MOST_BYTES, MOST_OF_ONE, Taken, Waiting

from .phone import Forms, LetIn

MARK = "job/1/mark/rear-axle-nut?look=1"


def jpeg(width: int = 640, height: int = 480, comment: bytes = b"Quillerhof 7") -> bytes:
    """A photo as a telephone sends it."""
    target = BytesIO()
    Image.new("RGB", (width, height), (200, 190, 40)).save(target, "JPEG", comment=comment)
    return target.getvalue()


@pytest.fixture
def clock(worked: tuple[Path, datetime]) -> list[datetime]:
    """When the work of job 1 was done."""
    return [worked[1]]


@pytest.fixture
def book(worked: tuple[Path, datetime], tmp_path: Path) -> Path:
    """A book with a job whose nut is tight."""
    return Path(shutil.copy(worked[0], tmp_path / "yard.book"))


@pytest.fixture
def phone(let_in: LetIn) -> Any:
    """Signed in."""
    return let_in().sign_in("P-2")


class Fields(HTMLParser):
    """The fields that can be blacked out."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.areas: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = {name: value or "" for name, value in attrs}
        if tag == "input" and told.get("name") == "black":
            self.areas.append(told["value"])


def entries(yard: Any) -> list[Any]:
    """The photographs that the job tells of."""
    return [each for each in yard.workshop.book.entries("job/1") if each.kind == "photographed.1"]


def small_of(yard: Any) -> str:
    """Where the small one of the first photo is."""
    (entry, *_) = entries(yard)
    return f"photo/{entry.said['digest']}/small/{entry.judged['small']}"


def files(book: Path) -> list[str]:
    """What lies in the folder of photos."""
    return sorted(file.name for file in photos_of(book).iterdir()) if photos_of(book).exists() else []


def test_a_photo_is_looked_at_before_it_is_kept(phone: Any, yard: Any, book: Path) -> None:
    """Nothing is on the disk until then; what is kept is what was shown, and says by which door it came."""
    phone.open(MARK).send_photo("Look at the photo", jpeg())
    assert (200, []) == (phone.status, files(book))
    assert "No plate and no face may be on it" in phone.text
    waits = phone.address.rpartition("=")[2]
    shown = phone.open(f"photo/waiting/{waits}").body
    assert b"Quillerhof" not in shown
    phone.open(f"job/1/photo/rear-axle-nut?waits={waits}").tap("Keep it", why="the line is whole")
    (entry,) = entries(yard)

    assert sha256(shown).hexdigest() == entry.said["digest"]
    assert (["rear-axle-nut"], "the line is whole") == (entry.said["of"], entry.words["why"])
    assert ("page", "PIN", "D-1") == tuple(entry.judged[each] for each in ("door", "proof", "device"))
    assert f"photo {entry.said['digest'][:8]} of rear axle nut kept" in phone.text
    assert [f"{entry.said['digest']}.jpg", f"{entry.said['digest']}.small.jpg"] == files(book)


def test_fields_are_black_in_what_is_kept(phone: Any, yard: Any) -> None:
    """One of 6 × 4 that lie over a photo of this shape; the rest is as it was."""
    phone.open(MARK).send_photo("Look at the photo", jpeg())
    areas = Fields(phone.page).areas
    assert 6 * 4 == len(areas) == len(set(areas))
    phone.tap("Keep it", black=areas[7])
    digest = entries(yard)[0].said["digest"]
    kept = Image.open(BytesIO(phone.open(f"photo/{digest}").body))

    assert (0, 0, 0) == kept.getpixel((int(1.5 * 640 / 6), int(1.5 * 480 / 4)))
    assert (200, 190, 40) == tuple(round(each / 10) * 10 for each in kept.getpixel((320, 400)))  # type: ignore[union-attr]


@pytest.mark.parametrize(("size", "rows"), [((480, 640), 8), ((640, 640), 6), ((900, 100), 1), ((100, 900), 8)])
def test_the_fields_are_about_square(phone: Any, size: tuple[int, int], rows: int) -> None:
    """Six in a row, of whatever shape the photo is."""
    phone.open(MARK).send_photo("Look at the photo", jpeg(*size))
    assert 6 * rows == len(Fields(phone.page).areas)


def test_a_photo_of_several_pieces_of_work(phone: Any, yard: Any) -> None:
    """Ticked below it."""
    phone.open(MARK).send_photo("Look at the photo", jpeg())
    phone.tap("Keep it", also="bike-secured")
    phone.open("job/1/work")

    assert ["rear-axle-nut", "bike-secured"] == entries(yard)[0].said["of"]
    assert 2 == phone.page.count(f"photo/{entries(yard)[0].said['digest']}/small")


def test_the_same_form_sent_twice_keeps_one(phone: Any, yard: Any) -> None:
    """A double tap: the second time nothing waits any more, and what was recorded is shown."""
    phone.open(MARK).send_photo("Look at the photo", jpeg())
    address, (form, button) = phone.address, phone.form_of("Keep it")
    phone.send(form, button, {})
    phone.address = address
    phone.send(form, button, {})

    assert (200, 1) == (phone.status, len(entries(yard)))
    assert "of rear axle nut kept" in phone.text


@pytest.mark.parametrize(("ago", "at"), [("", "12:00:00"), ("0", "12:00:00"), ("95", "10:25:00")])
def test_a_photo_is_of_the_moment_at_which_it_was_taken(
    phone: Any, yard: Any, clock: list[datetime], ago: str, at: str
) -> None:
    """Without a connection it came 95 minutes later; then somebody looked at it for seven minutes."""
    clock[0] = datetime(2031, 4, 2, 12, 0, tzinfo=UTC)
    phone.sign_in("P-2").open(MARK).send_photo("Look at the photo", jpeg(), more={"ago": ago})
    yard.later(minutes=7)
    phone.tap("Keep it")

    assert [f"2031-04-02T{at}Z"] == [each.happened_at for each in entries(yard)]
    assert ["2031-04-02T12:07:00Z"] == [each.recorded_at for each in entries(yard)]


def test_a_photo_of_no_moment_that_a_record_may_speak_of_is_refused(phone: Any, yard: Any, book: Path) -> None:
    """In a sentence, and nothing of it waits."""
    phone.open(MARK).send_photo("Look at the photo", jpeg(), more={"ago": "600000"})

    assert (422, [], []) == (phone.status, entries(yard), files(book))
    assert "look at the number" in phone.text


def test_a_photo_that_is_thrown_away_is_nowhere(phone: Any, yard: Any, book: Path) -> None:
    """And is shown no more."""
    phone.open(MARK).send_photo("Look at the photo", jpeg())
    waits = phone.address.rpartition("=")[2]
    phone.tap("Throw it away")

    assert (200, [], []) == (phone.status, entries(yard), files(book))
    assert 404 == phone.open(f"photo/waiting/{waits}").status
    assert "waits here no longer; take it anew" in phone.open(f"job/1/photo/rear-axle-nut?waits={waits}").text


def test_words_that_name_somebody_are_refused_and_the_photo_waits_on(phone: Any, yard: Any) -> None:
    """With what was chosen as it was."""
    phone.open(MARK).send_photo("Look at the photo", jpeg())
    areas = Fields(phone.page).areas
    phone.tap("Keep it", why="QX 4711 Z from behind", black=areas[3])

    assert (422, []) == (phone.status, entries(yard))
    assert "holds a name or number of V-1" in phone.text
    assert f'value="{areas[3]}" aria-label="Black: row 1, column 4" checked' in phone.page
    phone.tap("Keep it", why="from behind")
    assert 1 == len(entries(yard))


@pytest.mark.parametrize(
    ("photo", "says"),
    [
        (b"", "No photo was sent; take one, or choose one"),
        (
            b"<html><script>alert(1)</script>",
            "This file is no photo that can be kept; send a JPEG or PNG that is whole",
        ),
        (jpeg()[:300], "This file is no photo that can be kept"),
        (b"GIF89a" + bytes(400), "This file is no photo that can be kept"),
    ],
    ids=["empty", "page", "cut", "gif"],
)
def test_what_is_no_photo_is_one_sentence(phone: Any, yard: Any, photo: bytes, says: str) -> None:
    """With the form to send another."""
    phone.open(MARK).send_photo("Look at the photo", photo)

    assert (422, []) == (phone.status, entries(yard))
    assert says in phone.text
    phone.send_photo("Look at the photo", jpeg()).tap("Keep it")
    assert 1 == len(entries(yard))


def test_work_that_there_is_not_takes_no_photo(phone: Any) -> None:
    """One sentence, before the photo is read."""
    phone.open(MARK)
    form, _ = phone.form_of("Look at the photo")
    phone.page = phone.page.replace("photo/rear-axle-nut", "photo/front-axle-nut")
    phone.send_photo("Look at the photo", jpeg())

    assert form.action.endswith("job/1/photo/rear-axle-nut")
    assert phone.status in {404, 422}
    assert "this job has no such work" in phone.text


def test_what_a_photo_carries(phone: Any, yard: Any) -> None:
    """Its kind is fixed, no browser guesses at it or keeps it, and it is shown in the page."""
    phone.open(MARK).send_photo("Look at the photo", jpeg()).tap("Keep it")
    digest = entries(yard)[0].said["digest"]
    for path in (f"photo/{digest}", small_of(yard)):
        phone.open(path)
        assert 200 == phone.status
        assert "image/jpeg" == phone.headers["Content-Type"]
        assert "nosniff" == phone.headers["X-Content-Type-Options"]
        assert "no-store" == phone.headers["Cache-Control"]
        assert "inline" == phone.headers["Content-Disposition"]


@pytest.mark.parametrize(
    "path", ["photo/" + "0" * 64, "photo/..%2fyard", "photo/%00", "photo/x/small/x", "photo/waiting/x"]
)
def test_what_is_no_photo_here_is_told(phone: Any, path: str) -> None:
    """Also an address that would lead out of the folder."""
    assert 404 == phone.open(path).status


def test_nobody_sees_a_photo_who_is_not_signed_in(phone: Any, yard: Any, let_in: LetIn) -> None:
    """Neither what is kept nor what waits; and what waits nobody else either."""
    phone.open(MARK).send_photo("Look at the photo", jpeg()).tap("Keep it")
    digest = entries(yard)[0].said["digest"]
    phone.open(MARK).send_photo("Look at the photo", jpeg(200, 200))
    waits = phone.address.rpartition("=")[2]
    device, other, stranger = let_in("other"), let_in("third").sign_in("P-1"), let_in("lost")
    stranger.cookies.clear()

    for path in (f"photo/{digest}", small_of(yard), f"photo/waiting/{waits}"):
        assert (403, 303) == (stranger.asked_for(path, "GET"), device.asked_for(path, "GET"))
    assert (200, 404) == (other.asked_for(f"photo/{digest}", "GET"), other.asked_for(f"photo/waiting/{waits}", "GET"))
    token = yard.workshop.record("1").token
    assert digest not in stranger.open(f"r/{token}/record").page


def test_an_erased_photo_is_told_and_not_shown(phone: Any, yard: Any) -> None:
    """In the list of everything of the job."""
    from torqueaudit.model.act import Say
    from torqueaudit.workshop.jobs.photos import erase_photo

    phone.open(MARK).send_photo("Look at the photo", jpeg()).tap("Keep it")
    digest = entries(yard)[0].said["digest"]
    erase_photo(yard.workshop, "1", digest, "a face was to be seen", Say("P-1"))

    assert 404 == phone.open(f"photo/{digest}").status
    assert "Photo erased on" in phone.open("job/1/work").text
    assert digest not in phone.page


@pytest.fixture
def kept(phone: Any, yard: Any) -> str:
    """The address of the page of a photo of job 1, and nobody else has one."""
    phone.open(MARK).send_photo("Look at the photo", jpeg()).tap("Keep it", why="the line is whole")
    return f"job/1/photos/{entries(yard)[0].said['digest']}"


def test_a_foreman_erases_a_photo_on_its_page(phone: Any, yard: Any, book: Path, kept: str) -> None:
    """As an entry that says why, by which door and with what proof; the form sent twice erases once."""
    assert f"../../{kept}" in Forms(phone.open("job/1/work").page).links.values()
    phone.open(kept)
    assert "rear axle nut" in phone.text
    assert ": the line is whole" in phone.text
    phone.sign_in("P-1").open(kept)
    form, button = phone.form_of("Erase it for good")
    for _ in range(2):
        phone.open(kept).send(form, button, {"why": "a plate was to be read"})
        assert (200, True) == (phone.status, "erased by P-1: a plate was to be read" in phone.text)
    erased = [each for each in yard.workshop.book.entries("job/1") if each.kind == "photo_erased.1"]

    assert [("P-1", "page", "PIN", "D-1")] == [
        (each.who, *(each.judged[told] for told in ("door", "proof", "device"))) for each in erased
    ]
    assert [] == files(book)
    assert "erased on 2031-04-02 by P-1." in phone.open(kept).text
    assert ("<img" in phone.page, "Erase it" in phone.text) == (False, False)


def test_a_photo_is_erased_by_nobody_else_and_never_without_a_reason(
    phone: Any, yard: Any, book: Path, kept: str
) -> None:
    """A mechanic has no button, and the address alone turns them away; a foreman is asked why."""
    erase = f"{kept}/erase"
    assert "Erase" not in phone.open(kept).page
    assert 403 == phone.asked_for(erase, "POST")
    phone.sign_in("P-1").open(kept)
    form, button = phone.form_of("Erase it for good")
    form.required.clear()
    before = (yard.workshop.book.head(), files(book))
    for why, says in (("", "Say why the photo is erased"), ("QX 4711 Z", "holds a name or number of V-1")):
        phone.open(kept).send(form, button, {"why": why})
        assert (422, True) == (phone.status, says in phone.text)
    assert before == (yard.workshop.book.head(), files(book))


def test_a_job_has_the_pages_of_its_own_photos_alone(phone: Any, yard: Any, procedures: Path, kept: str) -> None:
    """Also where another job has the photo."""
    yard.open(procedures / "front-wheel.toml")

    assert 404 == phone.open(kept.replace("job/1", "job/2")).status
    assert "Job 2 has no such photo" in phone.text
    assert 404 == phone.open(f"job/1/photos/{'0' * 64}").status


def test_a_signed_in_device_may_send_a_large_photo_of_a_label(phone: Any) -> None:
    """More bytes than a form of words has: the token of the form is looked for behind them."""
    phone.open("bench")
    phone.send_photo("Read the label", jpeg(4000, 3000) + bytes(200_000))

    assert 422 == phone.status
    assert "No label was read in this photo" in phone.text


def picture(size: int) -> Any:
    """A photo of so many bytes."""
    return Taken(Harmless(bytes(size), b""), datetime(2031, 4, 2, tzinfo=UTC))


def test_the_oldest_photo_of_a_session_gives_way() -> None:
    """Of two that wait."""
    waiting = Waiting()
    for number in range(MOST_OF_ONE + 1):
        waiting.put(f"{number}", "one", picture(1))
    waiting.put("x", "other", picture(1))

    assert [None, *[picture(1)] * MOST_OF_ONE] == [waiting.get(f"{n}", "one") for n in range(MOST_OF_ONE + 1)]
    assert (picture(1), None) == (waiting.get("x", "other"), waiting.get("x", "one"))


def test_no_more_bytes_wait_than_there_is_room_for() -> None:
    """Of many sessions; the newest always waits."""
    waiting = Waiting()
    for number in range(6):
        waiting.put(f"{number}", f"{number}", picture(MOST_BYTES // 4))

    assert [False] * 2 + [True] * 4 == [waiting.get(f"{n}", f"{n}") is not None for n in range(6)]
    waiting.put("large", "x", picture(MOST_BYTES + 1))
    assert waiting.get("large", "x") is not None
    assert waiting.get("5", "5") is None


@pytest.mark.parametrize(
    ("more", "kind", "status", "says"),
    [
        (25 * 2**20, {}, 413, "A photo may have 24 MB. Take it smaller."),
        (0, {"Content-Type": "application/x-www-form-urlencoded"}, 415, "What was sent is no form of this page"),
    ],
    ids=["too large", "no form"],
)
def test_a_body_that_is_not_taken_says_why(
    phone: Any, yard: Any, more: int, kind: dict[str, str], status: int, says: str
) -> None:
    """Before the token of the form is looked for in it, which is not read then."""
    phone.open(MARK).send_photo("Look at the photo", jpeg() + bytes(more), headers=kind)

    assert (status, []) == (phone.status, entries(yard))
    assert says in phone.text
