"""What each animal carries and how sure that is: exact inference over the whole pedigree."""
