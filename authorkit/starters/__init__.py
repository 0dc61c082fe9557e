"""Starting points for an author: a new manual, and a chapter notebook from a kind of circuit."""
