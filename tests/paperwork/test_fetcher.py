"""Papers read our own static and media files and nothing else in the world."""

from http.server import BaseHTTPRequestHandler, HTTPServer
from threading import Thread

import pytest
from django.conf import settings

from bakery.paperwork.fetcher import NotOurs, fetch, own_files_only, path_of
from bakery.paperwork.rendering import pdf_of


def test_a_style_sheet_of_ours_is_read_with_its_type():
    content, kind = fetch("asset:css/print-paper.css")
    assert kind == "text/css"
    assert b".paper" in content


@pytest.mark.parametrize(
    "url",
    [
        "http://127.0.0.1/x.png",
        "https://elsewhere.example/x.css",
        "file:///etc/hostname",
        "FILE:///etc/hostname",
        "data:image/png;base64,AAAA",
        "ftp://elsewhere.example/x",
        "//elsewhere.example/x",
        "css/print-paper.css",
        "asset:",
        "asset:../manage.py",
        "asset:css/../../manage.py",
        "asset:/etc/hostname",
        "asset://etc/hostname",
        "asset:%2e%2e/manage.py",
        "asset:css",
        "asset:css/nothing.css",
        "asset:..\\manage.py",
        "asset:css/\x00.css",
        "asset:file:///etc/hostname",
    ],
)
def test_everything_else_is_refused(url):
    with pytest.raises(NotOurs):
        path_of(url)
    with pytest.raises(ValueError):
        own_files_only()().fetch(url)


def test_a_link_in_media_does_not_lead_out(tmp_path, settings):
    secret = tmp_path / "secret.txt"
    secret.write_text("the secret")
    media = tmp_path / "media"
    media.mkdir()
    (media / "out.txt").symlink_to(secret)
    (media / "own.txt").write_text("her own")
    settings.MEDIA_ROOT = media
    assert fetch("asset:own.txt")[0] == b"her own"
    with pytest.raises(NotOurs):
        fetch("asset:out.txt")


@pytest.fixture
def listener():
    """A server on this machine that only counts who comes."""
    visits = []

    class Count(BaseHTTPRequestHandler):
        def do_GET(self):
            visits.append(self.path)
            self.send_response(200)
            self.end_headers()
            self.wfile.write(b"x")

        def log_message(self, *args):
            pass

    server = HTTPServer(("127.0.0.1", 0), Count)
    Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}", visits
    server.shutdown()
    server.server_close()


WAYS_OUT = {
    "picture": '<img src="{url}" alt="">',
    "picture in a drawing": '<svg viewBox="0 0 9 9"><image href="{url}" width="9" height="9"/></svg>',
    "old picture in a drawing": '<svg xmlns:xlink="http://www.w3.org/1999/xlink">'
    '<image xlink:href="{url}"/></svg>',
    "use in a drawing": '<svg viewBox="0 0 9 9"><use href="{url}#a"/></svg>',
    "attachment": '<link rel="attachment" href="{url}"><a rel="attachment" href="{url}">x</a>',
    "style sheet": '<link rel="stylesheet" href="{url}">',
    "import": '<style>@import url("{url}");</style>',
    "background": '<p style="background: url({url})">x</p>'
    "<style>p {{ list-style-image: url({url}) }}</style>",
    "font": '<style>@font-face {{ font-family: x; src: url("{url}") }} p {{ font-family: x }}</style>'
    "<p>x</p>",
    "object": '<object data="{url}"></object><embed src="{url}">',
    "base": '<base href="{url}/"><img src="x.png" alt=""><link rel="stylesheet" href="y.css">',
}


@pytest.mark.parametrize("way", WAYS_OUT)
def test_no_way_out_of_a_paper(way, listener, read_pdf, tmp_path):
    address, visits = listener
    secret = tmp_path / "secret.svg"
    secret.write_text('<svg xmlns="http://www.w3.org/2000/svg"><text>kept to myself</text></svg>')
    for url in (f"{address}/seen", secret.as_uri(), str(secret), "file:///etc/hostname"):
        pdf = pdf_of(f'<html lang="en"><title>t</title>{WAYS_OUT[way].format(url=url)}<p>The rest</p></html>')
        found = read_pdf(pdf)
        assert "The rest" in found.text, "the paper itself is still there"
        assert "kept to myself" not in found.text
        assert not found.reader.attachments
        assert not [image for page in found.reader.pages for image in page.images]
        assert b"kept to myself" not in pdf
    assert visits == [], "nobody was called"


def test_our_own_folders_are_the_only_roots():
    from bakery.paperwork.fetcher import roots

    assert {str(root) for root in roots()} == {
        str(settings.BASE_DIR / "static"),
        str(settings.MEDIA_ROOT.resolve()),
    }
