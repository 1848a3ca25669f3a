"""The parser of bag notes: lines, their counts, sizes and words, one token after another."""
