"""The week on one sheet: one page, lying, black, with every hand-over by name, whatever the week holds."""

import re
from datetime import timedelta

import pytest
from django.urls import reverse

from bakery.drawing.week_paper import in_black
from bakery.paperwork.week import week_sheet
from bakery.production.services import make_plan
from tests import factories as make

pytestmark = pytest.mark.django_db


@pytest.fixture
def week(studio, evening):
    make.OrderFactory(number=118, title="Botanical supper", hand_over_at=evening + timedelta(days=4),
                      lines__quantity=24)  # fmt: skip
    make_plan(now=evening)
    return evening


def pdf(client, day):
    return client.get(reverse("week_pdf", args=[day.date()]))


def test_one_page_of_a4_lying(week, signed_in, read_pdf):
    answer = pdf(signed_in, week)
    assert answer["Content-Type"] == "application/pdf"
    found = read_pdf(answer.content)
    assert len(found.pages) == 1
    box = found.reader.pages[0].mediabox
    assert (round(float(box.width)), round(float(box.height))) == (842, 595)  # A4, ISO 216, in points
    assert "The week from Tuesday 24 November to 30 November" in found.text
    assert "118 Sat 17:30 Botanical supper, 24, collected here" in found.text
    assert "Every order keeps its hand-over." in found.text


def test_thirty_hand_overs_and_forty_places_still_one_page(studio, evening, signed_in, read_pdf):
    studio.rack_places = 40
    studio.save()
    for number in range(30):
        make.OrderFactory(number=200 + number, title="A party with quite a long name " * 3, lines__quantity=4,
                          hand_over_at=evening + timedelta(days=2 + number % 5, hours=number % 3),
                          lines__stage="packed")  # fmt: skip
    make_plan(now=evening)
    found = read_pdf(pdf(signed_in, evening).content)
    assert len(found.pages) == 1
    assert re.search(r"and \d+ more, on the page", found.text)


def test_an_empty_studio_gets_a_page_and_a_stranger_none(studio, evening, signed_in, client, read_pdf):
    assert len(read_pdf(pdf(signed_in, evening).content).pages) == 1
    signed_in.logout()
    assert pdf(client, evening).status_code == 302


def test_paper_knows_no_colours(week):
    picture = week_sheet(week.date(), week)["picture"]
    colours = set(re.findall(r'="(#[0-9a-f]{3,6})"', picture))
    assert colours <= {"#000", "#fff", "#333", "#555", "#999", "#f1f1f1"}
    assert "<a " not in picture
    assert in_black('fill="#14263a" stroke="#aabbcc"') == 'fill="#000" stroke="#aabbcc"'
