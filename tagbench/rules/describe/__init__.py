"""What is said about a record, once for every front end.

A function here turns records into facts: a label, the words, the figures with their unit, and a
state. Commands, reports, screens and the phone page lay facts out and word nothing themselves:

* `part.describe_part(tables, part, now)` gives `PartFacts`. Take the fields you have room for, or
  walk `facts()`, which yields every fact that says something, in the order in which a person asks.
* `fact.labelled` puts the label only before the first of several facts of one name, as a table of
  text wants it; `fact.BOXES[fact.state]` is the box of a fact that can be ticked.
* A fact's `words` are shown whole (wrapped where the line is short). A column that has no room for
  them takes a field that is short to begin with, such as `WantFacts.shortly`.
* `phrases` spells a day, a number of things, `and 3 more`, and a part's name with its code.

Everything is pure; nothing here reads a clock or a file.
"""
