"""Forms in which the record is handed to other programs: open standards only."""
