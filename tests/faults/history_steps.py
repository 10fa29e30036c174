"""What a random history types: one function for each command, the dice choosing its words."""

from history_shop import GOODS, SUPPLIERS, History, Words, of_job, step


def quantity(shop: History, most: int) -> str:
    """A quantity of at most so many, whole or with thousandths."""
    if shop.dice.random() < 0.6:
        return str(shop.dice.randint(1, most))
    thousandths = shop.dice.randint(1, most * 1000)
    return f"{thousandths // 1000}.{thousandths % 1000:03}1"


@step("receipt", 7)
def receipt(shop: History) -> Words:
    """Goods are bought: several lines, a discount, freight and tax on the document."""
    dice = shop.dice
    job = shop.job() or "stock"
    words = ["receipt", "add", dice.choice(GOODS), str(dice.randint(1, 9)), shop.amount(90)]
    if dice.random() < 0.5:
        to = dice.choice(["stock", "shop", job])
        words += [
            "--and",
            f"{dice.choice(GOODS)} {dice.randint(1, 5)} at {shop.amount(40)} to {to}",
        ]
    words += [
        "--from",
        dice.choice(SUPPLIERS),
        "--to",
        dice.choice(["stock", "stock", job, "shop"]),
    ]
    if dice.random() < 0.4:
        words += ["--discount", shop.amount(3)]
    if dice.random() < 0.4:
        words += ["--freight", shop.amount(30)]
    kind = dice.choice(["paid", "resale", "use", "recoverable", "none", ""])
    words += ["--tax-kind", kind] if kind else []
    if kind in ("paid", "recoverable", "") and dice.random() < 0.8:
        words += ["--tax", shop.amount(20)]
    return (*words, "--on", shop.past_day())


@step("in kind", 2)
def in_kind(shop: History) -> Words:
    """A sponsor gives or lends goods."""
    loan = ("--loan",) if shop.dice.random() < 0.2 else ()
    return ("sponsor", "receive", "Price", shop.dice.choice(GOODS), str(shop.dice.randint(1, 6)),
            "--value", shop.amount(99), "--on", shop.past_day(), *loan)  # fmt: skip


@step("opening stock")
def opening(shop: History) -> Words:
    """What was there before the book."""
    path = shop.folder / "opening.csv"
    path.write_text(f"material,quantity,unit cost\n{shop.dice.choice(GOODS)},5,{shop.amount(50)}\n")
    return "stock", "open", str(path), "--on", shop.past_day()


@step("credit note", 3)
def credit(shop: History) -> Words:
    """A supplier credits goods, or money without goods."""
    lot = shop.pick([lot for lot in shop.sums.now["lot"] if lot["source"] == "receipt"])
    if lot is None or not lot["material"]:
        return None
    whole = max(1, lot["quantity"] // 1_000_000)
    words = ["receipt", "add", lot["material"], str(shop.dice.randint(0, whole)), shop.amount(30),
             "--credit-of", shop.dice.choice([str(lot["id"]), lot["material"]])]  # fmt: skip
    job = shop.job()
    if job and shop.dice.random() < 0.3:
        words += ["--to", job]
    return (*words, "--on", shop.past_day())


@step("send back")
def send_back(shop: History) -> Words:
    """Goods go back before their credit note, or after it."""
    words = [
        "stock",
        "send-back",
        shop.dice.choice(GOODS),
        quantity(shop, 3),
        "--why",
        "wrong face",
    ]
    job = shop.job()
    words += ["--job", job] if job and shop.dice.random() < 0.4 else []
    words += ["--others"] if shop.dice.random() < 0.3 else []
    return (*words, "--on", shop.past_day())


@step("reverse a receipt")
def reverse(shop: History) -> Words:
    """A receipt was entered by mistake."""
    row = shop.pick([r for r in shop.sums.now["receipt"] if r["kind"] != "reversal"])
    return row and ("receipt", "reverse", row["number"], "--why", "entered twice")


@step("issue", 5)
@of_job
def issue(shop: History, job: str) -> Words:
    """A job takes material: the oldest lot, or a named one."""
    lot = shop.pick(shop.sums.now["lot"])
    named = lot and shop.dice.random() < 0.3
    what = ("1", "--lot", str(lot["id"])) if named else (shop.dice.choice(GOODS), quantity(shop, 5))
    return ("stock", "issue", job, *what, "--on", shop.past_day())


@step("return", 3)
@of_job
def give_back(shop: History, job: str) -> Words:
    """A job gives back what it did not use."""
    return ("stock", "return", job, shop.dice.choice(GOODS), quantity(shop, 3), "--on",
            shop.past_day())  # fmt: skip


@step("scrap", 2)
def scrap(shop: History) -> Words:
    """Something is spoiled, at the shop's cost or a job's."""
    job = shop.job()
    charged = ("--job", job) if job and shop.dice.random() < 0.5 else ()
    return ("stock", "scrap", shop.dice.choice(GOODS), quantity(shop, 2), "--why", "crushed",
            *charged, "--on", shop.past_day())  # fmt: skip


@step("count", 2)
def count(shop: History) -> Words:
    """Stock is counted."""
    return ("stock", "count", shop.dice.choice(GOODS), quantity(shop, 12), "--why", "counted",
            "--on", shop.past_day())  # fmt: skip


@step("rack")
@of_job
def rack(shop: History, job: str) -> Words:
    """A leftover goes on the rack."""
    unit = 1 if shop.shop.units == "inch" else 25
    size = f"{unit * shop.dice.randint(12, 30)}x{unit * shop.dice.randint(8, 20)}"
    return "stock", "keep", job, "PLY", size


@step("material price")
def material_price(shop: History) -> Words:
    """A price list changes."""
    return "material", "price", shop.dice.choice(GOODS), shop.amount(99), "--on", shop.past_day()


@step("job by parts", 2)
def job_by_parts(shop: History) -> Words:
    """A job of a design or of a parts list of its own."""
    name = f"Cabinet {len(shop.typed)}"
    what = (
        ("--design", "cabinet") if shop.dice.random() < 0.5 else ("--parts", str(shop._parts(name)))
    )
    return ("job", "new", name, *what, "--client", f"Client {shop.dice.randint(1, 3)}")


@step("job of lines")
def job_of_lines(shop: History) -> Words:
    """A repair."""
    return ("job", "new", f"Reglue {len(shop.typed)}", "--work", "take apart 12, repair 3h",
            "--use", "GLUE 1", "--client", "M. Ortiz")  # fmt: skip


@step("job in one sum")
def job_in_one_sum(shop: History) -> Words:
    """A price that was shaken on."""
    return ("job", "new", f"Gate {len(shop.typed)}", "--price", shop.amount(2000), "--hours", "9",
            "--client", "T. Okafor")  # fmt: skip


@step("job line")
@of_job
def job_line(shop: History, job: str) -> Words:
    """A line is added, or taken back."""
    if shop.dice.random() < 0.3:
        return "job", "line", job, "--back", str(shop.dice.randint(1, 3))
    what = shop.dice.choice([("repair", "2h"), ("use", "HINGE", "2"),
                             ("outside", shop.amount(200), "caning", "--lead", "9")])  # fmt: skip
    return "job", "line", job, *what


@step("answer")
@of_job
def answer(shop: History, job: str) -> Words:
    """A line of what tends to be forgotten."""
    item = shop.dice.choice(["samples", "parking", "go-back", "warranty"])
    return "job", "answer", job, item, shop.amount(40)


@step("cost", 2)
@of_job
def cost(shop: History, job: str) -> Words:
    """Driving or work of others, planned or as it came."""
    kind = shop.dice.choice([("outside", "1", shop.amount(150)), ("fee", "1", shop.amount(20))])
    came = ("--actual", "--on", shop.past_day()) if shop.dice.random() < 0.5 else ()
    return "job", "add-cost", job, *kind, *came


@step("price", 2)
@of_job
def price(shop: History, job: str) -> Words:
    """Sheets are laid out, and the job is priced."""
    return ("price", job)


@step("quote", 3)
@of_job
def quote(shop: History, job: str) -> Words:
    """A draft, with a discount or an option."""
    words = ["quote", "draft", job]
    if shop.dice.random() < 0.6:
        words += ["--price", shop.amount(5000)]
    if shop.dice.random() < 0.3:
        words += ["--deliverable", f"Discount=-{shop.amount(20)}"]
    if shop.dice.random() < 0.3:
        words += ["--deliverable", f"Delivery={shop.amount(60)}", "--taxed", "Delivery=no"]
    if shop.dice.random() < 0.3:
        words += ["--payments", shop.dice.choice(["100", "30/30/40", "33/33/34", "10/90"])]
    return tuple(words)


@step("accept")
@of_job
def accept(shop: History, job: str) -> Words:
    """The client accepts, or rarely declines."""
    return ("quote", "accept" if shop.dice.random() < 0.85 else "decline", job)


ONWARD = {"draft": ("quote", "send"), "sent": ("quote", "accept"), "accepted": ("quote", "invoice")}


@step("onward", 12)
@of_job
def onward(shop: History, job: str) -> Words:
    """What a job's quote or its change order waits for."""
    rows = shop.sums.now
    number = next(row["id"] for row in rows["job"] if row["number"] == job)
    orders = {row["id"]: row["number"] for row in rows["change_order"] if row["job"] == number}
    states = {row["change_order"]: row["state"] for row in rows["change_state"]}
    proposed = [f"CO-{orders[one]}" for one in orders if states.get(one) == "proposed"]
    if proposed:
        return "job", "change", job, "--approved", proposed[0]
    quotes = {row["id"] for row in rows["quote"] if row["job"] == number}
    told = [row["state"] for row in rows["quote_state"] if row["quote"] in quotes]
    if not told:
        return "quote", "draft", job, "--price", shop.amount(3000)
    if told[-1] == "accepted" and shop.dice.random() < 0.3:
        return "job", "pay", job, shop.amount(900)
    return (*ONWARD[told[-1]], job) if told[-1] in ONWARD else ("job", "close", job)


@step("change", 2)
@of_job
def change(shop: History, job: str) -> Words:
    """A change is proposed, a credit among them."""
    sign = shop.dice.choice(["", "", "-"])
    untaxed = ("--untaxed",) if shop.dice.random() < 0.2 else ()
    return "job", "change", job, "one more shelf", "--price", sign + shop.amount(200), *untaxed


@step("approve")
@of_job
def approve(shop: History, job: str) -> Words:
    """A change is approved or declined."""
    answered = shop.dice.choice(["--approved", "--approved", "--declined"])
    return "job", "change", job, answered, f"CO-{shop.dice.randint(1, 2)}"


@step("invoice", 2)
@of_job
def invoice(shop: History, job: str) -> Words:
    """The next invoice, the rest, or a payment request."""
    more = shop.dice.choice([(), (), ("--rest",), ("--request",), ("--card",)])
    return "quote", "invoice", job, *more


@step("credit an invoice", 2)
def credit_invoice(shop: History) -> Words:
    """A credit note on an invoice, whole or in part."""
    row = shop.pick(shop.sums.now["invoice"])
    some = (shop.amount(100),) if shop.dice.random() < 0.6 else ()
    return row and ("quote", "credit", row["number"], *some, "--why", "a part left out")


@step("pay", 5)
@of_job
def pay(shop: History, job: str) -> Words:
    """A payment comes: what is due, or any sum, by card with its fee."""
    some = (shop.amount(1500),) if shop.dice.random() < 0.7 else ()
    by = shop.dice.choice([(), ("--by", "card", "--fee", shop.amount(5)), ("--by", "cash")])
    return "job", "pay", job, *some, *by, "--on", shop.past_day()


@step("refund", 2)
@of_job
def refund(shop: History, job: str) -> Words:
    """Money goes back."""
    some = (shop.amount(200),) if shop.dice.random() < 0.5 else ()
    return "job", "pay", job, *some, "--refund"


@step("state", 2)
@of_job
def state(shop: History, job: str) -> Words:
    """How far the job has come."""
    return "job", "state", job, shop.dice.choice(["building", "ready", "installed"])


@step("cancel", 2)
@of_job
def cancel(shop: History, job: str) -> Words:
    """A job ends early, or its cancellation is settled once more."""
    kept = ("--kept", shop.amount(300)) if shop.dice.random() < 0.4 else ()
    stage = ("--stage", shop.dice.choice(["after cutting", "before cutting"]))
    vat = ("--kept-as", shop.dice.choice(["work", "compensation"]))
    return ("job", "cancel", job, "--why", "changed their mind", *kept,
            *(stage if shop.dice.random() < 0.7 else ()),
            *(vat if shop.shop.currency == "EUR" else ()))  # fmt: skip


@step("close", 3)
@of_job
def close(shop: History, job: str) -> Words:
    """A job is closed."""
    said = ("--price", shop.amount(900)) if shop.dice.random() < 0.3 else ()
    return "job", "close", job, *said


@step("reopen", 2)
@of_job
def reopen(shop: History, job: str) -> Words:
    """A closed or canceled job is opened again."""
    return "job", "reopen", job, "--why", "a door sticks"


@step("hours", 5)
@of_job
def hours(shop: History, job: str) -> Words:
    """Hours are entered, of a helper too."""
    kind = shop.dice.choice([("--class", "work"), ("--class", "rework", "--cause", "handing"),
                             ("--by", "Ann")])  # fmt: skip
    what = shop.dice.choice(["sand", "assemble", "design", "rip"])
    return ("hours", "add", job, what, f"{shop.dice.randint(5, 300)}m", *kind, "--yes", "--on",
            shop.past_day())  # fmt: skip


@step("tax of a job")
@of_job
def tax(shop: History, job: str) -> Words:
    """A built-in is an improvement of real property, or is none."""
    return "job", "tax", job, shop.dice.choice(["improvement", "taxable"])


@step("income")
@of_job
def income(shop: History, job: str) -> Words:
    """A build brings something beside its price."""
    return "job", "income", job, "ads", shop.amount(90), "--fee", "1"


@step("after it closed")
@of_job
def late(shop: History, job: str) -> Words:
    """Material for a job that is over."""
    return "stock", "issue", job, shop.dice.choice(GOODS), "1", "--after-close"


def month(shop: History) -> str:
    """A month of the history, most often one that is over."""
    first = shop.day.replace(day=1)
    back = shop.dice.choice([1, 1, 2])
    year, number = divmod(first.year * 12 + first.month - 1 - back, 12)
    return f"{year}-{number + 1:02}"


@step("close a month", 2)
def close_month(shop: History) -> Words:
    """A month is handed in."""
    return "month", month(shop), "--close"


@step("reopen a month", 2)
def reopen_month(shop: History) -> Words:
    """A month is opened again."""
    closed = shop.pick(sorted(shop.sums.closed()))
    return closed and ("month", closed, "--reopen", "--why", "a receipt was found")


@step("undo", 6)
def undo(shop: History) -> Words:
    """An entry is taken back: the last one, or any of the book."""
    if shop.dice.random() < 0.4:
        return ("undo",)
    row = shop.pick(shop.sums.now["deed"])
    return "undo", str(shop.dice.choice([row["id"], shop.sums.all["deed"][-1]["id"]]))
