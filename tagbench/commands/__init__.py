"""The commands: each a thin front end that calls the same verbs and rules as the screens."""
