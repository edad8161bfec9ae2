"""The working year: where every female stands, what comes when, who may breed, what is due, and what became of eggs."""
