"""What leaves the program as text or JSON: pure functions of a day and a plan."""
