"""What leaves the archive: characters of a terminal, pages of paper, copies of pictures."""
