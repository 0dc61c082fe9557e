"""The document as pages of blocks, still without markup."""
