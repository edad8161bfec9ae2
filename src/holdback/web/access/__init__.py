"""Who may read and write: one browser on this computer, opened by a one-time address."""
