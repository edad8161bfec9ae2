"""Long work as rows of a table: started, watched, cancelled, and not lost when the computer goes off."""
