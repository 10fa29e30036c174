"""A kit next to a commission: same function first, then cash, own labor, and years."""

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.designs.store import load_version, save_design
from ledger.errors import Ambiguous, BadValue, NotAllowed, NotFound
from ledger.jobs.jobs import basis_of, set_basis
from ledger.measures.money import Money, currency, total
from ledger.measures.quantity import Quantity
from ledger.measures.values import replace
from ledger.quotes.answers import accept_quote
from ledger.quotes.draft import Wishes, draft_quote
from ledger.quotes.kit import (
    Builder,
    Extra,
    KitOffer,
    Way,
    break_even,
    cash_ratio,
    kit_way,
    landed,
    whole_packs,
)
from ledger.quotes.kits import add_kit, compare, find_kit, kits
from ledger.quotes.revisions import send_quote
from ledger.stock.materials import MaterialRow, save_materials

USD = currency("USD")


def usd(text):
    return USD.money(Decimal(text))


def kit_offer(**more):
    """The melamine kit of the worked example, with what it lacks."""
    facts = {
        "number": "K-1", "name": "Melamine fold bed", "price": usd("1890"),
        "seen": date(2025, 4, 24), "source": "the seller's page", "shipping": usd("210"),
        "tax_rate": Fraction(6, 100), "assembly": Decimal(12), "years": 8,
        "warranty": "5 years on the mechanism", "lift_help": "gas springs", "note": "",
        "extras": (Extra("two 18-in bookcases", usd("520"), taxed=True),
                   Extra("wall fixings", usd("25"), taxed=False)),
    } | more  # fmt: skip
    return KitOffer(**facts)


def way(cash, hours):
    return Way("a way", usd(cash), Decimal(hours))


def test_what_a_kit_lacks_stands_on_its_side_with_its_tax():
    lines = landed(kit_offer(), USD)

    assert [(line.words, line.amount) for line in lines] == [
        ("Melamine fold bed", usd("1890")),
        ("shipping", usd("210")),
        ("tax on the kit", usd("113.40")),
        ("two 18-in bookcases", usd("520")),
        ("tax on two 18-in bookcases", usd("31.20")),
        ("wall fixings", usd("25")),
    ]


@pytest.mark.parametrize(
    ("build", "kit", "said"),
    [
        (("1000", 50), ("2000", 10), "below 25.00 an hour building pays"),
        (("2000", 50), ("2000", 10), "no wage makes building pay: it costs 0.00 and 40 hours more"),
        (("2500", 50), ("2000", 10), "no wage makes building pay: it costs 500.00 and 40 hours"),
        (
            ("2500", 5),
            ("2000", 10),
            "it costs 500.00 more and takes 5 hours less; above 100.00 an"
            " hour it pays, below it the kit does",
        ),
        (("2500", 10), ("2000", 10), "no break-even: it costs 500.00 more and takes as long"),
        (("1500", 5), ("2000", 10), "no break-even: it costs 500.00 and 5 hours less"),
        (("1500", 10), ("2000", 10), "no break-even: it costs 500.00 and 0 hours less"),
    ],
)
def test_the_break_even_wage_and_its_special_cases_are_said_in_words(build, kit, said):
    found = break_even(way(*build), way(*kit), USD)

    assert found.words.startswith(said)
    assert (found.wage is not None) == ("an hour" in said)


@settings(deadline=None)
@given(
    build=st.tuples(st.integers(0, 10**7), st.integers(0, 500)),
    kit=st.tuples(st.integers(0, 10**7), st.integers(0, 500)),
)
def test_at_the_break_even_wage_both_ways_cost_the_same_to_a_cent_an_hour(build, kit):
    one = Way("build", Money(build[0]), Decimal(build[1]))
    other = Way("kit", Money(kit[0]), Decimal(kit[1]))
    found = break_even(one, other, USD)

    if found.wage is not None:
        apart = one.with_labor(found.wage) - other.with_labor(found.wage)
        assert abs(apart.minor) * 2 <= abs(build[1] - kit[1]) + 2
        more = found.wage + Money(100)
        is_dearer = one.with_labor(more) > other.with_labor(more)
        assert is_dearer == (build[1] > kit[1])
    else:
        wages = (Money(1), Money(10**9))
        assert len({one.with_labor(wage) > other.with_labor(wage) for wage in wages}) == 1


def test_a_kit_that_costs_nothing_has_no_ratio():
    with pytest.raises(BadValue, match="costs nothing"):
        cash_ratio(way("100", 1), way("0", 1))


@settings(deadline=None)
@given(quantity=st.integers(0, 10_000), pack=st.integers(1, 500))
def test_whole_packs_are_enough_and_never_a_pack_too_many(quantity, pack):
    bought = whole_packs(Fraction(quantity), Fraction(pack))

    assert 0 <= bought - quantity < pack
    assert bought % pack == 0


def test_a_novice_takes_whole_hours_of_the_skilled_ones():
    assert Builder(Money(0), Decimal(53), Decimal("1.8"), Money(0)).novice == 95


def test_a_kit_without_a_life_has_no_cost_a_year():
    assert way("100", 1).a_year is None
    assert kit_way(kit_offer(years=1), USD).a_year == usd("2789.60")


@pytest.fixture
def quoted(book, job, sheet):
    """The Marrow bed, quoted at 6,980.00 and 364.80 of tax."""
    wishes = Wishes(extras={"Delivery and installation": usd("900")})
    return draft_quote(book, job, wishes, sheet).quote


def test_kits_are_numbered_and_found_by_number_or_name(book):
    add_kit(book, kit_offer())
    add_kit(book, kit_offer(name="Steel frame bed"))

    assert [kit.number for kit in kits(book)] == ["K-1", "K-2"]
    assert find_kit(book, "k-1") == kit_offer()
    assert find_kit(book, "steel").number == find_kit(book).number == "K-2"
    with pytest.raises(Ambiguous):
        find_kit(book, "bed")
    with pytest.raises(NotFound):
        find_kit(book, "hammock")


def test_without_a_kit_the_command_to_add_one_is_named(book):
    with pytest.raises(NotAllowed, match="kit add"):
        find_kit(book)


@pytest.mark.parametrize("wrong", [{"price": Money(0)}, {"years": 0}, {"seen": date(2025, 5, 1)}])
def test_a_kit_that_makes_no_sense_is_refused(book, wrong):
    with pytest.raises(BadValue):
        add_kit(book, kit_offer(**wrong))


def compared(book, job, sheet, **more):
    asked = {"wage": usd("20"), "years": 20, "plan": usd("18"), "sheet": sheet} | more
    return compare(book, job, kit_offer(), **asked)


def test_the_commission_counts_with_what_its_client_pays(book, job, sheet, quoted):
    assert compared(book, job, sheet).commission.way.cash == usd("7344.80")


@pytest.mark.parametrize("name", ["Armoire", "wardrobe"])
def test_the_piece_is_called_by_its_design_whatever_that_is_named(book, job, sheet, quoted, name):
    version, design = load_version(book, basis_of(book, job).design)
    set_basis(book, job, save_design(book, replace(design, name=name)).key, {})

    assert compared(book, job, sheet).piece == version.title


def test_change_orders_count_once_they_are_approved(book, job, sheet, quoted):
    from ledger.jobs.changes import approve, propose

    send_quote(book, quoted)
    accept_quote(book, quoted, how="signature")
    approve(book, job, propose(book, job, "two more shelves", usd("120")), "e-mail")

    assert compared(book, job, sheet).commission.way.cash == usd("7472.00")


def test_a_builder_does_not_design_talk_or_deliver(book, job, sheet, quoted):
    skilled, novice = compared(book, job, sheet).built

    assert (skilled.way.hours, novice.way.hours) == (53, 95)


def test_both_figures_of_the_material_are_shown(book, job, sheet, quoted):
    from ledger.measures.quantity import Quantity
    from ledger.stock.materials import MaterialRow, save_materials

    rows = [MaterialRow("POCKET", "Pocket screws", "fastener", "screw", Quantity.of(100),
                        price=Decimal("0.054"))]  # fmt: skip
    save_materials(book, rows)
    found = compared(book, job, sheet, skilled=Decimal(53))

    assert found.material == usd("1876.03")
    assert found.material_in_packs == usd("1880.78")  # 83 screws more: 4.48, and their tax


def test_a_kit_to_which_nothing_was_added_is_asked_about(book, job, sheet, quoted):
    more = {"wage": usd("20"), "years": 20, "plan": Money(0), "sheet": sheet}
    bare = compare(book, job, kit_offer(extras=()), skilled=Decimal(53), **more)

    assert "Does it do the same" in bare.notes[0]
    assert total(line.amount for line in bare.lines) == usd("2213.40")


def test_a_job_without_a_quote_is_not_compared(book, job, sheet):
    with pytest.raises(NotAllowed, match="has no quote yet"):
        compared(book, job, sheet)


def test_whole_packs_are_bought_for_all_lines_of_a_material_together(book, job, sheet, quoted):
    screws = MaterialRow("POCKET", "Pocket screws", "fastener", "screw", pack=Quantity.of(100))
    save_materials(book, [screws])
    whole = compared(book, job, sheet).material_in_packs
    (line,) = [one for one in sheet.lines if one.item == "POCKET"]
    parts = [
        replace(line, quantity=Quantity.of(count), full=Money(cents), cash=Money(cents))
        for count, cents in ((40, 216), (40, 216), (37, 200))
    ]
    in_parts = replace(sheet, lines=(*(x for x in sheet.lines if x is not line), *parts))

    assert compared(book, job, in_parts).material_in_packs == whole
