"""Which step ends where, what to test first, which codes come together: the study of a circuit put to use."""
