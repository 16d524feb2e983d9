"""Pure views: rows and words for screens, plain mode and papers; width and time are arguments."""
