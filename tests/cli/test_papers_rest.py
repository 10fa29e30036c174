"""Taking back what later papers rest on, typed: a hall bench in the US, and one under VAT."""

import json


def noted(said):
    """What was said beside the facts, its lines joined."""
    return " ".join(said.err.split())


def facts(said):
    assert said.code == 0, said.err
    return json.loads(said.out)


def entered(vat):
    vat("shop", "set", "address=Lindenweg 4", "tax_number=ATU12345675")
    vat("job", "client", "bench", "--address", "Feldstr. 9 | 1010 Wien")


def last_entry(program):
    return str(facts(program("undo", "--list", "--json"))[0]["entry"])


def test_an_invoice_that_a_later_one_deducts_is_not_undone(sold):
    facts(sold("quote", "invoice", "bench", "--json"))
    deposit = last_entry(sold)
    facts(sold("quote", "invoice", "bench", "--rest", "--json"))
    final = last_entry(sold)

    refused = sold("undo", deposit)
    assert refused.code == 1
    assert f"benchledger undo {final}" in noted(refused)
    assert "quote credit I-2501-1" in noted(refused)
    assert sold("undo", final).code == 0
    assert sold("undo", deposit).code == 0


def test_a_credit_note_that_a_later_invoice_counts_is_not_undone(sold):
    facts(sold("quote", "invoice", "bench", "--json"))
    facts(sold("quote", "credit", "I-2501-1", "54", "--why", "a scratch", "--json"))
    note = last_entry(sold)
    facts(sold("quote", "invoice", "bench", "--rest", "--json"))

    refused = sold("undo", note)
    assert refused.code == 1
    assert "I-2501-3 counts I-2501-2" in noted(refused)


def test_a_cancellation_that_an_invoice_rests_on_is_not_undone(sold):
    sold("job", "cancel", "bench", "--kept", "300", "--why", "moved away")
    canceled = last_entry(sold)
    paper = facts(sold("quote", "invoice", "bench", "--json"))
    assert paper["asked"] == "300.00"

    refused = sold("undo", canceled)
    assert refused.code == 1
    assert f"{paper['invoice']} rests on this cancellation" in noted(refused)
    sold("undo")
    assert sold("undo", canceled).code == 0


def test_under_vat_another_sum_answers_a_cancellation_that_was_credited(vat):
    entered(vat)
    vat("job", "pay", "bench", "1200")
    vat("quote", "invoice", "bench")
    vat("job", "cancel", "bench", "--kept", "600", "--why", "moved", "--kept-as", "work")

    refused = vat("undo")
    assert refused.code == 1
    assert "job cancel J-2501 --kept" in noted(refused)


def test_refunds_are_undone_one_after_the_other_though_an_invoice_stands(vat):
    entered(vat)
    vat("job", "pay", "bench", "1200")
    vat("quote", "invoice", "bench")

    vat("job", "pay", "bench", "40", "--refund")
    vat("job", "pay", "bench", "60", "--refund")

    assert vat("undo").code == 0
    assert facts(vat("job", "pay", "bench", "--json"))["received"] == "1160.00"
    assert vat("undo").code == 0
    assert vat("undo").code == 1, "the invoice under VAT stays"
