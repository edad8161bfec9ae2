"""Records that a breeder already has: sheets of any shape, read without a database."""
