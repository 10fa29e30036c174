"""Who reaches the page and who does not: hosts, origins, codes, tokens, limits, headers."""

import json
import re
import shutil
import ssl
import subprocess
from datetime import date
from http.client import HTTPSConnection
from urllib.parse import urlencode

import pytest

from ledger.errors import NotAllowed, NotFound
from ledger.pages.devices import LETTERS, devices, devices_file, forget, pair
from ledger.pages.screens import SCREENS
from ledger.pages.serving import code_drawing, listening_socket, require_private
from tests.pages.conftest import served

FORM = "application/x-www-form-urlencoded"


def pairing(page, name, code, origin=None):
    return page.ask(
        "POST", "/pair", urlencode({"name": name, "code": code}).encode(),
        Origin=origin or f"http://{page.host}", Content_Type=FORM,
    )  # fmt: skip


def test_a_code_pairs_one_device_and_is_spent(page):
    code = page.codes.new("owner")
    first = pairing(page, "Shop tablet", f" {code[:3].lower()} {code[3:]} ")
    again = pairing(page, "Second", code)

    assert (first.status, first.headers["location"]) == (303, "/")
    crumbs = first.headers["set-cookie"]
    assert re.search(r"HttpOnly; Max-Age=7776000; Path=/; SameSite=strict", crumbs)
    assert "Secure" not in crumbs  # over plain http it would not be kept at all
    assert again.status == 422
    assert "That code is not right" in again.text
    token = re.match(r"bench_ledger=([\w-]{43});", crumbs)[1]
    assert [one.name for one in devices(page.book)] == ["Shop tablet"]
    assert token not in devices_file(page.book).read_text()
    assert devices_file(page.book).stat().st_mode & 0o777 == 0o600
    assert page.ask("GET", "/facts/now", Cookie=f"bench_ledger={token}").status == 200


def test_with_a_certificate_it_speaks_https_and_the_cookie_goes_no_other_way(bed_file, tmp_path):
    book, cert, key = (tmp_path / name for name in ("shop.sqlite", "cert.pem", "key.pem"))
    shutil.copyfile(bed_file, book)
    made = [
        "openssl",
        "req",
        "-x509",
        "-newkey",
        "rsa:2048",
        "-nodes",
        "-keyout",
        key,
        "-out",
        cert,
    ]
    names = ["-days", "2", "-subj", "/CN=bench.test", "-addext", "subjectAltName=IP:127.0.0.1"]
    subprocess.run([*made, *names], check=True, capture_output=True)
    with served(book, certificate=(cert, key)) as page:
        connection = HTTPSConnection(
            "127.0.0.1", page.port, context=ssl.create_default_context(cafile=cert)
        )
        headers = {"Host": page.host, "Origin": f"https://{page.host}", "Content-Type": FORM}
        body = urlencode({"name": "Phone", "code": page.codes.new("owner")})
        connection.request("POST", "/pair", body, headers)
        answer = connection.getresponse()
        answer.read()
        connection.request("POST", "/pair", body, headers | {"Origin": f"http://{page.host}"})
        other = connection.getresponse()
        other.read()
        connection.close()
        with pytest.raises(ConnectionError):
            page.ask("GET", "/pair")

    assert answer.status == 303
    assert "; Secure" in answer.headers["set-cookie"]
    assert other.status == 403


def test_a_certificate_that_cannot_be_read_is_one_sentence(bed_file, tmp_path, shop):
    shutil.copyfile(bed_file, tmp_path / "shop.sqlite")
    (tmp_path / "c.pem").write_text("no certificate")

    refused = shop("serve", "--port", "0", "--cert", "c.pem", "--key", "c.pem")
    assert refused.code == 1
    assert "The certificate cannot be used" in refused.err
    assert shop("serve", "--cert", "c.pem").code == 2


def test_a_code_is_too_old_after_ten_minutes_and_a_taken_name_leaves_it_valid(page):
    page.token("Tablet")
    code = page.codes.new("owner")

    assert pairing(page, "tablet", code).status == 422
    assert pairing(page, "Phone", code).status == 303

    late = page.codes.new("owner")
    page.clock.passed += 600
    assert pairing(page, "Late", late).status == 422


def test_the_sixth_code_within_a_minute_is_not_even_looked_at(page):
    code = page.codes.new("owner")
    wrong = LETTERS[0] * 6 if not code.startswith(LETTERS[0]) else LETTERS[1] * 6
    page.clock.passed += 60

    assert [pairing(page, "Guess", wrong).status for _ in range(5)] == [422] * 5
    assert pairing(page, "Tablet", code).status == 429

    page.clock.passed += 61
    assert pairing(page, "Tablet", code).status == 303


def test_only_shells_the_pairing_and_assets_are_had_without_a_token(page):
    for screen in SCREENS:
        assert page.ask("GET", f"/facts/{screen}").status == 401
        shell = page.ask("GET", f"/{screen}")
        assert shell.status == 200
        assert "J-2507" not in shell.text
        assert shell.headers["cache-control"] == "private, max-age=604800"
    sent = page.ask("POST", "/post/hours", b"key=1", Origin=f"http://{page.host}",
                    Content_Type=FORM)  # fmt: skip
    assert sent.status == 401
    facts = page.facts("now")
    assert "J-2507" in facts.text
    assert facts.headers["cache-control"] == "no-store"


def test_a_forgotten_device_can_do_nothing_from_its_next_request_on(page):
    assert page.facts("now").status == 200

    assert forget(page.book, "TABLET").name == "Tablet"
    with pytest.raises(NotFound, match="Tablet"):
        forget(page.book, "Tablet")

    assert page.facts("now").status == 401
    assert page.post("hours", job="bed", what="SND", duration="1h").status == 401


@pytest.mark.parametrize("host", ["127.0.0.1:{}", "bench.test", "evil.test:{}", ""])
def test_a_foreign_host_is_misdirected(page, host):
    answer = page.ask("GET", "/pair", Host=host.format(page.port))

    assert answer.status == 421


@pytest.mark.parametrize("origin", [None, "null", "http://evil.test", "https://{}", "http://{}0"])
def test_what_changes_something_must_come_from_the_page_itself(page, origin):
    headers = {} if origin is None else {"Origin": origin.format(page.host)}
    body = urlencode({"name": "Guess", "code": page.codes.new("owner")}).encode()

    for path in ("/pair", "/post/hours"):
        answer = page.ask("POST", path, body, Content_Type=FORM, **page.cookie(), **headers)
        assert answer.status == 403
    assert [one.name for one in devices(page.book)] == ["Tablet"]


def test_a_request_of_another_site_is_refused_where_the_browser_says_so(page):
    answer = page.ask("POST", "/pair", b"x=1", Origin=f"http://{page.host}", Content_Type=FORM,
                      Sec_Fetch_Site="cross-site")  # fmt: skip
    assert answer.status == 403


def test_too_much_is_refused_before_it_is_read(page):
    sent = page.ask("POST", "/post/hours", b"", Origin=f"http://{page.host}",
                    Content_Length="13000000")  # fmt: skip
    unsaid = page.ask("POST", "/post/hours", iter([b"x"]), Origin=f"http://{page.host}",
                      Transfer_Encoding="chunked")  # fmt: skip
    assert (sent.status, unsaid.status) == (413, 411)


def test_every_answer_carries_the_policy(page):
    for path, status in (("/", 200), ("/facts/now", 401), ("/static/bench.js", 200),
                         ("/no-such", 404)):  # fmt: skip
        answer = page.ask("GET", path)
        assert answer.status == status
        assert "script-src 'self'" in answer.headers["content-security-policy"]
        assert "default-src 'none'" in answer.headers["content-security-policy"]
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert "server" not in answer.headers


def test_a_public_address_and_a_taken_port_are_refused():
    assert require_private("192.168.1.7") == "192.168.1.7"
    with pytest.raises(NotAllowed, match="public address"):
        require_private("8.8.8.8")
    with listening_socket("127.0.0.1", 0) as first:
        first.listen()
        with pytest.raises(NotAllowed, match="cannot be used"):
            listening_socket("127.0.0.1", first.getsockname()[1])


def test_the_code_for_a_camera_fits_a_terminal():
    lines = code_drawing("http://192.168.100.200:8421/pair#ABCDEF").splitlines()

    assert 10 < len(lines) <= 20
    assert max(map(len, lines)) <= 40
    assert "\x1b" not in "".join(lines)


def test_the_devices_are_listed_and_forgotten_at_the_terminal(shop, tmp_path):
    shop("new", "--shop", "Quillhaven Workshop")
    pair(tmp_path / "shop.sqlite", "Shop tablet", "Ann", date(2025, 4, 25))

    listed = json.loads(shop("serve", "--devices", "--json").out)
    assert listed == [
        {"name": "Shop tablet", "rank": "helper", "person": "Ann", "paired": "2025-04-25"}
    ]
    assert "Shop tablet is forgotten" in shop("serve", "--forget", "shop tablet").out
    assert "No device is paired" in shop("serve", "--devices").out
    assert "No device is called" in shop("serve", "--forget", "shop tablet").err
