"""The rules, tested over records made here."""
