"""Every table with its class; for the few places that need them all (check, export)."""

import importlib
import pkgutil
from functools import cache

from sqlmodel import SQLModel

from ledger.book import tables


@cache
def every_class() -> dict[str, type[SQLModel]]:
    """The row classes by the names of their tables, in the order of the names."""
    for module in pkgutil.iter_modules(tables.__path__):
        importlib.import_module(f"{tables.__name__}.{module.name}")
    classes = [mapper.class_ for mapper in SQLModel._sa_registry.mappers]
    ours = [known for known in classes if known.__module__.startswith(f"{tables.__name__}.")]
    return {known.__tablename__: known for known in sorted(ours, key=lambda k: k.__tablename__)}
