"""What happened to an animal, with the way to correct each entry and to take it out."""
