"""The folder's reference names every file, column and code."""

from pathlib import Path

from holdback.collection.codes import CODES
from holdback.collection.columns import TABLES

PAGE = (Path(__file__).parents[2] / "docs" / "reference" / "collection-folder.md").read_text(encoding="utf-8")


def test_folder_page__names_every_code_with_its_meaning() -> None:
    assert not [code for code, meaning in CODES.items() if f"| {code} | {meaning} |" not in PAGE]


def test_folder_page__names_every_column() -> None:
    for table in TABLES:
        section = PAGE.partition(f"## {table.file}\n")[2].partition("\n## ")[0]
        assert not [column.name for column in table.columns if f"| `{column.name}` |" not in section], table.file
