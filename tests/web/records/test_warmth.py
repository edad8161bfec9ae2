"""How warm a place is: single readings, and tables of loggers."""

from __future__ import annotations

import datetime as dt

import pytest

from holdback.errors import RecordError
from holdback.web.records.logger_text import read_logger
from holdback.web.records.models import Change, Place, Warmth
from holdback.web.records.services import add_incubator, log_warmth, log_warmth_table, undo

pytestmark = pytest.mark.django_db
WHO = "Wrackline Barn"
DAY = dt.date(2026, 4, 2)


@pytest.fixture
def incubator(db: None) -> Place:
    """An incubator."""
    return add_incubator(who=WHO, name="incubator 1")


def test_log_warmth__in_either_unit(incubator: Place) -> None:
    """88.7 °F are (88.7 - 32) * 5 / 9 = 31.5 °C."""
    log_warmth(incubator, value="31,5", date=DAY, time="08:30", who=WHO)
    log_warmth(incubator, value=88.7, unit="F", date=DAY, who=WHO, note="after the door stood open")
    assert list(Warmth.objects.values_list("date", "time", "celsius", "note")) == [
        (DAY, None, 31.5, "after the door stood open"),
        (DAY, dt.time(8, 30), 31.5, ""),
    ]
    undo(Change.objects.latest("id").batch, who=WHO)
    assert Warmth.objects.count() == 1


def test_log_warmth__once_a_time(incubator: Place) -> None:
    first = log_warmth(incubator, value=31.2, date="2026-04-02", time="08:30", who=WHO)
    assert log_warmth(incubator, value=31.2, date="2026-04-02", time="08:30", who=WHO) == first
    with pytest.raises(RecordError, match=r"SEA-028 .*31.2 °C is on record of 2026-04-02 08:30. Is it 31.4 °C\?"):
        log_warmth(incubator, value=31.4, date="2026-04-02", time="08:30", who=WHO)
    assert log_warmth(incubator, value=31.4, date="2026-04-02", time="08:30", who=WHO, sure=True).pk == first.pk
    assert Warmth.objects.get().celsius == 31.4


@pytest.mark.parametrize(
    "value, unit, said",
    [
        (300, "C", "SEA-021 field value: 300 °C: was 30 °C meant?"),
        (88, "C", "SEA-021 field value: 88 °C: was 88 °F meant?"),
        (31.5, "F", "SEA-020 field value: 31.5 °F: was 31.5 °C meant?"),
        (3.15, "C", "SEA-020 field value: 3.15 °C is out of the ordinary."),
        ("warm", "C", "SEA-021 field value: 'warm' C is no warmth."),
        (31, "K", "SEA-021 field value: 31 K is no warmth."),
    ],
)
def test_log_warmth__asks_what_was_meant(incubator: Place, value: float | str, unit: str, said: str) -> None:
    with pytest.raises(RecordError) as error:
        log_warmth(incubator, value=value, unit=unit, date=DAY, who=WHO)
    assert str(error.value).startswith(said)
    assert not Warmth.objects.exists()


def test_log_warmth__refuses(incubator: Place) -> None:
    with pytest.raises(RecordError) as error:
        log_warmth(incubator, value=31, date="2126-04-02", time="8 o'clock", note="x" * 201, who=WHO)
    assert [fault.code for fault in error.value.faults] == ["SEA-002", "SEA-021", "REC-011"]
    with pytest.raises(RecordError, match=r"REC-012 field date: 2026-04 is no day"):
        log_warmth(incubator, value=31, date="2026-04", who=WHO)
    assert log_warmth(incubator, value=12, date=DAY, who=WHO, sure=True).celsius == 12


def test_log_warmth_table__of_a_logger(incubator: Place) -> None:
    text = (
        "#;Date-Time;Humidity %;Temperature °C\n"
        "1;02.04.2026 08:00:00;91,2;31,2\n"
        "2;02.04.2026 09:00:00;90,8;31,4\n"
        "3;02.04.2026 10:00:00;;broken\n"
        "4;02.04.2026 11:00:00;90,1;850,0\n"
    )
    done = log_warmth_table(incubator, text, who=WHO)
    assert (done.made, done.known, done.unit, done.is_unit_said) == (2, 0, "C", True)
    assert [fault.code for fault in done.unread] == ["SEA-023", "SEA-023"]
    assert done.unread[0].line == 4
    assert "850 °C on 2026-04-02 11:00 cannot be" in done.unread[1].what
    assert list(Warmth.objects.values_list("time", "celsius")) == [(dt.time(8), 31.2), (dt.time(9), 31.4)]
    again = log_warmth_table(incubator, text.replace("31,4", "31,5"), who=WHO)
    assert (again.made, again.known, again.differing) == (0, 2, 1)
    undo(Change.objects.filter(deed__startswith="log warmth").latest("id").batch, who=WHO)
    assert not Warmth.objects.exists()


def test_log_warmth_table__asks_about_the_unit(incubator: Place) -> None:
    text = "time,temp\n2026-04-02 08:00,88.7\n2026-04-02 09:00,89.6\n"
    done = log_warmth_table(incubator, text, who=WHO)
    assert (done.unit, done.is_unit_said) == ("F", False)
    assert list(Warmth.objects.values_list("celsius", flat=True)) == [31.5, 32.0]
    cold = "time,temp\n2026-04-03 08:00,31\n2026-04-03 09:00,12\n"
    with pytest.raises(RecordError, match=r"SEA-020 .*1 of 2 readings lie below 15 or above 40 °C \(12 to 12\)"):
        log_warmth_table(incubator, cold, who=WHO)
    assert log_warmth_table(incubator, cold, who=WHO, sure=True).made == 2
    with pytest.raises(RecordError, match=r"'K' is no unit of warmth"):
        log_warmth_table(incubator, cold, who=WHO, unit="K")


@pytest.mark.parametrize(
    "text",
    [
        "2026-04-02T08:00:00,31.5\n2026-04-02T20:00:00,31.5",
        "Date\tTime\tdegrees\n4/2/2026\t8:00 AM\t31.5\n4/2/2026\t8:00 pm\t31.5\n4/13/2026\tx\t31.5",
        "nr;day;time;box\n1;2.4.26;8:00;31,5 °C\n2;2.4.26;20:00;31,5 °C",
        '\ufeff"2026/04/02 08:00","31,5"\n\n"2026/04/02 20:00","31,5"\n',
        "Logger 12\nmade in the shed\n02/04/2026 08:00,31.5\n02/04/2026 20:00,31.5\n13/04/2026 20:00,x\n",
        "Time;RH %;Box\n2026-04-02 08:00;90;31,5\n2026-04-02 20:00;90;31,5",
        "row,when,C\n7,2026-04-02 08:00,31.5\n8,2026-04-02 20:00,31.5\n9,2026-04-02 21:00,-",
    ],
)
def test_read_logger__of_every_make(text: str) -> None:
    found = read_logger(text)
    assert found.readings[:2] == ((DAY, dt.time(8), 31.5), (DAY, dt.time(20), 31.5))
    assert found.unit == "C"


def test_read_logger__day_or_month_first() -> None:
    text = "3/4/2026 08:00,31.5\n"
    with pytest.raises(RecordError, match=r"3/4/2026 may be read in two ways"):
        read_logger(text)
    assert read_logger(text, day_first=True).readings[0][0] == dt.date(2026, 4, 3)
    assert read_logger(text, day_first=False).readings[0][0] == dt.date(2026, 3, 4)


def test_read_logger__without_a_time() -> None:
    assert read_logger("2026-04-02,31.5").readings == ((DAY, None, 31.5),)


@pytest.mark.parametrize(
    "text, said",
    [
        ("", "no column of days is found"),
        ("warm\ncold\n", "no column of days is found"),
        ("2026-04-02 08:00,warm\n", "no column of degrees is found"),
        ("2026-13-02 08:00,31\n", "no row has a time and a number of degrees"),
        ("2026-04-02,31\n" * 20_001, "the text has 20,001 rows"),
    ],
)
def test_read_logger__refuses(text: str, said: str) -> None:
    with pytest.raises(RecordError) as error:
        read_logger(text)
    assert error.value.faults[0].code == "SEA-022"
    assert said in error.value.faults[0].what
