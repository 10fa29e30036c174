"""What stands on a client's page by itself: only what is true of this piece, place and book."""


def text_of(shop, *words):
    """The page of a new job for the bench's parts, as text."""
    shop("job", "new", "Second bench", "--parts", "bench.csv", "--client", "T. Okafor")
    drafted = shop("quote", "draft", "second", "--price", "2000", *words)
    assert drafted.code == 0, drafted.err
    return " ".join(shop("quote", "text", "second").out.split()), " ".join(drafted.err.split())


def test_a_bench_that_is_fetched_has_no_word_on_walls_floors_or_delivery(sold):
    page, notes = text_of(sold)
    for words in ("wall", "floor", "parking", "plumb", "installation", "site", "packing"):
        assert words not in page.casefold()
    assert "On pickup" in page
    assert "picked up at the shop" in page.casefold()
    assert "from pickup" in page
    assert "three business days" in notes


def test_a_bench_that_is_fitted_names_its_walls_in_the_books_own_units(sold):
    page, _ = text_of(sold, "--deliverable", "Delivery and installation=200")
    assert "studs 16 in on center" in page
    assert "On installation" in page
    assert "painting of walls" in page
    assert " mm" not in page


def test_a_metric_euro_book_has_no_inches_and_no_law_of_the_us(vat):
    page, notes = text_of(vat, "--deliverable", "Delivery and installation=200")
    assert "level within 10 mm" in page
    for words in (" in on center", "drywall", "1/2 in", " ft", "(406"):
        assert words not in page
    for words in ("three business days", "US", "contractor", "licensing board"):
        assert words not in notes
    assert "14 days in the EU" in notes


def test_an_items_mark_is_the_owners_to_use_and_never_shown(sold):
    sold("shop", "set", "wording_assumptions=site: The wall is bare | delivery: A van fits | Pets")
    page, _ = text_of(sold, "--deliverable", "Delivery=50")
    assert "A van fits" in page
    assert "Pets" in page
    assert "The wall is bare" not in page
    assert "delivery:" not in page


def test_what_the_shop_says_to_all_is_not_kept_as_said_for_one_when_drafted_again(sold):
    text_of(sold, "--deliverable", "Installation=50", "--assume", "The cat stays out")
    again = sold("quote", "draft", "second", "--again", "--deliverable", "Installation=0")
    assert again.code == 0, again.err
    page = " ".join(sold("quote", "text", "second").out.split())
    assert "The cat stays out" in page
    assert "studs" not in page
