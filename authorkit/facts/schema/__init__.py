"""The written form of the facts: one description that reads them, explains them and gives the JSON Schema.

From the bottom up: `reader` collects findings, `form` and `record` are the building blocks, `scalars` the texts that
mean something; then one file for each part of the vocabulary; `chapter`, `vehicle` and `recipe` put them together.
Own building blocks, because a chapter with a mistake must still give all its other facts, and because the devices,
the instruments and the answers of a step are keys, not values.
"""
