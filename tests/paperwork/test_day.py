"""The day sheet: what is on it, that printing freezes it, that it holds whatever there is."""

from datetime import date, timedelta

import pytest
from django.utils import timezone

from bakery.paperwork import rendering
from bakery.paperwork.day import day_sheet
from bakery.paperwork.models import Paper
from bakery.paperwork.rendering import NoPdfHere, set_pdf
from bakery.production.models import Evening, Job, Plan
from tests import factories as make

from .samples import DAY, run

pytestmark = pytest.mark.django_db


def lettering_day():
    return Job.objects.filter(kind="letter").earliest("planned_start").planned_start.date()


def flood_day():
    return Job.objects.filter(kind="flood").earliest("planned_start").planned_start.date()


def where(day, pdf=False):
    return f"/papers/day/{day:%Y-%m-%d}/" + ("day-sheet.pdf" if pdf else "")


def print_it(client, day):
    """The press, and the PDF it leads to."""
    return client.post(where(day, pdf=True), follow=True)


def printed(paper, read_pdf):
    return read_pdf(
        set_pdf(
            "paperwork/pdf.html",
            {
                "title": "t",
                "author": "a",
                "style": "day",
                "body": "paperwork/_day.html",
                "paper": paper,
                "foot": paper["foot"],
            },
        )
    )


def test_it_has_the_days_runs_with_start_count_and_dry_by(planned, evening, signed_in, read_pdf):
    day = flood_day()
    found = read_pdf(signed_in.get(where(day, pdf=True)).content)
    flood = Job.objects.filter(kind="flood").earliest("planned_start")
    for words in (
        f"{day:%A} {day.day} {day:%B}",
        "Baking hours",
        f"{flood.planned_start:%H:%M}",
        "flood",
        "Place cards",
        "Dry by",
        "Good",
        "Done at",
        "Wash up",
        "At the rack",
        "The rack overnight",
        "Amounts",
        " g",
        "Page 1 of",
        "Mind",
        "counted out",
    ):
        assert words in found.text, words


def test_names_to_letter_stand_as_they_were_given(planned, signed_in, read_pdf):
    page = signed_in.get(where(lettering_day())).content.decode()
    assert "&lt;b&gt;Bryn&lt;/b&gt;" in page
    text = read_pdf(signed_in.get(where(lettering_day(), pdf=True)).content).text
    for name in ("Ada", "<b>Bryn</b>", "Zoë & Co", "Names to letter, 3"):
        assert name in text, name


def test_an_allergy_of_that_days_orders_is_to_be_minded(planned, evening):
    assert "Place cards: one guest, no nuts." in day_sheet(flood_day(), evening)["mind"]


def test_an_allergy_inside_every_cookie_is_said_loudly(planned, evening):
    planned.allergies = "no milk please"
    planned.save()
    said = " ".join(day_sheet(flood_day(), evening)["mind"])
    assert "These cookies contain milk." in said


def test_something_low_is_to_be_bought(planned, evening):
    make.StockItemFactory(name="Icing sugar", group="dry", level="out")
    mixing = Job.objects.filter(kind="mix").earliest("planned_start").planned_start.date()
    assert any(said.startswith("Icing sugar is out: buy") for said in day_sheet(mixing, evening)["mind"])


def test_printing_keeps_the_sheet_and_tells_the_plan(planned, signed_in, read_pdf, evening):
    day = flood_day()
    first = read_pdf(print_it(signed_in, day).content)
    assert Evening.objects.get(date=day).printed_at == evening
    Job.objects.filter(planned_start__date=day).update(planned_start=evening + timedelta(days=30))
    again = read_pdf(signed_in.get(where(day, pdf=True)).content)
    assert again.text == first.text
    assert "As printed" in signed_in.get(where(day)).content.decode()
    assert Paper.objects.count() == 1


def test_a_fresh_one_is_a_new_version_and_the_old_is_kept(planned, signed_in, read_pdf, evening):
    day = flood_day()
    first = read_pdf(print_it(signed_in, day).content)
    Job.objects.filter(kind="flood").update(cookies=17)
    assert signed_in.post(where(day) + "fresh/").status_code == 302
    signed_in.post(where(day) + "fresh/")
    versions = Paper.objects.filter(kind="day_sheet")
    assert [paper.version for paper in versions] == [2, 1], "pressed twice, made once"
    fresh = read_pdf(signed_in.get(where(day, pdf=True)).content)
    assert fresh.text != first.text
    assert "17" in fresh.text


def test_a_printed_sheet_says_whether_the_plan_has_moved(planned, signed_in, evening):
    day = flood_day()
    print_it(signed_in, day)
    assert "The plan is still the same." in signed_in.get(where(day)).content.decode()
    Job.objects.filter(kind="flood").update(cookies=17)
    page = signed_in.get(where(day)).content.decode()
    assert "The plan has changed since" in page
    assert "17 cookies" not in page, "the page is still the printed one"


def test_tonights_verdicts_stand_on_tonights_sheet_only(planned, evening):
    job = Job.objects.filter(kind="flood").earliest("planned_start")
    day, latest = job.planned_start.date(), job.planned_start + timedelta(minutes=55)
    Plan.objects.update(
        tonight={
            "from": job.planned_start.isoformat(),
            "tasks": {job.key: {"verdict": "must", "latest": latest.isoformat()}},
        }
    )
    tags = [row["tag"] for row in day_sheet(day, evening)["runs"]]
    assert f"start by {timezone.localtime(latest):%H:%M}" in tags
    later = [row["tag"] for row in day_sheet(day + timedelta(days=1), evening)["runs"]]
    assert not any("start by" in tag for tag in later)


def test_looking_keeps_nothing(planned, signed_in):
    for method in (signed_in.get, signed_in.head):
        assert method(where(flood_day())).status_code == 200
        assert method(where(flood_day(), pdf=True)).status_code == 200
    assert not Paper.objects.exists()
    assert not Evening.objects.filter(printed_at__isnull=False).exists()


def test_an_empty_day_says_one_sentence_and_is_not_kept(studio, signed_in, evening, read_pdf):
    page = signed_in.get(where(date(2026, 11, 30))).content.decode()
    assert "Nothing is to be done on Monday. There are no baking hours either." in page
    found = read_pdf(print_it(signed_in, date(2026, 11, 24)).content)
    assert "Nothing is to be done on Tuesday." in found.text
    assert not Paper.objects.exists()


@pytest.mark.parametrize("day", ["2026-02-31", "1900-01-01", "9999-12-31", "26-11-24", "0000-00-00", "x"])
def test_a_day_that_is_none_is_not_found(studio, signed_in, day):
    assert signed_in.get(f"/papers/day/{day}/").status_code == 404
    assert signed_in.get(f"/papers/day/{day}/day-sheet.pdf").status_code == 404


def test_three_hundred_names_run_over_pages(read_pdf):
    names = [f"Guest {n:03}" for n in range(300)]
    found = printed(
        DAY | {"names": [{"title": "Names to letter, 300", "names": names, "columns": 6}]}, read_pdf
    )
    assert len(found.pages) >= 3
    assert [name for name in names if name not in found.text] == []
    assert "Mind" in found.text
    assert "Wednesday 25 November, continued" in found.pages[-1]


def test_long_names_are_whole(read_pdf):
    name = "Wilhelmina-Konstantinopoulos-Featherstonehaugh of the Upper Quay"
    found = printed(DAY | {"names": [{"title": "Names", "names": [name] * 9, "columns": 3}]}, read_pdf)
    assert found.text.replace(" ", "").count(name.replace(" ", "")) == 9


def test_forty_runs_are_all_there(read_pdf):
    rows = [run("19:00", f"Flood number {n}", "For somebody. " * 4, 14, "Thu 15:45") for n in range(40)]
    found = printed(DAY | {"runs": rows}, read_pdf)
    assert [n for n in range(40) if f"Flood number {n}" not in found.text] == []
    assert all("Done at" in page for page in found.pages[:2]), "the head stands on every page of runs"


@pytest.mark.parametrize(
    "text", ["<script>alert(1)</script>", "<img src='file:///etc/hostname'>", "{{ 7|add:1 }}"]
)
def test_markup_anywhere_is_only_words(text, read_pdf):
    rows = [run("19:00", text, text, text, text, tag=text)]
    paper = DAY | {
        "runs": rows,
        "names": [{"title": text, "names": [text], "columns": 6}],
        "mind": [text],
        "groups": [
            {
                "key": "icing",
                "title": text,
                "rows": [{"what": text, "amount": text, "brief": text}],
                "more": {},
            }
        ],
        "title": text,
        "foot": text,
    }
    found = printed(paper, read_pdf)
    assert text.replace(" ", "") in found.text.replace(" ", "")
    assert not [image for page in found.reader.pages for image in page.images]


def test_without_the_pdf_library_the_page_says_what_to_install_and_still_prints(
    planned, signed_in, monkeypatch
):
    def missing():
        raise NoPdfHere(rendering.MISSING)

    monkeypatch.setattr(rendering, "_weasyprint", missing)
    day = flood_day()
    page = signed_in.get(where(day)).content.decode()
    assert "apt install libpango-1.0-0" in page
    assert "Print the day sheet" not in page
    assert "Place cards" in page
    assert signed_in.get(where(day, pdf=True)).url == where(day)
    assert not Paper.objects.exists()


def test_a_library_that_is_missing_is_noticed_at_import(monkeypatch):
    import builtins

    real = builtins.__import__

    def broken(name, *args, **kwargs):
        if name == "weasyprint":
            raise OSError("cannot load library 'libpango-1.0-0'")
        return real(name, *args, **kwargs)

    rendering._weasyprint.cache_clear()
    monkeypatch.setattr(builtins, "__import__", broken)
    assert not rendering.can_print()
    monkeypatch.undo()
    assert rendering.can_print()


def test_a_sheet_takes_a_bounded_number_of_queries(planned, evening, django_assert_max_num_queries):
    with django_assert_max_num_queries(60):
        day_sheet(flood_day(), evening)
