"""The owner's pages as files: which are written, what they say, and what is never touched."""

import html
import re
from collections.abc import Callable
from datetime import date
from email.message import EmailMessage
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import parse_qs, urlsplit

import pytest
import vobject

from torqueaudit.model.act import Say
from torqueaudit.model.job.acts import Permission
from torqueaudit.model.job.facts import MarkState
from torqueaudit.model.job.road import Half
from torqueaudit.web.publish.publishing import Published
from torqueaudit.web.publish.written import key_of
from torqueaudit.workshop.jobs.concessions import concede
from torqueaudit.workshop.jobs.fasteners import see_mark
from torqueaudit.workshop.jobs.strikes import strike
from torqueaudit.workshop.judged.job_view import show_job
from torqueaudit.workshop.recheck.asking import ask_day
from torqueaudit.workshop.register.settings import settle
from torqueaudit.workshop.vehicles.gone import gone

from .conftest import MAIL

if TYPE_CHECKING:
    from tests.web.conftest import Yard

MOST = 10_000  # bytes of a page, as of the one that is served
Publish = Callable[[], Published]


def files_of(folder: Path) -> dict[str, tuple[int, bytes]]:
    """Each file by its path within the folder: when it was written, and what it holds."""
    return {
        str(path.relative_to(folder)): (path.stat().st_mtime_ns, path.read_bytes())
        for path in folder.rglob("*")
        if path.is_file()
    }


def words(text: str) -> str:
    """What is read on a page."""
    body = text.partition("</style>")[2].partition("<script>")[0]
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", body)).split())


def page(folder: Path, token: str) -> str:
    """The page of a label."""
    return (folder / "r" / token / "index.html").read_text(encoding="utf-8")


def test_the_labels_own_address_has_its_folder(yard: "Yard", left: str, folder: Path, published: Publish) -> None:
    """A page and a calendar for the job; the folder of all labels says nothing of them."""
    published()
    token = yard.token(left)

    assert {".published.jsonl", "r/index.html", f"r/{token}/index.html", f"r/{token}/re-check.ics"} == set(
        files_of(folder)
    )
    assert token not in (folder / "r/index.html").read_text() + (folder / ".published.jsonl").read_text()
    calendar = vobject.readOne((folder / f"r/{token}/re-check.ics").read_text())
    assert "2031-04-17" == calendar.vevent.dtstart.value.isoformat()
    assert f"https://labels.example/r/{token}" == calendar.vevent.url.value


def test_without_a_script_it_says_until_when_and_from_when(
    yard: "Yard", left: str, folder: Path, published: Publish
) -> None:
    """All of it in words with its year, so that it is never wrong when it is old."""
    published()
    read = words(page(folder, yard.token(left)))

    expected = (
        "May I ride? Until Thursday 17 April 2031 or 12 100 km, whichever comes first: You may ride Nothing speaks",
        "From Thursday 17 April 2031 on: Come back It is time for the re-check.",
        "From Friday 25 April 2031 on: Come back The re-check is overdue.",
        "When to come back by Thursday 17 April 2031 or at 12 100 km Whichever comes first.",
        "left us on Thursday 3 April 2031 Written on Thursday 3 April 2031. What was done since is not on this page.",
    )
    assert [] == [each for each in expected if each not in read.replace("\N{NO-BREAK SPACE}", " ")], read


def test_nothing_of_the_inside_and_nothing_from_elsewhere(
    yard: "Yard", left: str, folder: Path, published: Publish, personal: tuple[str, ...]
) -> None:
    """No person, wrench, torque or finding; one script and one style, and these by their digest alone."""
    published()
    text = page(folder, yard.token(left))
    inside = (*personal, "P-1", "P-2", "W-1", "N·m", "Job 1", "witness mark", "<form", yard.workshop.book.head().hash)

    assert [] == [word for word in inside if word in text]
    assert [] == re.findall(r"\s(?:on\w+|style)=|https?://(?!www\.w3\.org/2000/svg)", text)
    assert ["script"] == re.findall(r"<(script|img|link|iframe)\b", text)
    policy = html.unescape(re.search(r'Content-Security-Policy" content="([^"]+)"', text)[1])  # type: ignore[index]
    assert policy.startswith("default-src 'none'; style-src 'sha256-")
    assert "unsafe" not in policy
    assert len(text.encode()) < MOST


def test_it_stays_under_10_kb_with_all_that_may_stand_on_it(
    yard: "Yard", left: str, folder: Path, published: Publish, procedures: Path
) -> None:
    """Two jobs on it, a concession that will end, a day that was asked for, and long names."""
    yard.mark(left, "rear-axle-nut", MarkState.UNREADABLE, "chain grease")
    found = next(each for each in show_job(yard.workshop, left).stops if each.concedable)
    ends = date(2031, 6, 30)
    permission = Permission(
        rule=found.rule, subject=found.about.key, basis="looked at", limit="no more than 500 km", expires_on=ends
    )
    concede(yard.workshop, left, permission, Say(yard.foreman))
    second = yard.open(procedures / "front-wheel.toml")
    yard.work(second)
    yard.leave(second)
    ask_day(yard.workshop, second, yard.workshop.today(), Half.AFTERNOON, Say("owner"))
    long = {
        "mail_address": f"{'workshop' * 7}@{'label.' * 8}example",
        "workshop_address": "http://yard.workshop.example",
    }
    settle(yard.workshop, long, Say(yard.foreman))
    published()
    text = page(folder, yard.token(left))

    assert "Do not ride" in text
    assert 4 == text.count("<div data-until=") + text.count("<div data-from=") - text.count(" hidden") - 1
    assert len(text.encode()) < MOST


def test_what_has_forms_elsewhere_opens_the_owners_mail(
    yard: "Yard", left: str, folder: Path, published: Publish
) -> None:
    """Kilometres, a day, and that somebody loosened it, each with the label's address (RFC 6068)."""
    published()
    links = [html.unescape(each) for each in re.findall(r'href="(mailto:[^"]+)"', page(folder, yard.token(left)))]
    told = [(urlsplit(link).path, parse_qs(urlsplit(link).query)) for link in links]

    assert ["I have ridden", "I ask for a day", "Somebody loosened it"] == [
        fields["subject"][0].removeprefix("red Kestrel: ") for _, fields in told
    ]
    for to, fields in told:
        mail = EmailMessage()
        mail["To"] = to.replace("%2B", "+")
        assert MAIL == mail["To"].addresses[0].addr_spec
        assert fields["body"][0].endswith(f"\r\n\r\nLabel: https://labels.example/r/{yard.token(left)}")


def test_only_what_changed_is_written_anew(yard: "Yard", left: str, folder: Path, published: Publish) -> None:
    """Nothing at all on another day; one page when the day has come, and that page alone."""
    first = published()
    before = files_of(folder)
    yard.later(days=2)
    second = published()

    assert (3, 0) == (first.written, first.kept)
    assert 0 == second.written
    assert before == files_of(folder)

    yard.later(days=12)
    third = published()
    assert (1, f"r/{yard.token(left)}/index.html") == (third.written, *changed(before, files_of(folder)))
    assert words(page(folder, yard.token(left))).count("You may ride") == 0


def changed(before: dict[str, tuple[int, bytes]], after: dict[str, tuple[int, bytes]]) -> tuple[str, ...]:
    """The pages that differ."""
    return tuple(name for name, told in after.items() if before.get(name) != told and name.endswith(".html"))


def test_what_is_told_of_a_vehicle_changes_its_pages_alone(
    yard: "Yard", left: str, folder: Path, published: Publish, procedures: Path
) -> None:
    """A broken line stops the ride on every label of the vehicle; the calendar's day stays."""
    second = yard.open(procedures / "front-wheel.toml")
    yard.work(second)
    yard.leave(second)
    published()
    before = files_of(folder)
    yard.later(hours=3)
    see_mark(yard.workshop, left, "rear-axle-nut", MarkState.DISTURBED, "", Say("owner"))
    published()

    tokens = [yard.token(job) for job in (left, second)]
    assert {f"r/{token}/index.html" for token in tokens} == set(changed(before, files_of(folder)))
    for token in tokens:
        assert "May I ride? Do not ride" in words(page(folder, token))


def test_withdrawn_and_gone_ones_say_so_and_their_day_is_cancelled(
    yard: "Yard", left: str, folder: Path, published: Publish
) -> None:
    """Nothing vanishes: the page says it, and who opens the file of the day again is told that it is off."""
    published()
    token = yard.token(left)
    gone(yard.workshop, yard.vehicle, "sold", Say(yard.foreman))
    yard.later(hours=1)
    published()

    assert "Its re-check was never done, and we no longer look after it." in words(page(folder, token))
    calendar = folder / f"r/{token}/re-check.ics"
    event = vobject.readOne(calendar.read_text()).vevent
    assert "CANCELLED" == event.status.value
    assert not hasattr(event, "valarm")
    assert 0 == published().written


def test_a_withdrawn_job_says_so(yard: "Yard", procedures: Path, folder: Path, published: Publish) -> None:
    """Its label may still be scanned."""
    job = yard.open(procedures / "front-wheel.toml")
    published()
    strike(yard.workshop, job, yard.workshop.record(job).opened.entry, "opened twice", Say(yard.foreman))
    published()

    assert "The work of this label was withdrawn." in words(page(folder, yard.token(job)))


def test_somebody_elses_file_stays(yard: "Yard", left: str, folder: Path, published: Publish) -> None:
    """Where a label's page should be, beside it, and in the folder itself; ours that was changed is put right."""
    token = yard.token(left)
    (folder / "r" / token).mkdir(parents=True)
    theirs = [folder / "index.html", folder / f"r/{token}/index.html", folder / f"r/{token}/photo.jpg"]
    for each in theirs:
        each.write_text("ours it is not")
    done = published()

    assert (theirs[1],) == done.foreign
    assert (theirs[1],) == published().foreign, "it is told until it is moved away"
    assert ["ours it is not"] * 3 == [each.read_text() for each in theirs]
    calendar = folder / f"r/{token}/re-check.ics"
    right = calendar.read_bytes()
    calendar.write_text("spoilt")
    published()
    assert right == calendar.read_bytes()


@pytest.mark.parametrize("harm", [Path.unlink, lambda path: path.write_text("gone")], ids=["lost", "written over"])
@pytest.mark.parametrize("which", ["r/{token}/index.html", "r/{token}/re-check.ics", "r/index.html"])
def test_a_page_that_is_lost_or_written_over_is_put_back(
    yard: "Yard", left: str, folder: Path, published: Publish, which: str, harm: Callable[[Path], object]
) -> None:
    """Also where nothing was recorded since."""
    published()
    path = folder / which.format(token=yard.token(left))
    expected = path.read_bytes()
    harm(path)
    again = published()

    assert (1, expected) == (again.written, path.read_bytes())
    assert 0 == published().written


def test_a_label_of_another_book_is_not_shown_any_more(
    yard: "Yard", left: str, folder: Path, published: Publish
) -> None:
    """Its page becomes one that says so, and says nothing of riding."""
    published()
    strange = folder / f"r/{yard.token(left)}"
    for file in strange.iterdir():
        moved = folder / "r" / "2222222222222222222" / file.name
        moved.parent.mkdir(exist_ok=True)
        moved.write_bytes(file.read_bytes())
    listed = (folder / ".published.jsonl").read_text().splitlines()
    own, other = key_of(yard.token(left)), key_of("2222222222222222222")
    listed = [*listed[1:], *(line.replace(own, other) for line in listed if own in line)]
    (folder / ".published.jsonl").write_text("\n".join(listed) + "\n")
    published()

    assert "Nothing is shown here" in page(folder, "2222222222222222222")
    assert "Until" not in words(page(folder, "2222222222222222222"))
    assert "You may ride" in words(page(folder, yard.token(left)))


def test_labels_in_capitals_find_their_page(yard: "Yard", left: str, folder: Path, published: Publish) -> None:
    """On a web space that tells capitals from small letters the same page lies under both."""
    settle(yard.workshop, {"upper_case_labels": True}, Say(yard.foreman))
    published()
    token = yard.token(left)

    for name in ("index.html", "re-check.ics"):
        assert (folder / "r" / token / name).read_bytes() == (folder / "R" / token.upper() / name).read_bytes()


def test_a_setting_changes_every_page(yard: "Yard", left: str, folder: Path, published: Publish) -> None:
    """The telephone stands on each; the workshop's own address leads whoever scans there to the record."""
    published()
    settle(yard.workshop, {"telephone": "+99 555 11 11", "workshop_address": "http://yard.local"}, Say(yard.foreman))
    published()
    text = page(folder, yard.token(left))

    assert "tel:+995551111" in text
    assert f'href="http://yard.local/r/{yard.token(left)}/record"' in text
