"""The page that a phone opens when it scans a tag: a small server beside the screens."""
