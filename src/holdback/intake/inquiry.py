"""Questions as they come up while rows are read, and the answers already given."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from holdback.intake.numbers import Unclear
from holdback.intake.preview import Choice, Question
from holdback.intake.sheets import Cell

LEAVE_OUT = "leave out"
"""Answer that leaves the rows of a question out."""

WRITE = "write:"
"""Start of an answer that gives the text the cell should have held."""


@dataclass(frozen=True, slots=True)
class Asking:
    """A question before its rows are known.

    Parameters
    ----------
    id : str
        Stable name.
    what : callable
        Rows to the sentence that says what is the matter.
    why : str
        Why it matters or what can be done.
    choices : sequence of Choice
        Deeds besides leaving the rows out.
    takes_text : str
        Label of a free answer; empty for none.
    gene : str
        Word that is not in the almanac.
    holds_rows : bool
        False where only a value waits and the row lands without it.
    """

    id: str
    what: Callable[[Sequence[int]], str]
    why: str = ""
    choices: Sequence[Choice] = ()
    takes_text: str = ""
    gene: str = ""
    holds_rows: bool = True


@dataclass
class Inquiry:
    """Answers given and questions open.

    Parameters
    ----------
    answers : mapping of str to str
        Question id to answer.
    """

    answers: Mapping[str, str]
    _asked: dict[str, Asking] = field(default_factory=dict)
    _rows: dict[str, list[int]] = field(default_factory=dict)
    left_out: dict[int, str] = field(default_factory=dict)
    waits: dict[int, list[str]] = field(default_factory=dict)

    def answer(self, asking: Asking, *rows: int) -> str:
        """Answer to a question, empty while it is open; the rows are noted as waiting or left out."""
        given = self.answers.get(asking.id, "")
        if given == LEAVE_OUT:
            for row in rows:
                self.left_out.setdefault(row, f"left out by you: {asking.what(rows)}")
            return ""
        free = given.startswith(WRITE) and len(given) > len(WRITE)
        if (free and asking.takes_text) or any(choice.key == given for choice in asking.choices):
            return given
        self._asked.setdefault(asking.id, asking)
        noted = self._rows.setdefault(asking.id, [])
        for row in rows:
            if row not in noted[-1:] and row not in noted:
                noted.append(row)
            if asking.holds_rows:
                waiting = self.waits.setdefault(row, [])
                if asking.id not in waiting:
                    waiting.append(asking.id)
        return ""

    def halted(self, row: int) -> bool:
        """Whether a row waits or is left out."""
        return row in self.waits or row in self.left_out

    def questions(self) -> tuple[Question, ...]:
        """Open questions in the order of their first row."""
        found = []
        for key, asking in self._asked.items():
            rows = tuple(sorted(self._rows[key]))
            choices = list(asking.choices)
            if asking.holds_rows:
                label = f"Leave row {rows[0]} out" if len(rows) == 1 else f"Leave these {len(rows)} rows out"
                choices.append(Choice(LEAVE_OUT, label))
            found.append(
                Question(
                    key,
                    rows,
                    asking.what(rows),
                    asking.why,
                    tuple(choices),
                    asking.takes_text,
                    asking.gene,
                    asking.holds_rows,
                )
            )
        return tuple(sorted(found, key=lambda question: question.rows[:1]))


def written(answer: str) -> Cell | None:
    """Cell of an answer that gives a text, None for any other answer.

    Examples
    --------
    >>> written("write:2022-07-18")
    Cell(text='2022-07-18', value='2022-07-18')
    """
    text = answer[len(WRITE) :].strip() if answer.startswith(WRITE) else ""
    return Cell(text, text) if text else None


def rows_named(rows: Sequence[int]) -> str:
    """Rows in words.

    Examples
    --------
    >>> rows_named([14, 31]), rows_named([2, 3, 4, 5])
    ('row 14 and 31', 'row 2 and 3 more')
    """
    if len(rows) == 1:
        return f"row {rows[0]}"
    if len(rows) == 2:
        return f"row {rows[0]} and {rows[1]}"
    return f"row {rows[0]} and {len(rows) - 1} more"


def unread(text: str, error: Unclear) -> str:
    """Sentence about a text that cannot be read."""
    return f"“{text}”: {error}."
