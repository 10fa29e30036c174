"""A job's price: design, layouts, prices, standards and rates made into one cost sheet."""

from collections.abc import Container, Mapping, Sequence
from decimal import Decimal

from ledger.book import Book
from ledger.book.tables.ground import Job
from ledger.book.tables.operations import Operation
from ledger.costing.assumptions import assumptions
from ledger.costing.buildup import Priced, PriceRules, build_price
from ledger.costing.cautions import Caution, cautions_for
from ledger.costing.counted import WorkCounts
from ledger.costing.forgotten import forgotten
from ledger.costing.gaps import find_gaps
from ledger.costing.sheet import (
    CostLine,
    CostSheet,
    ForgottenItem,
    OtherCost,
    SheetHours,
    SheetsLaid,
)
from ledger.costing.spread import PriceRange, price_range, prospect_of
from ledger.costing.stages import Gap
from ledger.costing.taken import Taken, net_area
from ledger.costing.takeoff import Allowances, needed, take_off
from ledger.cutting.layout import proof_words
from ledger.designs.built import BuiltCount
from ledger.errors import LedgerError, NotAllowed
from ledger.jobs.agreed_total import at_agreed_price, guess_of, notes_of
from ledger.jobs.answers import answers_of, counts_of, given_out, planned_freight
from ledger.jobs.assembling import ORDERS, Assembled, assemble, newer_version_note, over_note
from ledger.jobs.covered import cover_words, value_covered
from ledger.jobs.estimate import drivers_of, estimate
from ledger.jobs.lines import OUTSIDE, line_counts, operations_of, total_of
from ledger.jobs.near import near_jobs
from ledger.jobs.open_items import old_counts, order_items, prices_of_others, small_job_admin
from ledger.jobs.other_costs import SALES_TAX, improvement_tax, other_costs
from ledger.jobs.pieces import step_of
from ledger.jobs.plans import MaterialLayout, Progress, kept_layout, outgrown
from ledger.jobs.price_rules import rules_of, short_price, unpaid_helper
from ledger.jobs.shop_rates import rates_of
from ledger.jobs.tax import tax_rate_of
from ledger.labor.history import history
from ledger.labor.hours_range import Foretold, HoursRange
from ledger.labor.standards import standards
from ledger.measures.money import Money, total
from ledger.measures.quantity import show_quantity
from ledger.measures.share import show_share
from ledger.measures.spoken import with_article
from ledger.measures.units import EACH
from ledger.measures.values import replace
from ledger.stock.cover import Cover, cover, goods_given, goods_on_hand, in_packs
from ledger.stock.materials import supplier_names
from ledger.stock.prices import CostPrice
from ledger.stock.rack_pieces import RackPiece
from ledger.stock.use_tax import answer_of, use_tax_rate


def price_job(
    book: Book, job: Job, *, harder: bool = False, progress: Progress | None = None,
    price_asked: Money | None = None, before_tax: Money | None = None,
) -> CostSheet:  # fmt: skip
    """The cost sheet of a job as of today; prospect and warnings are of `price_asked`.

    `before_tax` is what a quote leaves of a sum that was said with tax, of which a part has none.
    """
    with book.read_ahead():
        made = assemble(book, job, harder=harder, progress=progress)
        return _sheet(book, job, made, price_asked, before_tax)


def _sheet(
    book: Book, job: Job, made: Assembled, price_asked: Money | None, before_tax: Money | None
) -> CostSheet:
    lines, (hours, foretold) = _lines(book, job, made), hours_of(book, job, made)
    agreed = total_of(book, job)
    guess = guess_of(book, job, hours, is_order=made.source in ORDERS)
    is_guess, spread = guess is not None, guess or foretold.range
    hours = () if is_guess else hours
    rates, rules, known = rates_of(book), piece_rules(book, job, made.pieces), standards(book)
    others = (*other_costs(book, job, rules), *improvement_tax(book, job, made, lines))
    is_typical = estimate_in_use(book, spread) == "history"
    price_agreed = None if agreed is None else before_tax or agreed.price
    priced = build_price(
        lines, hours, others, rates, rules, book.currency,
        spread=spread, is_typical=is_typical or is_guess, freight=planned_freight(book, job),
        asked=price_asked or price_agreed,
    )  # fmt: skip
    if price_agreed is not None:
        priced = at_agreed_price(priced, price_agreed, spread, rates, rules)
    is_order = made.source in ORDERS
    gaps = prices_of_others(book, job) if is_guess and is_order else _gaps(book, job, made, known)
    firm = priced.totals.price if price_asked is None else price_asked
    sheet = CostSheet(
        job=job.number,
        title=job.title,
        as_of=book.today,
        currency=book.currency,
        units=book.units,
        design=made.source,
        estimate_from=estimate_in_use(book, spread),
        lines=priced.lines,
        hours=hours,
        others=others,
        rates=rates,
        build_up=priced.build_up,
        totals=replace(priced.totals, others_paid=_of_others_paid(book, job, others)),
        range=spread,
        layouts=tuple(_laid(code, plan, made) for code, plan in made.plans.items()),
        near=near_jobs(book, spread.p50, job),
        forgotten=_forgotten(
            book, job, priced, hours, others, known, is_tax_inside=_is_tax_inside(made, lines),
            is_rework_priced=is_typical or isinstance(rules.contingency, str),
            is_order=made.source in ORDERS, answered={gap.what for gap in gaps},
        ),
        cautions=_cautions(book, made, hours, known),
        warnings=_warnings(book, job, made, rules, lines, hours, firm)
        + small_job_admin(book, job, hours, firm)
        + unpaid_helper(book, rates, hours)
        + notes_of(job, agreed, hours, is_bare=is_order and not lines),
        facts=dict(made.build.facts),
        gaps=gaps,
        pieces=made.pieces,
        is_agreed=agreed is not None,
    )  # fmt: skip
    prospect = None if is_guess else prospect_of(sheet, rules, foretold.chance_over, firm)
    over = over_note(book, job, is_learned=bool(sheet.range.jobs))
    warning = over or short_price(sheet, rules, prospect, firm)
    return replace(sheet, prospect=prospect, warnings=(*warning, *sheet.warnings))


def _of_others_paid(book: Book, job: Job, others: Sequence[OtherCost]) -> Money:
    """What was planned of the work of others whose bills came."""
    if not any(one.kind == OUTSIDE for one in others):
        return Money(0)
    return total(line.amount for line in given_out(book, job))


def _cautions(
    book: Book, made: Assembled, hours: Sequence[SheetHours], known: Mapping[str, Operation]
) -> tuple[Caution, ...]:
    """The cautions of one piece; of several each is carried and fixed by itself."""
    in_us = book.currency.code == "USD"
    counted = {known[line.operation].driver for line in hours if line.estimate}
    return cautions_for(made.one, made.materials, book.units, in_us=in_us, counted=counted)


def _forgotten(
    book: Book, job: Job, priced: Priced, hours: Sequence[SheetHours],
    others: Sequence[OtherCost], known: Mapping[str, Operation], *, is_tax_inside: bool,
    is_rework_priced: bool, is_order: bool, answered: Container[str],
) -> tuple[ForgottenItem, ...]:  # fmt: skip
    """The list of costs that get forgotten, with what answers each."""
    drivers = {code: one.driver for code, one in known.items()}
    said = answer_of(book, job.key)
    return forgotten(
        answers_of(book, job), priced.lines, hours, drivers, priced.build_up, others, book.units,
        is_tax_inside=is_tax_inside, is_rework_priced=is_rework_priced,
        is_order=is_order, answered=answered, is_tax_back=book.settings.tax_standing == "vat",
        tax_said=said.standing if said and use_tax_rate(book) else "",
    )  # fmt: skip


def range_of(book: Book, sheet: CostSheet) -> PriceRange:
    """The range of a cost sheet's price and cost, by the shop's rules of today."""
    (job,) = book.rows(Job, number=sheet.job)
    return price_range(sheet, piece_rules(book, job, sheet.pieces))


def piece_rules(book: Book, job: Job, pieces: int) -> PriceRules:
    """The shop's rules for a job's price of so many pieces: a piece and all of them are round."""
    rules = rules_of(book, tax_rate_of(book, job))
    return replace(rules, step=step_of(rules.step, pieces))


def estimate_of(book: Book, job: Job, *, with_guess: bool = False) -> dict[str, Decimal]:
    """The estimated hours of a job by operation, for the line after an entry of hours."""
    made = assemble(book, job)
    hours = hours_of(book, job, made)[0]
    if with_guess and guess_of(book, job, hours, is_order=made.source in ORDERS):
        return {}
    return {line.operation: line.estimate for line in hours}


def _gaps(book: Book, job: Job, made: Assembled, known: Mapping[str, Operation]) -> tuple[Gap, ...]:
    """The work that the job's parts call for and that has no hours."""
    answers = answers_of(book, job)
    if made.source in ORDERS:
        return order_items(book, job, answers)
    counts = WorkCounts(known, _drivers(made), frozenset(counts_of(book, job)))
    gaps = find_gaps(job.number, made.build, made.materials, counts, answers)
    return (*gaps, *old_counts(book, job, known), *prices_of_others(book, job))


def _drivers(made: Assembled) -> dict[str, BuiltCount]:
    sheets = sum(len(plan.layout.sheets) for plan in made.plans.values())
    return drivers_of(made.build, sheets, made.cuts)


def hours_of(book: Book, job: Job, made: Assembled) -> tuple[tuple[SheetHours, ...], Foretold]:
    """The hours of a job by operation, and what the shop's past foretells of them."""
    return estimate(
        operations_of(book, job),
        _drivers(made),
        line_counts(book, job) | counts_of(book, job),
        history(book, without=job),
        from_history=book.settings.estimate == "history",
    )


def estimate_in_use(book: Book, spread: HoursRange) -> str:
    """What the hours of a price come from: the standards until a job is closed or loaded."""
    return book.settings.estimate if spread.jobs else "standards"


def taken_of(book: Book, made: Assembled) -> tuple[Taken, ...]:
    """The take-off of what a job is made of, with the shop's allowances."""
    allowances = Allowances(book.settings.edging_allowance, book.settings.fastener_allowance)
    layouts = {code: plan.layout for code, plan in made.plans.items()}
    taken = take_off(
        made.build, layouts, made.materials, allowances, book.settings.kerf, made.rack,
        lambda problem: kept_layout(book, problem),
    )  # fmt: skip
    return (*taken, *made.uses)


def _lines(book: Book, job: Job, made: Assembled) -> list[CostLine]:
    """The lines of the take-off with their cost; the first of a material are covered first."""
    suppliers, lines = supplier_names(book), taken_of(book, made)
    given = goods_given(book, job.key, needed(lines), outgrown(book, job))
    stock = goods_on_hand(book)
    return [
        _piece_line(book, made, taken, taken.piece)
        if taken.piece is not None
        else _line(book, made, taken, cover(taken.material, taken.charged, given, stock), suppliers)
        for taken in lines
    ]


def _piece_line(book: Book, made: Assembled, taken: Taken, piece: RackPiece) -> CostLine:
    """A piece of the rack, at what it is worth there; the shop has it already."""
    worth = f"worth {book.currency.show(piece.full)} on the rack since {piece.day}"
    return replace(
        _bare_line(book, made, taken, book.currency.decimal(piece.full), [worth]),
        full=piece.full,
        cash=piece.cash,
        unit=EACH,
        lot=piece.lot,
        owned=taken.charged,
        owned_value=piece.cash,
    )


def _line(
    book: Book, made: Assembled, taken: Taken, met: Cover, suppliers: Mapping[int, str]
) -> CostLine:
    material = made.materials[taken.material]
    price = made.prices.get(material.code)
    if price is None:
        raise NotAllowed(
            f"{material.code} {material.name} has no price:"
            f" benchledger material price {material.code} AMOUNT"
        )
    full = book.currency.money(price.amount * taken.charged.decimal)
    there, met = met, in_packs(met, material)
    in_kind, owned = value_covered(full, met)
    seller = suppliers.get(price.supplier or 0, "")
    more = [word for word in (seller, price.source) if word]
    with_unit = EACH if material.unit == EACH else with_article(material.unit)
    steps = [
        *taken.trace,
        ", ".join([f"price: {_noted(price)} {with_unit} of {price.day}", *more]),
        f"{show_quantity(taken.charged)} × {price.amount} = {book.currency.show(full)}",
        *cover_words(met, there, material),
    ]
    return replace(
        _bare_line(book, made, taken, price.amount, steps),
        full=full,
        cash=full - in_kind,
        in_kind=met.in_kind,
        owned=met.owned,
        owned_value=owned,
    )


def _is_tax_inside(made: Assembled, lines: Sequence[CostLine]) -> bool:
    """Whether tax that stays a cost is inside the price of any line."""
    prices = [made.prices[line.item] for line in lines if line.item in made.prices]
    return any(price.tax is None or price.tax for price in prices)


def is_tax_priced(book: Book, job: Job) -> bool:
    """Whether a job's price has tax that stays a cost: inside its material, or beside it."""
    try:
        with book.read_ahead():
            made = assemble(book, job)
            return _has_tax(book, job, made, _lines(book, job, made))
    except LedgerError:  # it has no price yet
        return False


def _has_tax(book: Book, job: Job, made: Assembled, lines: Sequence[CostLine]) -> bool:
    beside = improvement_tax(book, job, made, lines)
    return _is_tax_inside(made, lines) or any(one.cost for one in beside)


def _noted(price: CostPrice) -> str:
    """A price as it was noted, and what tax that stays a cost makes of it."""
    if not price.tax:
        return str(price.amount)
    return f"{price.noted} + {show_share(price.tax)} tax that stays a cost = {price.amount}"


def _bare_line(
    book: Book, made: Assembled, taken: Taken, unit_cost: Decimal, steps: Sequence[str]
) -> CostLine:
    """A line of the take-off before its cost."""
    material = made.materials[taken.material]
    markup = f"markup {show_share(book.setting(f'markup_{material.kind}'))}"
    return CostLine(
        group="hardware" if material.kind == "hardware" else "material",
        item=material.code,
        words=material.name,
        kind=material.kind,
        net=taken.net,
        quantity=taken.charged,
        unit=material.unit,
        unit_cost=unit_cost,
        full=Money(0),
        cash=Money(0),
        price=Money(0),
        basis=taken.basis,
        trace=(*steps, markup),
    )


def _laid(code: str, plan: MaterialLayout, made: Assembled) -> SheetsLaid:
    area = net_area(made.build, code)
    return SheetsLaid(
        material=code,
        sheets=len(plan.layout.sheets),
        fewest_possible=plan.layout.fewest_possible,
        proven=plan.layout.proven,
        proof=proof_words(plan.problem, plan.layout),
        net_area=area.square_feet if made.build.units == "inch" else area.square_meters,
        sheet_yield=plan.layout.sheet_yield,
    )


def _warnings(
    book: Book,
    job: Job,
    made: Assembled,
    rules: PriceRules,
    lines: list[CostLine],
    hours: Sequence[SheetHours],
    price: Money,
) -> tuple[str, ...]:
    taken = assumptions(job.title, made.build, made.materials, hours)
    warnings = [*newer_version_note(book, job), *taken]
    if book.setting_text("contingency") == "range":
        warnings.append(
            "The contingency “range” is now the price to cover 8 jobs in 10; keep that with:"
            ' benchledger shop set "contingency=8 in 10"'
        )
    stale = book.settings.stale_days
    old = sorted(
        code
        for code in {line.item for line in lines}
        if code in made.prices and (book.today - made.prices[code].day).days > stale
    )
    if old:
        warnings.append(f"Prices older than {stale} days: {', '.join(old)}.")
    answered = answers_of(book, job).get(SALES_TAX, (Money(0), ""))[0]
    if answered and _has_tax(book, job, made, lines):
        warnings.append(
            f"{book.currency.show(answered)} of sales tax is answered, and the price has the tax on"
            " its material in it already; it counts once. Take the answer out: benchledger job"
            f' answer {job.number} "{SALES_TAX}" 0'
        )
    used = {line.item for line in lines} & made.prices.keys()
    if starting := sorted(code for code in used if made.prices[code].is_starting):
        codes = ", ".join(starting)
        warnings.append(f"Starting prices of 2025, not your own, to be checked: {codes}.")
    if price < rules.minimum:
        warnings.append(
            f"The price is below the shop's minimum charge of {book.currency.show(rules.minimum)}."
        )
    return tuple(warnings)
