"""How many: the ways in which notes say it, read before the words are taken apart."""
