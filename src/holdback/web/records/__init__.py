"""The records: models, services that change them, and the log of every change."""
