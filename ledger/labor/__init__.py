"""Labor: operations and their standards of time."""
