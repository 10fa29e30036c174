"""A client's page says only what is true of the piece: its wood, its finish, how it leaves."""

from decimal import Decimal

import pytest

from ledger.book import Book
from ledger.designs.model import Coat, Count, Design, Joint, Need, Part
from ledger.designs.store import save_design
from ledger.jobs.answers import answer
from ledger.jobs.jobs import find_job, new_job, set_basis
from ledger.jobs.pricing import price_job
from ledger.labor.standards import load_starting_standards
from ledger.measures.length import Length
from ledger.quotes.draft import Wishes, draft_quote
from ledger.quotes.occasions import occasions_of
from ledger.quotes.text import offer_text
from ledger.stock.materials import MaterialRow, save_materials

ROWS = [
    MaterialRow("PLY", "Birch plywood", "sheet", "sheet", length=Length.of(96, "in"),
                width=Length.of(48, "in"), price=Decimal(80)),
    MaterialRow("MDF", "MDF 3/4", "sheet", "sheet", length=Length.of(96, "in"),
                width=Length.of(48, "in"), price=Decimal(50)),
    MaterialRow("OAK", "White oak 4/4", "lumber", "bd ft", length=Length.of(96, "in"),
                width=Length.of(7, "in"), thickness=Length.of(1, "in"), price=Decimal(9)),
    MaterialRow("HARDOIL", "Hard oil", "finish", "qt", coverage=Decimal(120),
                coverage_source="the can", price=Decimal(24)),
    MaterialRow("EXTOIL", "Exterior oil", "finish", "qt", coverage=Decimal(120),
                coverage_source="the can", price=Decimal(24)),
    MaterialRow("WHITE", "White enamel", "finish", "qt", coverage=Decimal(100),
                coverage_source="the can", price=Decimal(30)),
    MaterialRow("HINGE", "Hinge", "hardware", "each", price=Decimal(4)),
]  # fmt: skip


@pytest.fixture
def page(book: Book):
    """Make a job of parts in one material: its marks, and its page as one line of text."""
    load_starting_standards(book)
    save_materials(book, ROWS)
    with book.entry("shop set"):
        book.set("overhead_year", "18000")
        book.set("pay_year", "48000")

    def made(material, finish=(), counts=(), *, price="2000", tags=(), needs=(), title="Piece"):
        design = Design(
            "piece", "Piece", "inch",
            parts=(Part("A", "Side", "2", "20 in", "6 in", material, faces=2),
                   Part("B", "End", "2", "20 in", "6 in", material, faces=2)),
            joints=(Joint("A-B", "pocket", "6 in", "4"),), finish=finish,
            counts=tuple(Count(*count) for count in counts),
            tags=tags, needs=needs,
        )  # fmt: skip
        job = new_job(book, title)
        set_basis(book, job, save_design(book, design, "tried").key, {})
        drafted = draft_quote(book, job, Wishes(price=book.currency.parse(price)))
        text = " ".join(offer_text(drafted.offer, None).split())
        return occasions_of(book, job, price_job(book, job), ()), text, drafted.offer

    return made


def test_a_sample_stands_on_the_page_only_where_there_is_one(book, page):
    _, text, _ = page("OAK", (Coat("HARDOIL", 2, "wipe"),))
    assert "this quote, its drawing and the payments" in text
    assert "Color match to other pieces; wood moves" in text
    offer = draft_quote(book, find_job(book, "piece"), Wishes(sample="no. 3")).offer
    assert "its drawing and sample" in offer.acceptance
    assert any("beyond the approved sample; wood moves" in words for words in offer.exclusions)


def test_changes_are_beyond_included_revisions_only_where_the_quote_includes_some(book, page):
    _, text, _ = page("OAK")
    assert "2 drawing revisions included." in text
    assert "beyond the included drawing revisions are such changes." in text
    with book.entry("shop set"):
        book.set("revisions", "0")
    offer = draft_quote(book, find_job(book, "piece"), Wishes()).offer
    (changes,) = (one.words for one in offer.clauses if one.name == "Changes")
    assert "revisions" not in " ".join(offer_text(offer, None).split())
    assert changes.endswith("Changes of size, material or drawing are such changes.")


def test_an_oiled_table_that_is_collected(page):
    marks, text, offer = page("OAK", (Coat("HARDOIL", 2, "wipe"),))
    assert {"solid", "wood", "oil_finish", "collected", "coated", "drawn"} <= marks
    assert not {"veneer", "painted", "delivered", "installed", "measured", "site"} & marks
    assert [one.name for one in offer.payments] == [
        "On acceptance", "Before finishing", "On pickup",
    ]  # fmt: skip
    assert "one year from pickup" in text
    assert "Oil it again" in text
    assert "wood moves" in text
    assert "clear path" not in text


def test_a_painted_cabinet_of_mdf_that_is_delivered_and_fitted(page):
    counts = (("delivery", "2"), ("install", "3"), ("meetings", "1"))
    marks, text, offer = page("MDF", (Coat("WHITE", 2, "brush"),), counts)
    assert {"painted", "delivered", "installed", "measured"} <= marks
    assert not {"wood", "veneer", "solid", "collected", "oil_finish"} & marks
    assert offer.payments[-1].name == "On installation"
    assert "one year from installation" in text
    for words in ("wood moves", "humidity", "studs", "fine line", "Oil it"):
        assert words not in text, words
    assert "Chips are touched up" in text


def test_a_raw_piece_that_is_delivered(page):
    marks, _, offer = page("PLY", (), (("delivery", "1"),))
    assert {"veneer", "wood", "delivered"} <= marks
    assert not {"coated", "installed"} & marks
    assert [one.name for one in offer.payments] == [
        "On acceptance", "Before assembly", "On delivery",
    ]  # fmt: skip


def test_a_warranty_speaks_of_fittings_only_where_the_piece_has_some(page):
    _, without, _ = page("OAK")
    assert "one year from pickup. Your rights" in without
    _, text, _ = page("OAK", needs=(Need("HINGE", "2"),))
    assert "one year from pickup. Fittings carry their makers' own warranty. Your rights" in text


@pytest.mark.parametrize(
    ("shares", "paid"),
    [("50/40/10", [49950, 49950]), ("50/50", [49950, 49950]), ("100", [99900])],
)
def test_a_small_job_is_paid_in_two_at_most(book, page, shares, paid):
    with book.entry("shop set"):
        book.set("payments", shares)
    _, _, offer = page("PLY", price="999")
    assert [one.price.minor for one in offer.payments] == paid


def test_a_piece_that_its_buyer_hangs_is_promised_no_delivery_and_no_work_on_site(book, page):
    marks, _, _ = page("OAK", tags=("wall_fixed",))
    assert {"site", "installed", "delivered"} <= marks
    job = find_job(book, "piece")
    answer(book, job, "installation", book.currency.parse("0"))

    drafted = draft_quote(book, job, Wishes(price=book.currency.parse("2000")))

    marks = occasions_of(book, job, drafted.sheet, ())
    assert "wall_fixed" in marks
    assert not marks & {"site", "installed", "delivered"}
    text = " ".join(offer_text(drafted.offer, None).split())
    assert "One delivery" not in text
    assert "from pickup" in text
    assert not any("license" in words for words in drafted.warnings)


def test_a_piece_that_stands_outdoors_has_no_room(page):
    marks, indoors, _ = page("OAK", (Coat("HARDOIL", 2, "wipe"),), (("delivery", "1"),))
    assert "outdoors" not in marks
    assert "Keep the room between about 35 and 55 %" in indoors
    marks, text, _ = page("OAK", counts=(("delivery", "1"),), title="Garden bench")
    assert "outdoors" in marks
    assert "Outdoors wood weathers" in text
    assert "humidity" not in text
    assert "the room" not in text


@pytest.mark.parametrize(
    ("counts", "said", "unsaid"),
    [
        ([("delivery", "2"), ("install", "3"), ("meetings", "1")],
         ("Site measure and drawing", "- Delivery and fitting on site"), ()),
        ([("delivery", "2")], ("- Drawing", "- Delivery"), ("fitting on site", "Site measure")),
        ([("meetings", "1")], ("- Drawing",), ("- Delivery", "fitting on site", "Site measure")),
    ],
)  # fmt: skip
def test_what_the_price_has_hours_for_is_included_by_name(page, counts, said, unsaid):
    _, text, _ = page("PLY", (), counts)
    included = text.partition("Included")[2].partition("We assume")[0]

    assert all(words in included for words in said), included
    assert not any(words in included for words in unsaid), included


def test_a_delivery_under_its_own_price_is_not_said_twice(book, page):
    page("PLY", (), [("delivery", "2"), ("install", "3")])
    wishes = Wishes(
        price=book.currency.parse("2000"), extras={"Delivery": book.currency.parse("200")}
    )
    offer = draft_quote(book, find_job(book, "piece"), wishes).offer

    assert "Fitting on site" in offer.included
    assert not any("Delivery" in words for words in offer.included)


def test_a_finish_for_outdoors_says_that_the_piece_stands_there(page):
    marks, text, _ = page("OAK", (Coat("EXTOIL", 2, "wipe"),), (("delivery", "1"),))
    assert "outdoors" in marks
    assert ("humidity" in text, "ground floor" in text) == (False, False)
    marks, *_ = page("OAK", (Coat("EXTOIL", 2, "wipe"),), title="Indoor bench")
    assert "outdoors" not in marks
