"""The working year: a band for each female, room for eggs and young, who may breed, how long things take, counts."""
