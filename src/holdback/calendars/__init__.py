"""Calendars as files: iCalendar out of what the season foretells."""
