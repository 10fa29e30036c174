"""What a random history types of sheets that jobs share."""

from history_shop import History, Words, step


@step("cut together", 6)
def cut_together(shop: History) -> Words:
    """Jobs are laid on the same sheets."""
    rows = shop.sums.now
    with_parts = {row["job"] for row in rows["job_basis"]}
    ended = {row["job"]: row["state"] in ("closed", "canceled") for row in rows["job_state"]}
    known = [row["number"] for row in rows["job"]
             if row["id"] in with_parts and not ended.get(row["id"])][-6:]  # fmt: skip
    some = shop.dice.sample(known, min(len(known), shop.dice.choice([2, 2, 3])))
    return ("layout", *some, "--together") if len(some) > 1 else None


def sharing(shop: History) -> str | None:
    """The number of a job that shares sheets."""
    row = shop.pick(shop.sums.now["joint_share"])
    return row and next(r["number"] for r in shop.sums.all["job"] if r["id"] == row["job"])


@step("issue together", 5)
def issue_together(shop: History) -> Words:
    """Shared sheets are taken once, each job its share."""
    job = sharing(shop)
    return job and ("stock", "issue", job, "PLY", str(shop.dice.randint(1, 2)), "--together")


@step("return together", 2)
def return_together(shop: History) -> Words:
    """A shared sheet comes back, or one job's own."""
    job, both = sharing(shop), ("--together",) if shop.dice.random() < 0.8 else ()
    return job and ("stock", "return", job, "PLY", "1", *both)


@step("rack together", 3)
def rack_together(shop: History) -> Words:
    """A leftover of a shared sheet goes on the rack, its credit to all its jobs."""
    job, unit = sharing(shop), 1 if shop.shop.units == "inch" else 25
    sizes = f"{unit * shop.dice.randint(12, 30)}x{unit * shop.dice.randint(8, 20)}"
    return job and ("stock", "keep", job, "PLY", sizes)
