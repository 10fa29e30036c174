"""The shop's settings: one line each, with its kind, its default and what it is for.

`book.settings.kerf` is the value, of the type that stands in its line; an empty one without a
default is None. The shop's own sentences (`ledger.book.wordings`) are settings too, read by name.
"""

from collections.abc import Callable, Mapping
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import partial
from typing import Any, cast

from ledger.book.setting_kinds import CHOICES, ONLY, Setting
from ledger.book.wordings import WORDINGS
from ledger.errors import NotFound
from ledger.measures.days_off import DaysOff
from ledger.measures.length import Length
from ledger.measures.money import Money


class Value[T]:
    """One setting as an attribute, read from the book when it is asked for."""

    def __init__(self, kind: str, default: str, words: str) -> None:
        self.line = (kind, default, words)

    def __set_name__(self, owner: type, name: str) -> None:
        self.name = name

    def __get__(self, shop: "ShopSettings", owner: type) -> T:
        return cast(T, shop.read(self.name))


_text, _choice = partial(Value[str], "text"), partial(Value[str], "choice")
_whole, _flag = partial(Value[int], "whole"), partial(Value[bool], "flag")
_money, _share = partial(Value[Money], "money"), partial(Value[Fraction], "share")
_length = partial(Value[Length], "length")
"""The kinds of most settings: default and words follow."""


class ShopSettings:
    """All settings of a shop, each with its type; nothing of it can be set here.

    Args:
        read: gives the value of a setting by its name.

    """

    __slots__ = ("read",)

    def __init__(self, read: Callable[[str], Any]) -> None:
        self.read = read

    # who the shop is
    shop = _text("", "name of the workshop, as on quotes")
    address = _text("", "address of the workshop")
    contact = _text("", "telephone or e-mail for clients")
    currency = _text("USD", "the book's one currency (ISO 4217), chosen when it is made")
    units = _text("inch", "what a bare number of length means, chosen when the book is made")
    decimal_mark = Value[str | None](
        "choice", "", "point (1,234.50) or comma (1.234,50); empty: by the currency"
    )
    decimal = _choice("point", "numbers are written with a point (1,234.50) or a comma (1.234,50)")
    paper = Value[str | None](
        "choice", "", "papers are printed on letter or A4; empty: by the units"
    )
    label_shift = Value[tuple[int, int]](
        "shift", "0 mm, 0 mm", "labels are printed so far to the right and down"
    )
    dates = Value[str | None](
        "choice", "", "order of dates in figures; empty: by the currency and units"
    )
    # rates
    overhead_year = Value[Money | None]("money", "", "yearly overhead")
    pay_year = Value[Money | None]("money", "", "the owner's yearly pay")
    hours_year = _whole("1920", "hours a year that the shop is open")
    billable = _share("60 %", "share of those hours that can be billed")
    profit = _share("8 %", "profit on top of pay and overhead")
    selling_rate = Value[Money | None]("money", "", "selling rate an hour; empty: by formula")
    helper_cost = _money("0", "what a helper's hour costs, payroll burden included")
    helper_billed = _money("0", "what a helper's hour is billed at")
    mile_rate = Value[Decimal]("price", "0.70", "cost of a mile driven")
    km_rate = Value[Decimal | None]("price", "", "cost of a kilometer driven, your own figure")
    # markups, one a kind of material
    markup_sheet = _share("20 %", "markup on sheets")
    markup_lumber = _share("20 %", "markup on lumber")
    markup_edging = _share("20 %", "markup on edging")
    markup_hardware = _share("15 %", "markup on hardware")
    markup_fastener = _share("20 %", "markup on fasteners")
    markup_finish = _share("20 %", "markup on finish")
    markup_adhesive = _share("20 %", "markup on adhesives")
    markup_abrasive = _share("20 %", "markup on abrasives")
    markup_supply = _share("20 %", "markup on other supplies")
    markup_outside = _share("10 %", "markup on work bought outside")
    repeat = _share("5 %", "less work on each piece alike after the first, down to 30 %")
    # the price
    contingency = Value[str](
        "contingency", "6 %", "price to cover: typical, 8 in 10, or a share of owner hours"
    )
    price_step = _money("1", "prices are rounded up to this step")
    rough_rates = _text("", "own rates for a rough price: bookcase=560/ft; stool=400/piece")
    minimum_charge = _money("0", "a price below this is warned about")
    small_job = _money("1000", "a price below this is asked for in two payments, deposit and rest")
    estimate = _choice("history", "hours from the shop's own jobs, or from the standards")
    card_fee = _share("0 %", "card fee, share of what is paid by card")
    card_fee_fixed = _money("0", "card fee, fixed part a payment")
    card_share = _share("0 %", "share of the price that clients pay by card")
    freight = _share("0 %", "freight expected on purchases, share of their cost")
    material_tax = _share("0 %", "tax on purchases that stays a cost: put on prices")
    list_prices = _choice("before_tax", "prices in your lists are before_tax or with_tax")
    # taxes
    tax_standing = _choice("sales_tax", "how the shop stands to tax")
    tax_rate = _share("0 %", "sales tax or VAT on what is sold")
    use_tax_rate = Value[Fraction | None](
        "share", "", "use tax on untaxed purchases; empty: the tax rate"
    )
    tax_basis = _choice("document", "tax is rounded by document or by line")
    keep_years = Value[int | None](
        "whole", "", "years papers are kept after filing; empty: 3 in a USD book"
    )
    tax_filed = Value[str | None](
        "month_day", "", "MM-DD by which the year's return is filed; empty: 04-15 (USD)"
    )
    tax_delivery = _flag("no", "delivery and installation are taxed")
    # saw and sheets
    kerf = _length("1/8 in", "width of the saw cut")
    trim = _length("1/4 in", "lost at each factory edge of a new sheet, blade included")
    rip_capacity = _length(
        "30 in", "table saw: widest strip between fence and blade; 0: no such saw"
    )
    fence_edge = _length("12 in", "table saw: shortest edge that rides on the fence")
    fence_ratio = _share("100 %", "table saw: that edge, at least so much of the side across it")
    fence_least = _length("1/2 in", "table saw: narrowest strip between fence and blade")
    push_below = _length("6 in", "table saw: narrower strips take a push stick")
    crosscut_capacity = _length("12 in", "widest crosscut of the miter saw")
    miter_hold = _length("8 in", "miter saw: shortest piece that is held by hand")
    clamp_hold = _length("4 in", "miter saw: shortest piece that is held by a clamp")
    sled_capacity = _length("0 in", "widest crosscut of a sled or sliding saw table; 0: none")
    rail_cut = _length("100 in", "track saw: longest cut, its rails joined")
    rail_support = _length("8 in", "track saw: narrowest side that carries the rail")
    carry_alone = Value[int](
        "weight", "50 lb", "heavier pieces are cut by track saw where they lie"
    )
    saw_reach = _length("84 in", "longer pieces are cut with support, and said so")
    default_joint = _choice("tenon", "joint of solid parts that a design leaves open")
    rip_first = _flag("no", "sheets are always ripped first")
    offcut_length = _length("24 in", "shortest offcut worth keeping")
    offcut_width = _length("12 in", "narrowest offcut worth keeping")
    offcut_value = _share("50 %", "value of a kept offcut, share of its area cost")
    # allowances
    edging_allowance = _share("10 %", "edging bought beyond the net length")
    fastener_allowance = _share("10 %", "fasteners bought beyond the net count")
    # quotes
    validity_days = _whole("30", "days a quote stands")
    payments = Value[tuple[Fraction, ...]](
        "parts", "50/40/10", "parts of the price: acceptance, before finish, installed"
    )
    lead_weeks = _whole("6", "weeks from deposit to installation of a piece")
    buying_days = _whole("0", "days until what a job must buy is usually here")
    days_off = Value[DaysOff | None](
        "days_off", "", "days without work, as 2026-07-06 to 2026-07-19; 2026-12-24"
    )
    revisions = _whole("2", "drawing revisions included in a quote")
    # invoices
    invoice_days = _whole("14", "days from an invoice to its due day; 0: due on receipt")
    iban = Value[str]("iban", "", "account for transfers, on invoices")
    bic = Value[str]("bic", "", "the bank of that account, where clients need it")
    cash_accounting = _flag("no", "VAT falls due when the client pays; invoices say so")
    # hours
    long_clock = _whole("5", "hours after which a running clock is asked about")
    time_zone = Value[str](
        "zone", "", "of the shop, such as America/Chicago; empty: the computer's"
    )
    long_day = _whole("14", "hours a day after which entries are asked about")
    # the book
    stale_days = _whole("90", "days after which a price is marked as old")
    daily_copies = _whole("7", "daily copies kept beside the book; 0: none are made")
    backup_to = Value[str]("folder", "", "folder for dated copies that leave the shop; empty: none")
    backup_key = _text("", "public key of those copies, set by backup --encrypt")
    opened = Value[date | None]("day", "", "the day the book began")


STARTING: Mapping[str, Mapping[str, str]] = {
    "mm": {
        "kerf": "3 mm", "trim": "10 mm", "rip_capacity": "750 mm", "fence_edge": "300 mm",
        "fence_least": "12 mm", "push_below": "150 mm", "crosscut_capacity": "300 mm",
        "miter_hold": "200 mm", "clamp_hold": "100 mm", "sled_capacity": "0 mm",
        "rail_cut": "2600 mm", "rail_support": "200 mm", "carry_alone": "23 kg",
        "saw_reach": "2100 mm", "offcut_length": "600 mm", "offcut_width": "300 mm",
    }
}  # fmt: skip
"""What a new book of these units starts with; a book that stands keeps what it has."""


_LINES = {name: value for name, value in vars(ShopSettings).items() if isinstance(value, Value)}

SETTINGS: dict[str, Setting] = {
    name: Setting(name, kind, default, words, CHOICES.get(name, ()), ONLY.get(name, ""))
    for name, kind, default, words in (
        *((name, *value.line) for name, value in _LINES.items()),
        *WORDINGS,
    )
}


def nearest_setting(name: str) -> NotFound:
    """The refusal of a setting that does not exist, with the nearest names."""
    return NotFound("setting", name, SETTINGS)
