"""Lists in and out: every line looked at first, all of it or nothing, and no formula either way."""

import csv
from datetime import timedelta
from decimal import Decimal
from io import StringIO
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from bakery.stock import ledger
from bakery.stock.lists import csv_out
from bakery.stock.lists.cells import day_of
from bakery.stock.lists.csv_in import NoTable, read_table
from bakery.stock.lists.decoding import Unreadable, text_of
from bakery.stock.models import Delivery, Move, Packet, StockItem
from tests import factories as make

D = Decimal
HERE = "/cupboard/list/"


@pytest.fixture
def sugar(db):
    make.StudioFactory()
    return make.StockItemFactory(name="Icing sugar", pack_size=D("3000"), supplier="Capstan Stores")


@pytest.fixture
def eggs(sugar):
    return make.StockItemFactory(name="Eggs", unit="piece", group="fresh", pack_size=D("12"))


def sent(text="", what="delivery", file=None, **more):
    data = {"what": what, "supplier": "Capstan Stores", "on": f"{timezone.localdate()}", "text": text,
            "token": str(uuid4())} | more  # fmt: skip
    if file is not None:
        data["file"] = SimpleUploadedFile("order.csv", file, content_type="text/csv")
    return data


def test_a_shops_order_is_looked_at_first_and_put_away_once(signed_in, sugar, eggs):
    text = 'name,packs,total,best before,lot\nIcing sugar,2,8.70,2099-01-31,K-7\neggs,1,"3,20",,\n'
    data = sent(text)
    page = signed_in.post(HERE, data)
    assert page.status_code == 200
    assert "Nothing is written yet" in page.content.decode()
    assert not Packet.objects.exists()
    for _ in range(2):
        assert signed_in.post(HERE, data | {"go": "1"}).status_code == 302
    assert Delivery.objects.get().supplier == "Capstan Stores"
    assert [(p.quantity, p.cost, p.maker_lot) for p in sugar.packets.order_by("pk")] == [
        (D("3000"), D("4.35"), "K-7")] * 2  # fmt: skip
    assert (eggs.packets.get().quantity, eggs.packets.get().cost) == (D(12), D("3.20"))


def test_what_her_own_shopping_list_says_comes_in_as_deliveries_by_shop(signed_in, sugar, eggs):
    text = (
        "shop,what,packs,amount,unit,about,order by,why\n"
        "Capstan Stores,Icing sugar,2,6000,g,8.70,2026-11-25,short\nHen Farm,Eggs,,24,pieces,6.40,,\n"
    )
    data = sent(text)
    assert "Not read: order by, why." in signed_in.post(HERE, data).content.decode()
    signed_in.post(HERE, data | {"go": "1"})
    assert sorted(Delivery.objects.values_list("supplier", flat=True)) == ["Capstan Stores", "Hen Farm"]
    assert ledger.on_hand([sugar, eggs]) == {sugar.pk: D(6000), eggs.pk: D(24)}


@pytest.mark.parametrize(
    ("line", "sentence"),
    [
        ("Icing sugar,-3,1", "Less than nothing"),
        ("Icing sugar,9999999 kg,1", "More than any cupboard holds"),
        ("Icing sugar,3 furlongs,1", "no measure known here"),
        ("Icing sugar,2 cups,1", "only you can tell"),
        ("Icing sugar,,1", "How much came?"),
        ("Icing sugar,1e400,1", "no measure known here"),
        ("Icing sugar,NaN,1", "Begin with a number"),
        ("Icing sugar,1 kg,-4", "never less than nothing"),
        ("Icing sugar,1 kg,lots", "A price is a number"),
        ("Icing sugr,1 kg,1", "is not in the cupboard. Icing sugar is."),
        ("Moon dust,1 kg,1", "is not in the cupboard. Add it there first."),
        (",1 kg,1", "The name is missing"),
        ("=HYPERLINK(1),1 kg,1", "begins like a formula"),
        ("@SUM(A1),1 kg,1", "begins like a formula"),
        ("+cmd|' /C calc'!A0,1 kg,1", "begins like a formula"),
        ("-2+3,1 kg,1", "begins like a formula"),
        ("Icing sugar,1 kg,1,2,3,4,5,6", "More columns than headings"),
        ("Icing sugar,1 kg,1,someday", "is no day"),
        ("Icing sugar,1 kg,1,31/02/2027", "is no day"),
        ("Icing sugar,1 kg,1,9999-01-01", "is the year right?"),
        ("Icing sugar,1 kg,1,,2999-01-01", "is the year right?"),
        ("Icing sugar,1 kg,1,,{tomorrow}", "still to come"),
        ("Icing sugar,1 kg,1,,2001-01-01", "More than a year ago"),
    ],
)
def test_one_bad_line_books_nothing_and_loses_nothing(signed_in, sugar, line, sentence):
    line = line.format(tomorrow=timezone.localdate() + timedelta(days=1))
    text = f"name,amount,cost,best before,came on\nIcing sugar,1 kg,1.50,,\n{line}\n"
    answer = signed_in.post(HERE, sent(text, go="1"))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert sentence in page
    assert "Line 3." in page
    assert "Line 2." not in page
    assert "Icing sugar,1 kg,1.50,," in page, "what was typed stays in the field"
    assert not Packet.objects.exists()
    assert not Delivery.objects.exists()


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"])
def test_any_way_of_writing_letters_is_read(signed_in, sugar, encoding):
    make.StockItemFactory(name="Crème fraîche", unit="g")
    content = "name;amount;cost\nCrème fraîche;0,5 kg;2,10\n".encode(encoding)
    page = signed_in.post(HERE, sent(file=content)).content.decode()
    assert "Crème fraîche" in page
    assert "which is a guess" not in page
    assert "Nothing is written yet" in page


def test_a_guess_is_said(signed_in, sugar):
    make.StockItemFactory(name="Crème fraîche", unit="g")
    page = signed_in.post(
        HERE, sent(file="name;amount\nCrème fraîche;500 g\n".encode("latin-1"))
    ).content.decode()
    assert "which is a guess" in page
    assert "Nothing is written yet" in page


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"PK\x03\x04 whatever", "Save it as CSV"),
        (b"%PDF-1.7", "That is a PDF"),
        (b"name,amount\nx\x00\x01,1", "That is no text"),
        (b"\xff\xfea", "breaks off"),
        (b"", "That file is empty"),
        (b"\n\n  \n", "That file is empty"),
        (b"a" * 1_000_001, "larger than 1 MB"),
        (b"name,amount\n" + b"Icing sugar,1 kg\n" * 50_000, "50,001 lines"),
        (b'name,amount\nEggs,1\n"Eggs,1\n' + b"Eggs,1\n" * 40, "quotation mark"),
        (b"name,name\na,b\n", "Two columns say the same"),
        (b"cost,amount\n1,2\n", "Which column says what it is?"),
        (b"name,amount\n", "nothing below it"),
    ],
)
def test_files_that_are_no_table_get_a_sentence(signed_in, sugar, content, sentence):
    answer = signed_in.post(HERE, sent("kept,1", file=content, go="1"))
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert not Packet.objects.exists()


def test_a_hundred_thousand_lines_are_refused_at_once_and_stay_in_the_field(signed_in, sugar):
    text = "name,amount\n" + "Salt,1\n" * 100_000
    answer = signed_in.post(HERE, sent(text))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "100,001 lines" in page
    assert page.count("Salt,1") == 100_000


def test_the_same_line_twice_and_the_same_bag_twice_are_asked_about(signed_in, sugar):
    data = sent("name,amount\nIcing sugar,1 kg\nIcing sugar,1 kg\n")
    assert "The same as line 2" in signed_in.post(HERE, data).content.decode()
    signed_in.post(HERE, data | {"go": "1"})
    assert sugar.packets.count() == 2, "asked about, not refused"
    assert "in the books already" in signed_in.post(HERE, sent("Icing sugar,1 kg\n")).content.decode()


def test_her_own_list_adds_changes_and_counts(signed_in, sugar):
    text = (
        "name,shelf,unit,level,amount,pack size,pack price,supplier,days to get it,edible\n"
        "Icing sugar,,,,2.5 kg,,,,2,\nGold leaf,Dust and paint,sheets,low,,25,6.40,Quillet,7,no\n"
    )
    data = sent(text, what="cupboard")
    assert signed_in.post(HERE, data).status_code == 200
    assert StockItem.objects.count() == 1
    for _ in range(2):
        signed_in.post(HERE, data | {"go": "1"})
    sugar.refresh_from_db()
    gold = StockItem.objects.get(name="Gold leaf")
    assert (ledger.on_hand([sugar])[sugar.pk], sugar.lead_days) == (D(2500), 2)
    assert (gold.group, gold.unit, gold.level, gold.pack_size, gold.edible) == (
        "dust",
        "sheet",
        "low",
        D(25),
        False,
    )
    assert Move.objects.count() == 1


@pytest.mark.parametrize(
    ("line", "sentence"),
    [
        ("Salt,attic,,,", "is no shelf here"),
        ("Salt,,,,", "Which shelf?"),
        ("Salt,dry,stone,,", "things are kept in"),
        ("Salt,dry,g,plenty,", "say have, low or out"),
        ("Salt,dry,g,have,-1", "Less than nothing"),
        ("Icing sugar,,,,\nicing SUGAR,,,,", "about the same thing"),
        ("s" * 300 + ",dry,,,", "room for 80 signs"),
        ("Icing sugar,,drops,,", "has packets in g"),
    ],
)
def test_a_bad_line_of_her_own_list_changes_nothing(signed_in, sugar, line, sentence):
    ledger.count_item(item=sugar, quantity=5, token="x")
    answer = signed_in.post(HERE, sent(f"name,shelf,unit,level,amount\n{line}\n", what="cupboard", go="1"))
    assert answer.status_code == 422
    assert sentence in answer.content.decode()
    assert StockItem.objects.count() == 1


def test_what_goes_out_comes_in_again_and_changes_nothing(signed_in, sugar, eggs):
    make.StockItemFactory(name="=2+3", supplier="@home", allergens="-")
    ledger.count_item(item=sugar, quantity=D("812.5"), token="x")
    out = signed_in.get("/cupboard/cupboard.csv").content.decode("utf-8-sig")
    before = list(StockItem.objects.order_by("pk").values())
    page = signed_in.post(HERE, sent(out, what="cupboard"))
    assert page.status_code == 200, page.content.decode()
    signed_in.post(HERE, sent(out, what="cupboard", go="1"))
    assert list(StockItem.objects.order_by("pk").values()) == before
    assert Move.objects.count() == 1


@given(st.lists(st.lists(st.text(max_size=30), min_size=1, max_size=4), max_size=5))
def test_no_cell_that_goes_out_is_a_formula(rows):
    text = csv_out.rows_as_text(rows)
    for row, told in zip(rows, csv.reader(StringIO(text, newline="")), strict=False):
        for said, cell in zip(row, told, strict=True):
            assert not cell.startswith(csv_out.RISKY) or csv_out.NUMBER.match(cell)
            assert cell in (said, "'" + said)


@settings(max_examples=150)
@given(st.binary(max_size=400))
def test_any_bytes_are_text_or_a_sentence(content):
    try:
        text, _ = text_of(content)
        assert "\x00" not in text
        read_table(text, assumed=("name", "amount"))
    except (Unreadable, NoTable) as wrong:
        said = str(wrong)
    else:
        said = "."
    assert said.endswith((".", "?"))


SIGNS = st.text(alphabet=st.sampled_from(list("aé1,;\t\"'=-\n |.x0kg")), max_size=120)


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    head=st.sampled_from(["name,amount,cost\n", "name;packs;size\n", "name,shelf,amount,level\n", ""]),
    body=SIGNS,
    what=st.sampled_from(["delivery", "cupboard", "<b>"]),
)
def test_any_text_is_answered_and_never_half_written(signed_in, sugar, head, body, what):
    before = Packet.objects.count(), StockItem.objects.count(), Move.objects.count()
    answer = signed_in.post(HERE, sent(head + body, what=what, go="1"))
    assert answer.status_code in (200, 302, 422)
    after = Packet.objects.count(), StockItem.objects.count(), Move.objects.count()
    assert answer.status_code == 302 or after == before


@pytest.mark.parametrize(
    ("text", "day"), [("2026-11-24", 24), ("24/11/2026", 24), ("24.11.26", 24), ("1-2-2027", 1)]
)
def test_days_as_shops_write_them(text, day):
    assert day_of(text).day == day


def test_moves_go_out_in_bounded_queries(signed_in, sugar, django_assert_max_num_queries):
    for n in range(30):
        ledger.count_item(item=sugar, quantity=n + 1, token=f"n{n}")
    with django_assert_max_num_queries(8):
        rows = (
            b"".join(signed_in.get("/cupboard/moves.csv").streaming_content).decode("utf-8-sig").splitlines()
        )
    assert len(rows) == 31


def test_a_long_list_takes_as_few_queries_as_a_short_one_to_look_at(
    signed_in, sugar, django_assert_max_num_queries
):
    text = "name,amount\n" + "Icing sugar,1 kg\n" * 450
    with django_assert_max_num_queries(16):
        assert signed_in.post(HERE, sent(text)).status_code == 200
