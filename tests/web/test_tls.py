"""TLS by an authority of the workshop's own, held against OpenSSL as Python's ssl has it, over real sockets."""

import os
import socket
import ssl
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager, suppress
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING, Any
from urllib.parse import urlsplit

import pytest
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.hazmat.primitives.serialization import (
    BestAvailableEncryption,
    Encoding,
    NoEncryption,
    PrivateFormat,
    load_pem_private_key,
)
from cryptography.x509 import CertificateBuilder, ExtendedKeyUsage, load_der_x509_certificate, load_pem_x509_certificate
from cryptography.x509.oid import ExtendedKeyUsageOID
from waitress import wasyncore
from waitress.adjustments import Adjustments
from waitress.task import ThreadedTaskDispatcher

from torqueaudit.book.errors import BookError
from torqueaudit.web.app import create_app
from torqueaudit.web.gate import BOUNDS, Bounds, Server, Speaks
from torqueaudit.web.tls.authority import Authority, NoAuthority, authority_of, names_of
from torqueaudit.web.tls.certificates import Certificate, new_authority, new_server
from torqueaudit.web.tls.encrypted import Encryption

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIEnvironment

HERE = frozenset({"127.0.0.1", "bench.example"})

Run = Callable[..., str]


@pytest.fixture
def ticks() -> list[datetime]:
    """A clock that moves when told to. It begins today, as OpenSSL looks at the clock of the machine."""
    return [datetime.now(UTC).replace(microsecond=0)]


@pytest.fixture
def authority(tmp_path: Path, ticks: list[datetime]) -> Authority:
    return Authority(tmp_path / "elsewhere" / "tls", HERE, lambda: ticks[0])


@pytest.fixture
def until() -> Iterator[ExitStack]:
    with ExitStack() as stack:
        yield stack


def trusting(one: Certificate) -> ssl.SSLContext:
    """What a phone that accepted an authority asks of a server. Strict, as RFC 5280 is read by newer phones."""
    context = ssl.create_default_context(cadata=one.der)
    context.verify_flags |= ssl.VERIFY_X509_STRICT
    return context


@contextmanager
def spoken(address: str, context: ssl.SSLContext, name: str = "127.0.0.1") -> Iterator[ssl.SSLSocket]:
    """A connection to a server that is taken for another name or not."""
    place = (str(urlsplit(address).hostname), urlsplit(address).port or 0)
    with (
        socket.create_connection(place, timeout=20) as plain,
        context.wrap_socket(plain, server_hostname=name) as wrapped,
    ):
        yield wrapped


def ask(connection: socket.socket, *lines: str) -> str:
    """What is answered to a request, until the connection is closed."""
    connection.sendall("\r\n".join((*lines, "Host: localhost", "Connection: close", "", "")).encode())
    said = b""
    while part := connection.recv(65536):
        said += part
    return said.decode()


def tells(environ: "WSGIEnvironment", start: "StartResponse") -> list[bytes]:
    """An application that tells by which scheme it was asked, and who asked."""
    start("200 OK", [("Content-Type", "text/plain")])
    return [f"{environ['wsgi.url_scheme']} {environ['REMOTE_ADDR']}".encode()]


def test_who_accepted_the_authority_reads_pages_by_https(until: ExitStack, run: Run, authority: Authority) -> None:
    """By the address and by the name; the pages know that they are read by https."""
    address = run(until, tells, BOUNDS, Speaks(Encryption(authority)))
    context = trusting(authority.find_or_make())

    for name in HERE:
        with spoken(address, context, name) as connection:
            assert ask(connection, "GET / HTTP/1.1").endswith("\r\n\r\nhttps 127.0.0.1")


def test_an_answer_of_many_records_arrives_whole(until: ExitStack, run: Run, authority: Authority) -> None:
    """Three million bytes, fetched slowly at first, so that the server has to wait for the socket."""
    whole = bytes(range(256)) * 12_000

    def long(_environ: "WSGIEnvironment", start: "StartResponse") -> list[bytes]:
        start("200 OK", [])
        return [whole]

    address = run(until, long, BOUNDS, Speaks(Encryption(authority)))
    with spoken(address, trusting(authority.find_or_make())) as connection:
        connection.sendall(b"GET / HTTP/1.0\r\n\r\n")
        said = connection.recv(100)
        with socket.create_connection(("127.0.0.1", urlsplit(address).port or 0)):  # the loop goes round meanwhile
            while part := connection.recv(65536):
                said += part

    assert whole == said[said.index(b"\r\n\r\n") + 4 :]


@pytest.mark.parametrize(
    ("names", "name"),
    [
        (HERE, "else.example"),
        (HERE, "192.0.2.7"),
        (HERE, "::1"),
        (frozenset({"bench.example"}), "127.0.0.1"),
        (frozenset({"bench.example"}), "::1"),
        (frozenset({"127.0.0.1"}), "bench.example"),
        (frozenset({"::1"}), "127.0.0.1"),
    ],
)
def test_nobody_passes_for_another_address_by_its_key(names: frozenset[str], name: str, tmp_path: Path) -> None:
    """Its name constraints keep whoever stole the key from that; it is OpenSSL that says so."""
    stolen = new_authority(names, datetime.now(UTC))
    forged = tmp_path / "forged.pem"
    forged.write_bytes(new_server(stolen, frozenset({name}), datetime.now(UTC)).kept)
    serving = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    serving.load_cert_chain(forged)
    with socket.create_server(("127.0.0.1", 0)) as listening:
        thread = Thread(target=shake_hands, args=(listening, serving))
        thread.start()
        address = f"https://127.0.0.1:{listening.getsockname()[1]}"
        with pytest.raises(ssl.SSLCertVerificationError, match="permitted subtree violation"):
            spoken(address, trusting(stolen), name).__enter__()
        thread.join()


def test_the_names_below_a_name_are_its_own(tmp_path: Path) -> None:
    """RFC 5280, 4.2.1.10: labels that are put before a name satisfy its constraint. The documents say so."""
    one = new_authority(HERE, datetime.now(UTC))
    served(tmp_path, one, "x.bench.example")

    assert ["bench.example"] == one.hosts


def test_its_key_signs_for_servers_alone(tmp_path: Path) -> None:
    """RFC 5280, 4.2.1.12: whoever stole it proves to no server who they are, and signs no mail and no program."""
    one = new_authority(HERE, datetime.now(UTC))
    usage = load_der_x509_certificate(one.der).extensions.get_extension_for_class(ExtendedKeyUsage).value

    assert [ExtendedKeyUsageOID.SERVER_AUTH] == list(usage)
    served(tmp_path, one, "bench.example")


def served(folder: Path, authority: Certificate, name: str) -> None:
    """Be taken for a name, by a certificate that an authority signed."""
    kept = folder / "kept.pem"
    kept.write_bytes(new_server(authority, frozenset({name}), datetime.now(UTC)).kept)
    serving = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    serving.load_cert_chain(kept)
    with socket.create_server(("127.0.0.1", 0)) as listening:
        thread = Thread(target=lambda: serving.wrap_socket(listening.accept()[0], server_side=True).close())
        thread.start()
        with spoken(f"https://127.0.0.1:{listening.getsockname()[1]}", trusting(authority), name):
            thread.join()


def shake_hands(listening: socket.socket, serving: ssl.SSLContext) -> None:
    """Be a server until the other side has looked at the certificate."""
    plain, _ = listening.accept()
    with plain, pytest.raises((ssl.SSLError, ConnectionError)):
        serving.wrap_socket(plain, server_side=True).recv(1)


def test_the_authority_holds_ten_years_and_a_server_a_year(authority: Authority, ticks: list[datetime]) -> None:
    """A day of it lies in the past, for phones whose clock goes after."""
    one, (_, server) = authority.find_or_make(), authority.server()

    assert ticks[0] - timedelta(days=1) == one.begins == server.begins
    assert ticks[0] + timedelta(days=3652) == one.ends
    assert timedelta(days=365) == server.ends - server.begins


@pytest.mark.skipif(os.name == "nt", reason="reads the rights of POSIX")
def test_private_keys_are_for_their_owner_alone(authority: Authority, tmp_path: Path) -> None:
    """Folder and files; and what others may read is not used."""
    path, _ = authority.server()
    folder = tmp_path / "elsewhere" / "tls"
    rights = {each.name.partition("-")[0]: each.stat().st_mode & 0o777 for each in folder.iterdir()}
    assert {"authority": 0o600, "server": 0o600} == rights
    assert 0o700 == folder.stat().st_mode & 0o777

    path.chmod(0o640)
    with pytest.raises(NoAuthority, match=r"Others may read .*server-.*pem, which holds a private key; allow it to"):
        authority.server()


def test_a_sound_authority_is_not_called_spoilt_where_it_cannot_be_read(
    authority: Authority, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Nobody takes away what every phone accepted because a library is missing, or the disk refuses."""
    kept = authority.find_or_make()
    with monkeypatch.context() as without:
        without.setitem(sys.modules, "cryptography.x509", None)
        with pytest.raises(NoAuthority, match="No certificate can be read here: cryptography cannot be loaded"):
            authority.find()
    assert kept == authority.find()

    (tmp_path / "elsewhere" / "tls" / "authority-folder.pem").mkdir(mode=0o700)
    with pytest.raises(NoAuthority, match=r"authority-folder\.pem cannot be read: Is a directory"):
        authority.find()


def test_nothing_of_it_lies_where_the_book_is(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever copies the book's folder would take the key along."""
    monkeypatch.setenv("TORQUEAUDIT_SECRETS", str(book.parent / "secrets.json"))

    with pytest.raises(BookError, match="lies in the book's own folder"):
        authority_of(book, HERE, lambda: datetime.now(UTC))


def test_one_authority_serves_for_years_and_for_fewer_addresses(tmp_path: Path, ticks: list[datetime]) -> None:
    """A phone accepts it once; another address of the workshop needs another one, and the first is not lost by that."""
    first = Authority(tmp_path, HERE, lambda: ticks[0]).find_or_make()
    ticks[0] += timedelta(days=3000)
    fewer = Authority(tmp_path, frozenset({"bench.example"}), lambda: ticks[0]).find_or_make()
    other = Authority(tmp_path, HERE | {"192.168.77.1"}, lambda: ticks[0]).find_or_make()

    assert first == fewer
    assert first.fingerprint != other.fingerprint
    assert 2 == len(list(tmp_path.glob("authority-*")))


def test_an_authority_in_its_last_year_is_followed_by_another(authority: Authority, ticks: list[datetime]) -> None:
    """It could sign no whole year any more."""
    first = authority.find_or_make()
    ticks[0] += timedelta(days=3652 - 364)

    assert first.fingerprint != authority.find_or_make().fingerprint


def test_the_certificate_is_renewed_while_serving(
    until: ExitStack, run: Run, authority: Authority, ticks: list[datetime]
) -> None:
    """When a third of its time is left, not before; the authority stays, so no phone notices."""
    encryption = Encryption(authority)
    address = run(until, tells, BOUNDS, Speaks(encryption))
    context = trusting(authority.find_or_make())
    seen = []
    for days in (0, 242, 1):
        ticks[0] += timedelta(days=days)
        encryption.look()
        with spoken(address, without_times(context)) as connection:
            seen.append(sha256(connection.getpeercert(binary_form=True) or b"").hexdigest())

    assert seen[0] == seen[1] != seen[2]
    assert 1 == len(list(authority.server()[0].parent.glob("authority-*")))


def without_times(context: ssl.SSLContext) -> ssl.SSLContext:
    """The same, for a certificate that begins later than today."""
    context.verify_flags |= 0x200000  # X509_V_FLAG_NO_CHECK_TIME of OpenSSL, which Python gives no name
    return context


def test_a_renewal_that_fails_is_tried_again_and_stops_nobody(
    until: ExitStack, run: Run, authority: Authority, ticks: list[datetime]
) -> None:
    """The certificate that is shown holds for months yet."""
    encryption = Encryption(authority)
    path, _ = authority.server()
    address = run(until, tells, BOUNDS, Speaks(encryption))
    before = path.read_bytes()
    path.write_bytes(b"-----BEGIN spoilt")
    ticks[0] += timedelta(days=300)
    encryption.look()
    with spoken(address, trusting(authority.find_or_make())) as connection:
        assert ask(connection, "GET / HTTP/1.1").endswith("https 127.0.0.1")
    path.write_bytes(before)
    ticks[0] += timedelta(minutes=59)
    encryption.look()
    assert before == path.read_bytes()
    ticks[0] += timedelta(minutes=1)
    encryption.look()

    assert before != path.read_bytes()


@pytest.mark.parametrize("spoilt", ["another key", "a locked key", "a key too short"])
def test_a_certificate_that_cannot_be_served_stops_no_server(
    until: ExitStack, run: Run, authority: Authority, ticks: list[datetime], spoilt: str
) -> None:
    """Somebody put it there while the server runs: it is named, and the one before is shown on."""
    encryption = Encryption(authority)
    path, _ = authority.server()
    address = run(until, tells, BOUNDS, Speaks(encryption))
    path.write_bytes(SPOILT[spoilt](authority.find_or_make(), path.read_bytes()))
    ticks[0] += timedelta(days=250)
    said = []
    with suppress(NoAuthority):
        Encryption(authority)
        said.append("served")
    encryption.look()
    with spoken(address, without_times(trusting(authority.find_or_make()))) as connection:
        assert ask(connection, "GET / HTTP/1.1").endswith("https 127.0.0.1")

    assert [] == said


def another_key(_: Certificate, kept: bytes) -> bytes:
    """The certificate with the key of another one."""
    key = ec.generate_private_key(ec.SECP256R1()).private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    return key + kept[kept.index(b"-----BEGIN CERTIFICATE") :]


def locked_key(_: Certificate, kept: bytes) -> bytes:
    """The key, locked by a password."""
    locks = BestAvailableEncryption(b"open")
    key = load_pem_private_key(kept, None).private_bytes(Encoding.PEM, PrivateFormat.PKCS8, locks)
    return key + kept[kept.index(b"-----BEGIN CERTIFICATE") :]


def short_key(authority: Certificate, kept: bytes) -> bytes:
    """A certificate by the same authority, on a curve that OpenSSL serves nobody with; it holds for years."""
    above, own = load_pem_x509_certificate(authority.kept), load_pem_x509_certificate(kept)
    key = ec.generate_private_key(ec.SECP192R1())
    builder = CertificateBuilder(above.subject, own.subject, key.public_key(), own.serial_number)
    builder = builder.not_valid_before(above.not_valid_before_utc).not_valid_after(above.not_valid_after_utc)
    for each in own.extensions:
        builder = builder.add_extension(each.value, critical=each.critical)
    made = builder.sign(load_pem_private_key(authority.kept, None), SHA256())  # type: ignore[arg-type]  # on a curve
    private = key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    return private + made.public_bytes(Encoding.PEM)


SPOILT = {"another key": another_key, "a locked key": locked_key, "a key too short": short_key}


def test_the_page_needs_no_key(
    book: Path, clock: list[datetime], tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It shows what phones accept; who signs with a key that is another one's is told."""
    secrets = tmp_path_factory.mktemp("own") / "secrets.json"
    monkeypatch.setenv("TORQUEAUDIT_SECRETS", str(secrets))
    authority = authority_of(book, names_of("http://bench.example"), lambda: clock[0])
    kept = authority.find_or_make()
    (file,) = (secrets.parent / "tls").iterdir()
    file.write_bytes(another_key(kept, kept.kept))
    with create_app(book, clock=lambda: clock[0]) as app:
        page = app.test_client().get("/authority")

    assert (200, True) == (page.status_code, kept.fingerprint in page.text.replace("<wbr>", ""))
    with pytest.raises(NoAuthority, match=r"authority-.*\.pem: what is kept is no certificate with its key"):
        authority.find_or_make()


def test_where_no_certificate_could_be_made_for_what_is_listened_on_there_is_no_authority(
    book: Path, clock: list[datetime]
) -> None:
    """The page says so, and does not break."""
    with create_app(book, clock=lambda: clock[0]) as app:
        app.config["LISTENS_ON"] = "a..example"

        assert 404 == app.test_client().get("/authority").status_code


def test_the_page_gives_the_certificate_and_its_fingerprint(
    book: Path, clock: list[datetime], tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In both forms, never its key; without an authority it says so."""
    monkeypatch.setenv("TORQUEAUDIT_SECRETS", str(tmp_path_factory.mktemp("own") / "secrets.json"))
    with create_app(book, clock=lambda: clock[0]) as app:
        pages = app.test_client()
        none = pages.get("/authority")
        kept = authority_of(book, names_of("http://bench.example"), lambda: clock[0]).find_or_make()
        page, der, pem = (pages.get(f"/authority{form}") for form in ("", ".crt", ".pem"))

    assert (404, True) == (none.status_code, "has no certificates of its own" in none.text)
    assert kept.fingerprint == ":".join(f"{byte:02X}" for byte in sha256(der.data).digest())
    assert kept.fingerprint in page.text.replace("<wbr>", "")
    speaks_for = "for bench.example, for names that end in .bench.example, and for no other address, until 2041-04-01"
    assert speaks_for in page.text
    assert der.data == ssl.PEM_cert_to_DER_cert(pem.text)
    assert "PRIVATE" not in pem.text
    assert ("application/x-x509-ca-cert", "application/pem-certificate-chain") == (der.mimetype, pem.mimetype)


def test_who_speaks_plain_http_is_told(until: ExitStack, run: Run, authority: Authority) -> None:
    """In a sentence, as somebody typed the address without its scheme."""
    address = run(until, tells, BOUNDS, Speaks(Encryption(authority)))
    with socket.create_connection(("127.0.0.1", urlsplit(address).port or 0), timeout=20) as plain:
        said = ask(plain, "GET / HTTP/1.1")

    assert said.startswith("HTTP/1.1 426 ")
    assert "This port speaks https alone: write https:// before the address." in said


@pytest.mark.parametrize("sent", [b"", b"\x16\x03\x01\x02\x00\x01"])
def test_a_handshake_that_never_comes_to_its_end_is_closed(
    until: ExitStack, run: Run, authority: Authority, sent: bytes
) -> None:
    """As any connection on which nothing comes."""
    address = run(until, tells, Bounds(idle=0.3), Speaks(Encryption(authority)))
    with socket.create_connection(("127.0.0.1", urlsplit(address).port or 0), timeout=20) as plain:
        plain.sendall(sent)

        assert b"" == plain.recv(100)


def test_one_machine_gets_so_many_handshakes_in_a_second(until: ExitStack, run: Run, authority: Authority) -> None:
    """Closed at once is who wants more; in the next second it is served again."""
    address = run(until, tells, Bounds(handshakes_each=2), Speaks(Encryption(authority)))
    context, answers = trusting(authority.find_or_make()), []
    for _ in range(400):
        try:
            with spoken(address, context) as connection:
                answers.append(ask(connection, "GET / HTTP/1.1")[-15:])
        except OSError:
            answers.append("closed")
        if "closed" in answers and answers[-1] != "closed":
            break

    assert {"https 127.0.0.1", "closed"} == set(answers)


def test_handshakes_count_for_all_that_is_listened_on_together(authority: Authority) -> None:
    """A name may stand for two addresses of the server; then no machine gets twice as many."""
    encryption, sockets, dispatcher = Encryption(authority), dict[int, Any](), ThreadedTaskDispatcher()
    adj = Adjustments(listen="127.0.0.1:0 127.0.0.2:0")
    rest = {"map": sockets, "dispatcher": dispatcher, "adj": adj}
    servers = [Server(tells, Bounds(handshakes_each=3), encryption, sockinfo=each, **rest) for each in adj.listen]
    time.sleep(1 - time.monotonic() % 1)  # so that all of it lies within one second
    with ExitStack() as stack:
        stack.callback(wasyncore.close_all, sockets)
        taken = []
        for server in servers * 2:
            place = (server.effective_host, server.effective_port)
            stack.enter_context(socket.create_connection(place, 20, source_address=("127.0.0.1", 0)))
            if one := server.accept():
                stack.enter_context(one[0])
            taken.append(bool(one))

    assert [True, True, True, False] == taken


@pytest.mark.parametrize(("behind", "expected"), [(True, "https 192.0.2.9"), (False, "http 127.0.0.1")])
def test_a_proxy_is_believed_where_that_was_asked_for(
    until: ExitStack, run: Run, expected: str, *, behind: bool
) -> None:
    """By who asks it and by which scheme; not by default."""
    address = run(until, tells, BOUNDS, Speaks(behind_proxy=behind))
    with socket.create_connection(("127.0.0.1", urlsplit(address).port or 0), timeout=20) as plain:
        said = ask(plain, "GET / HTTP/1.1", "X-Forwarded-Proto: https", "X-Forwarded-For: 192.0.2.9")

    assert said.endswith(f"\r\n\r\n{expected}")


@pytest.mark.skipif(sys.platform != "linux", reason="takes another address of this machine")
def test_nobody_but_the_proxy_of_this_machine_is_believed(until: ExitStack, run: Run) -> None:
    """Whoever reaches the port past it."""
    address = run(until, tells, BOUNDS, Speaks(behind_proxy=True))
    place = ("127.0.0.1", urlsplit(address).port or 0)
    with socket.create_connection(place, timeout=20, source_address=("127.0.0.2", 0)) as plain:
        said = ask(plain, "GET / HTTP/1.1", "X-Forwarded-Proto: https", "X-Forwarded-For: 192.0.2.9")

    assert said.endswith("\r\n\r\nhttp 127.0.0.2")


def test_addresses_are_written_one_way() -> None:
    """As certificates hold them, letters beyond a to z by Punycode (RFC 3492)."""
    assert frozenset({"bench.example", "192.168.77.1"}) == names_of(
        "https://BENCH.example:8443/records", "192.168.77.1"
    )
    assert frozenset({"fe80::1"}) == names_of("http://[FE80:0::1]", "fe80::1%eth0")
    assert frozenset({"xn--bcher-kva.example"}) == names_of("http://bücher.example")
    with pytest.raises(NoAuthority, match="this is no name of a machine"):
        names_of("http://a..example")
