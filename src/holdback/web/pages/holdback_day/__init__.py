"""Hold-back day: hatchlings of the year side by side, for so many tubs."""
