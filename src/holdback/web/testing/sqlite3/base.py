"""The SQLite backend of the tests."""

from __future__ import annotations

from typing import Any

from django.db.backends.sqlite3 import base, operations

from holdback.web.testing import flush_with_log


class DatabaseOperations(operations.DatabaseOperations):
    """Empties the log too."""

    def sql_flush(self, *args: Any, **kwargs: Any) -> list[str]:
        """Statements that empty the tables."""
        return flush_with_log(super().sql_flush(*args, **kwargs), "sqlite")


class DatabaseWrapper(base.DatabaseWrapper):
    """The backend."""

    ops_class = DatabaseOperations
