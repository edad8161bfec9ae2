"""The statements that make the log append-only in the database itself.

Python can be bypassed by any other program that opens the file; a trigger cannot, short of dropping it on purpose.
"""

from __future__ import annotations

TABLE = "records_change"
MESSAGE = "the log is append-only"


def sealed(vendor: str) -> list[str]:
    """Statements after which rows of the log can be added but neither changed nor deleted.

    Parameters
    ----------
    vendor : str
        "sqlite" or "postgresql".
    """
    if vendor == "sqlite":
        return [
            f"CREATE TRIGGER IF NOT EXISTS {TABLE}_no_{deed.lower()} BEFORE {deed} ON {TABLE} "
            f"BEGIN SELECT RAISE(ABORT, '{MESSAGE}'); END"
            for deed in ("UPDATE", "DELETE")
        ]
    return [
        f"CREATE OR REPLACE FUNCTION {TABLE}_refuse() RETURNS trigger AS $$ "
        f"BEGIN RAISE EXCEPTION '{MESSAGE}' USING ERRCODE = 'integrity_constraint_violation'; END $$ LANGUAGE plpgsql",
        f"CREATE OR REPLACE TRIGGER {TABLE}_seal BEFORE UPDATE OR DELETE OR TRUNCATE ON {TABLE} "
        f"FOR EACH STATEMENT EXECUTE FUNCTION {TABLE}_refuse()",
    ]


def unsealed(vendor: str) -> list[str]:
    """Statements that lift the seal, for taking the migration back and for the tests."""
    if vendor == "sqlite":
        return [f"DROP TRIGGER IF EXISTS {TABLE}_no_{deed}" for deed in ("update", "delete")]
    return [f"DROP TRIGGER IF EXISTS {TABLE}_seal ON {TABLE}"]
