"""`ideas` as a new user runs it."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from holdback.cli import main
from holdback.demo_data import folder

FROM = ["--from", str(folder() / "collection")]


def test_ideas__typed_genes_need_no_database(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["ideas", "Hidden Gene Woma", "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["animal"] == {"id": None, "label": "Hidden Gene Woma", "sex": "unknown"}
    assert answer["ideas"][0]["genes"][0]["gene"] == "Lesser"
    assert answer["never"][0]["gene"] == "Hidden Gene Woma"
    assert answer["never"][0]["allowed_by"] == []


def test_ideas__printed_with_cautions_first(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["ideas", "Spider"]) == 0
    printed = capsys.readouterr().out
    assert printed.index("reptile vet") < printed.index("1. Pastel") < printed.index("Not brought")
    assert "Makes Bumblebee: the first clutch can show it." in printed
    assert "die in the egg" in " ".join(printed.split())


def test_ideas__of_the_demo_at_hand(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["ideas", "Russet", "--at-hand", *FROM]) == 0
    printed = capsys.readouterr().out
    assert "at hand, Clown: " in printed
    assert "GHI" not in printed.partition("Not brought")[0], "nobody here has it"


def test_ideas__offers_from_a_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "offers.txt"
    file.write_text("1.0 GHI 66% het Pied\nask for a price\n", encoding="utf-8")
    assert main(["ideas", "female Cinnamon", "--offered", str(file), "--on-offer"]) == 0
    printed = capsys.readouterr().out
    assert "on offer, GHI: 1.0 GHI 66% het Pied" in printed
    assert "Offer not read: 'ask for a price'" in printed


def test_ideas__a_caution_spoken_for(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["ideas", "Lesser", "--allow", "welfare-neurological", "--json"]) == 0
    brought = [gene["gene"] for idea in json.loads(capsys.readouterr().out)["ideas"] for gene in idea["genes"]]
    assert "Hidden Gene Woma" in brought


@pytest.mark.parametrize(
    "arguments, code",
    [
        (["Clown", "--most", "0"], "DEC-110"),
        (["Clown", "--offered", "no-such-file.txt"], "DEC-111"),
        (["", *FROM], "DEC-112"),
        (["Clown", "--allow", "everything"], "DEC-113"),
    ],
)
def test_ideas__says_what_is_wrong(arguments: list[str], code: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["ideas", *arguments]) == 1
    assert code in capsys.readouterr().err


def test_ideas__typed_genes_do_not_wait_for_numbers() -> None:
    code = "import sys; from holdback.cli import main; main(['ideas', 'Clown']); assert 'numpy' not in sys.modules"
    subprocess.run([sys.executable, "-c", code], check=True, capture_output=True)


def test_ideas__what_is_not_read_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["ideas", "Pied Foo", *FROM]) == 0
    assert "[think] 'Foo' was not read. Only what is read counts." in capsys.readouterr().out
    assert main(["ideas", "Pied Foo", "--json", *FROM]) == 0
    assert json.loads(capsys.readouterr().out)["doubts"] == ["'Foo' was not read."]
