"""Many photos sent at once, while somebody else goes on working: each is answered, and no page waits long."""

import os
import statistics
import threading
import time
from collections import Counter
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from torqueaudit.book.places import photos_of

from .phone import LetIn

MANY, SENDERS = 500 if "TORQUEAUDIT_PROOF" in os.environ else 24, 12
MOST_MS = 500  # of a page, in the median, with photos being read beside it


@pytest.fixture
def photo(tmp_path: Path) -> bytes:
    """12 million pixels, as a telephone takes them."""
    Image.effect_noise((4000, 3000), 30).convert("RGB").save(tmp_path / "mark.jpg", quality=60)
    return (tmp_path / "mark.jpg").read_bytes()


@pytest.mark.proof
def test_others_work_while_many_photos_are_sent(
    let_in: LetIn,
    yard: Any,
    procedures: Path,
    book: Path,
    photo: bytes,
    record_property: Callable[[str, object], None],
) -> None:
    """What finds no place is told to come again in ten seconds; nothing is kept that nobody looked at.

    500 photos in `make proof`.
    """
    yard.work(yard.open(procedures / "final-drive.toml"))
    phones = [let_in(f"phone {number}").sign_in("P-2") for number in range(SENDERS)]
    worker = let_in("tablet").sign_in("P-1")
    answers, times, over = Counter[int](), list[float](), threading.Event()

    def send(phone: Any, many: int) -> None:
        phone.open("job/1/mark/rear-axle-nut?look=1")
        taking = phone.page, phone.address
        for _ in range(many):
            phone.page, phone.address = taking
            try:
                phone.send_photo("Look at the photo", photo)
            except OSError:  # a thirteenth connection of one address makes room for the next
                answers[0] += 1
            else:
                answers[phone.status] += 1

    def work() -> None:
        while not over.is_set():
            begun = time.perf_counter()
            worker.open("job/1")
            times.append((time.perf_counter() - begun) * 1000)
            assert worker.status == 200
            time.sleep(0.05)

    shares = [MANY // SENDERS + (number < MANY % SENDERS) for number in range(SENDERS)]
    threads = [threading.Thread(target=send, args=each) for each in zip(phones, shares, strict=True)]
    working = threading.Thread(target=work)
    for each in (working, *threads):
        each.start()
    for each in threads:
        each.join()
    over.set()
    working.join()
    median = statistics.median(times)
    record_property("figures", f"{MANY} photos at once: {dict(answers)}; {len(times)} pages, median {median:.0f} ms")

    assert MANY == answers.total()
    assert {200, 503, 0} >= set(answers)
    assert answers[200] > 0
    assert median < MOST_MS
    assert not photos_of(book).exists()
    assert (
        "No plate and no face"
        in phones[0].open("job/1/mark/rear-axle-nut?look=1").send_photo("Look at the photo", photo).text
    )
