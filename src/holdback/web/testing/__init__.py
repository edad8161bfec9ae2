"""Database backends for the tests: the same as in use, except that emptying all tables may empty the log.

In use nothing may: the log's triggers refuse it. A test that commits must still leave an empty database behind.
"""

from __future__ import annotations

from collections.abc import Sequence

from holdback.web.records.seal import sealed, unsealed


def flush_with_log(statements: Sequence[str], vendor: str) -> list[str]:
    """The statements that empty the tables, between lifting and setting the seal of the log."""
    if not statements:
        return []
    return [*unsealed(vendor), *statements, *sealed(vendor)]
