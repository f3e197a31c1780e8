"""The house: its records, its clock, its server and its command line."""
