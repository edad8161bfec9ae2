"""Plans for the goals of a keeper, over the records of a collection."""
