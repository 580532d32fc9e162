"""What leaves the archive: characters of a terminal now, paper and pages later."""
