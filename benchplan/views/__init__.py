"""Pure views: rows and words for the screens, plain mode and papers. Width and time are arguments."""
