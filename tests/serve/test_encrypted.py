"""Encrypted with a certificate of the user's own, the page works as it does without."""

import shutil
import ssl
import subprocess
from pathlib import Path
from typing import NamedTuple

import aiohttp
import pytest

from sequencer.cli import main
from tests.serve.browser import CHROMIUM, LANDSCAPE, browser
from tests.serve.serving import browsing, served, tablet, until
from tests.serve.test_tablets import logged, pitches
from tui.serving.address import origin, who_reaches
from tui.serving.server import tls_of

OPENSSL = shutil.which("openssl")
needs_openssl = pytest.mark.skipif(not OPENSSL, reason="openssl makes the certificate")


class Files(NamedTuple):
    certificate: str
    key: str


@pytest.fixture
def files(tmp_path: Path) -> Files:
    """A certificate for this machine, and its key."""
    made = Files(str(tmp_path / "cert.pem"), str(tmp_path / "key.pem"))
    words = f"req -x509 -newkey rsa:2048 -nodes -days 2 -out {made.certificate} -keyout {made.key}"
    subprocess.run(
        [
            str(OPENSSL),
            *words.split(),
            "-subj",
            "/CN=bench",
            "-addext",
            "subjectAltName=IP:127.0.0.1",
        ],
        check=True,
        capture_output=True,
    )
    return made


@needs_openssl
async def test_a_tablet_that_trusts_the_certificate_logs_a_pitch(book: str, files: Files) -> None:
    trusts = ssl.create_default_context(cafile=files.certificate)
    async with served(book, tls=tls_of(*files)) as to:
        assert to.start.startswith("https://127.0.0.1:")
        async with tablet(to, trusts=trusts) as hers:
            await hers.until_heard("signs:")
            await hers.tap("1sl")
            await until(lambda: logged(book, 1), "a pitch")
        async with browsing(trusts) as session, session.get(to.start) as page:
            assert page.history[0].cookies[to.server.guard.cookie]["secure"]
            assert (
                f"wss://{to.at.removeprefix('https://')}" in page.headers["Content-Security-Policy"]
            )
        async with browsing() as session:
            with pytest.raises(aiohttp.ClientConnectorCertificateError):
                await session.get(to.start)
            with pytest.raises(aiohttp.ClientError):
                await session.get(to.start.replace("https", "http", 1))


@needs_openssl
@pytest.mark.skipif(not CHROMIUM, reason="Debian's chromium is not installed")
async def test_a_real_browser_types_into_the_encrypted_page(
    book: str, files: Files, tmp_path: Path
) -> None:
    trusting = "--ignore-certificate-errors"
    async with (
        served(book, tls=tls_of(*files)) as to,
        browser(tmp_path / "browser", trusting) as chromium,
    ):
        page = await chromium.page(LANDSCAPE)
        await page.open(to.start)
        await page.until_heard("signs:")
        await page.type(*"1sl")
        await until(lambda: pitches(book) == [("fastball", "called strike")], "a pitch")
        assert not [said for said in page.complaints if "Content Security" in said]


def test_who_reaches_it_is_told_whether_it_is_encrypted() -> None:
    assert "unencrypted (--certificate encrypts)" in who_reaches("0.0.0.0")
    assert "travels encrypted" in who_reaches("0.0.0.0", encrypted=True)
    assert origin("bench", 443, "https") == "https://bench"
    assert origin("bench", 443) == "http://bench:443"


@needs_openssl
@pytest.mark.parametrize("wrong", ["no file", "no certificate", "another key", "a locked key"])
def test_files_that_cannot_encrypt_are_one_clear_sentence(
    book: str, files: Files, tmp_path: Path, wrong: str, capsys: pytest.CaptureFixture[str]
) -> None:
    certificate, key = files
    if wrong == "no file":
        certificate = str(tmp_path / "nowhere.pem")
    elif wrong == "no certificate":
        Path(certificate).write_text("nothing of the kind", encoding="utf-8")
    elif wrong == "another key":
        subprocess.run(
            [str(OPENSSL), "genrsa", "-out", key, "2048"], check=True, capture_output=True
        )
    else:
        locked = f"rsa -aes256 -passout pass:bench -in {key} -out {key}.locked"
        subprocess.run([str(OPENSSL), *locked.split()], check=True, capture_output=True)
        key += ".locked"
    with pytest.raises(SystemExit) as stop:
        main(["serve", "--book", book, "--port", "0", "--certificate", certificate, "--key", key])
    said = capsys.readouterr()
    assert (stop.value.code, said.out, said.err.count("\n")) == (1, "", 1)
    assert "cannot be used to encrypt" in said.err and certificate in said.err


def test_a_key_alone_is_a_wrong_call(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stop:
        main(["serve", "--key", "key.pem"])
    assert stop.value.code == 2
    assert "--key goes with --certificate" in capsys.readouterr().err
