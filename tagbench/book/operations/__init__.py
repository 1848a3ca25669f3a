"""The verbs: what a person does to the book, each one change with its words and its undo."""
