"""A run being carried: the open day, the book behind it, and what each mark sets going."""
