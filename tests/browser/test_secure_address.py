"""A phone on the house's network: it learns to believe the house, keeps the app, and takes an order without signal."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509
from playwright.sync_api import Playwright, expect

from browser.devices import CHROMIUM, LAUNCH_ARGUMENTS, Device
from honeyhold.app.certificates import AUTHORITY_DAYS, fingerprint, secure_files

pytestmark = pytest.mark.browser
PLACES = re.compile(r"Phones and tablets: https://[^:]+:(\d+)/ +\(the first time: http://[^:]+:(\d+)/\)")


@contextmanager
def open_house(folder: Path) -> Iterator[tuple[int, int, str]]:
    """(secure port, port of the introduction, code) of a house that is open to its network."""
    command = [sys.executable, "-m", "honeyhold.app.command_line", "serve", "--data", str(folder), "--port", "0", "--devices", "--no-browser"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        code = ""
        try:
            for line in process.stdout:
                code = found.group(1) if (found := re.search(r"#enrol=(\S+)", line)) else code
                if found := PLACES.search(line):
                    yield int(found.group(1)), int(found.group(2)), code
                    break
            else:
                raise AssertionError("The house told no secure address.")
        finally:
            process.send_signal(signal.SIGTERM)


def trust(home: Path, authority: Path) -> None:
    """Does on this machine what a person does in a phone's settings: the browser believes the authority from now on."""
    store = home / ".pki/nssdb"
    store.mkdir(parents=True)
    for command in (["-N", "--empty-password"], ["-A", "-t", "C,,", "-n", "honey house", "-i", str(authority)]):
        subprocess.run(["certutil", "-d", f"sql:{store}", *command], check=True)


def test_a_phone_that_believes_the_house_works_without_it(tmp_path: Path, playwright_driver: Playwright) -> None:
    with open_house(tmp_path / "data") as (port, _introduction, code):
        trust(tmp_path / "home", tmp_path / "data/certificates/authority.crt")
        context = playwright_driver.chromium.launch_persistent_context(
            tmp_path / "profile", executable_path=CHROMIUM, args=LAUNCH_ARGUMENTS,
            env={**os.environ, "HOME": str(tmp_path / "home")},
        )  # fmt: skip
        phone = Device(context.pages[0], f"https://localhost:{port}")
        assert phone.js("return isSecureContext")
        phone.enrol(code, "Shed phone")
        made = phone.js("return house.call('/api/codes', { body: { role: 'helper' } })")
        assert re.fullmatch(r"https://\S+/#enrol=\S+", made["address"]) and made["introduction"].startswith("http://")
        phone.wait_for_shell()
    phone.page.reload()
    phone.load()
    assert phone.status()["device"]["name"] == "Shed phone"
    context.close()


def test_the_next_certificate_is_read_in_settings_a_year_ahead(tmp_path: Path, playwright_driver: Playwright) -> None:
    """With the letters of the very file that the page for the first time hands out."""
    secure_files(tmp_path / "data/certificates", [], datetime.now(UTC) - timedelta(days=AUTHORITY_DAYS - 300))
    with open_house(tmp_path / "data") as (port, introduction, code):
        trust(tmp_path / "home", tmp_path / "data/certificates/authority.crt")
        context = playwright_driver.chromium.launch_persistent_context(
            tmp_path / "profile", executable_path=CHROMIUM, args=LAUNCH_ARGUMENTS,
            env={**os.environ, "HOME": str(tmp_path / "home")},
        )  # fmt: skip
        phone = Device(context.pages[0], f"https://localhost:{port}")
        phone.enrol(code, "Shed phone")
        page = phone.page
        page.goto(f"{phone.address}/#settings")
        page.get_by_role("link", name="a new certificate").click()
        letters = fingerprint(x509.load_pem_x509_certificate((tmp_path / "data/certificates/authority-next.crt").read_bytes()))
        expect(page.get_by_text(letters)).to_be_visible()
        expect(page.get_by_text("this device has to trust another certificate")).to_be_visible()
        page.goto(f"http://localhost:{introduction}")
        with page.expect_download() as saved:
            page.get_by_role("link", name="load the next certificate").click()
        assert fingerprint(x509.load_pem_x509_certificate(Path(saved.value.path()).read_bytes())) == letters
        context.close()


def test_a_phone_that_was_not_told_is_warned(tmp_path: Path, playwright_driver: Playwright) -> None:
    with open_house(tmp_path / "data") as (port, introduction, _code):
        context = playwright_driver.chromium.launch_persistent_context(
            tmp_path / "profile", executable_path=CHROMIUM, args=LAUNCH_ARGUMENTS,
            env={**os.environ, "HOME": str(tmp_path / "home")},
        )  # fmt: skip
        with pytest.raises(Exception, match="ERR_CERT_AUTHORITY_INVALID"):
            context.pages[0].goto(f"https://localhost:{port}")
        page = context.new_page()
        page.goto(f"http://localhost:{introduction}")
        assert page.get_by_role("link", name="load the certificate").is_visible()
        context.close()
