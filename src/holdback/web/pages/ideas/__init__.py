"""Ideas: what an animal should be bred to, as a page, for print and as a picture."""
