"""The nouns of the trade as frozen dataclasses: no reading, no computing, no markup."""
