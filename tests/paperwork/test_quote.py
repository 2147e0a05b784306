"""The quote: what it says, what it never says, and what it does with anything she or a customer writes."""

import json
from copy import deepcopy

import pytest

from bakery.orders.quotes import make_quote
from bakery.paperwork.quote import beware, quote_paper
from bakery.paperwork.rendering import set_pdf

from .samples import QUOTE

pytestmark = pytest.mark.django_db
HOSTILE = (
    "<script>alert(1)</script>",
    '<img src="file:///etc/hostname">',
    "{% include 'x' %} {{ 7 }}",
    "</table>",
    "Zoë Ångström-Łukasz",
    "&amp; <b>bold</b>",
    "\u202eright to left",
)


def printed(paper, read_pdf):
    return read_pdf(
        set_pdf(
            "paperwork/pdf.html",
            {
                "title": paper["label"],
                "author": paper["studio"],
                "style": "quote",
                "body": "paperwork/_quote.html",
                "paper": paper,
                "foot": paper.get("foot", ""),
            },
        )
    )


def test_it_says_all_that_a_customer_needs(place_cards, read_pdf):
    quote = make_quote(order=place_cards)
    found = printed(quote_paper(quote), read_pdf)
    for words in (
        "Quote",
        str(place_cards.number),
        "24",
        "Boathouse long table",
        "Saturday 28 November 2026 at 12:00",
        "Together",
        f"£{quote.total}",
        f"{quote.deposit}",
        "To say yes",
        "Contains",
        "wheat, milk, egg",
        "also handles nuts and sesame",
        "Open until",
        "Pay by card or cash.",
        "Name and signature",
        "Page 1 of 1",
        "one guest, no nuts",
    ):
        assert words in found.text, words


def test_what_she_earns_is_never_on_it(place_cards, signed_in, read_pdf):
    quote = make_quote(order=place_cards)
    paper = quote_paper(quote)
    hers = quote.snapshot["hers"]
    said = json.dumps(paper)
    assert "hers" not in paper
    assert hers["pays"] not in said
    for page in (
        signed_in.get(f"/papers/quote/{place_cards.number}/1/").content.decode(),
        printed(paper, read_pdf).text,
    ):
        assert hers["pays"] not in page
        assert "wage" not in page.lower()
        assert "an hour" not in page


def test_a_second_version_says_so_and_the_first_stays(place_cards, signed_in, read_pdf):
    from bakery.orders.models import Order

    first = make_quote(order=place_cards)
    Order.objects.filter(pk=place_cards.pk).update(own_price="250.00")
    second = make_quote(order=place_cards)
    assert second.version == 2
    page = signed_in.get(f"/papers/quote/{place_cards.number}/2/").content.decode()
    assert "second version" in page
    assert "250.00" in page
    old = signed_in.get(f"/papers/quote/{place_cards.number}/1/").content.decode()
    assert f"£{first.total}" in old
    assert "250.00" not in old
    assert signed_in.get(f"/papers/quote/{place_cards.number}/3/").status_code == 404
    assert signed_in.get(f"/papers/quote/{place_cards.number}/3/quote.pdf").status_code == 404


def test_printing_it_again_gives_the_same_paper(place_cards, signed_in, studio, read_pdf):
    make_quote(order=place_cards)
    where = f"/papers/quote/{place_cards.number}/1/quote.pdf"
    first = signed_in.get(where)
    assert first["Content-Type"] == "application/pdf"
    assert f"quote-{place_cards.number}-1.pdf" in first["Content-Disposition"]
    studio.name = "Another name"
    studio.save()
    assert read_pdf(signed_in.get(where).content).text == read_pdf(first.content).text


def test_what_they_must_not_have_is_said_when_it_is_inside():
    assert beware("wheat, milk, egg", "One child: milk") == "These cookies contain milk."
    assert beware("wheat, milk, egg", "EGGS and milk, please none") == "These cookies contain milk and egg."
    assert beware("wheat, milk, egg", "one guest, no nuts") == ""
    assert beware("", "milk") == ""


@pytest.mark.parametrize("text", HOSTILE)
def test_markup_in_any_word_is_only_a_word(text, read_pdf):
    paper = deepcopy(QUOTE) | {
        "title": text,
        "whom": text,
        "about": text,
        "terms": [text],
        "contains": text,
        "studio": text,
        "foot": text,
    }
    paper["rows"][0]["what"] = text
    paper["pictures"][0]["caption"] = text
    paper["pictures"][0]["drawing"] = {"shape": text, "text": text, "base": text, "motif": text}
    found = printed(paper, read_pdf)
    assert "To say yes" in found.text
    assert not [image for page in found.reader.pages for image in page.images]
    squeezed = found.text.replace(" ", "").replace("\u202e", "")
    assert text.replace(" ", "").replace("\u202e", "") in squeezed


def test_forty_lines_run_over_pages_and_none_is_lost(read_pdf):
    rows = [
        {
            "what": f"Design number {n} with a rather long name " + "and more " * 6,
            "count": "12",
            "each": "4.00",
            "amount": "48.00",
        }
        for n in range(40)
    ]
    found = printed(QUOTE | {"rows": rows, "terms": ["A term. " * 40] * 4}, read_pdf)
    assert len(found.pages) >= 3
    for n in range(40):
        assert f"Design number {n} " in found.text
    last = len(found.pages)
    assert f"Page {last} of {last}" in found.pages[-1]
    assert "continued" in found.pages[1]
    assert "How many" in found.pages[1], "the table's head stands on every page"
    assert "Name and signature" in found.pages[-1]


def test_an_unbroken_word_stays_on_the_page(read_pdf):
    found = printed(QUOTE | {"title": "x" * 120, "whom": "y" * 200}, read_pdf)
    width = float(found.reader.pages[0].mediabox.width)
    farthest = []

    def look(text, cm, tm, font, size):
        if text.strip():
            farthest.append(cm[4] + tm[4] * cm[0])

    found.reader.pages[0].extract_text(visitor_text=look)
    assert max(farthest) < width


def test_the_pdf_has_a_title_a_language_and_tags(read_pdf):
    found = printed(QUOTE, read_pdf)
    assert found.reader.metadata.title == "Quote 118, second version"
    assert found.catalog["/Lang"] == "en-GB"
    assert found.catalog["/MarkInfo"]["/Marked"]
    assert "/StructTreeRoot" in found.catalog
    assert b"pdfuaid" in found.catalog["/Metadata"].get_data()


def test_nobody_reads_a_quote_without_signing_in(client, place_cards):
    make_quote(order=place_cards)
    assert client.get(f"/papers/quote/{place_cards.number}/1/").status_code == 302
    assert client.get(f"/papers/quote/{place_cards.number}/1/quote.pdf").status_code == 302
