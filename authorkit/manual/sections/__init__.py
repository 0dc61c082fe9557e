"""The sections of a chapter's page, one module each: facts in, blocks out.

Each has one function that takes a Scope and yields blocks, and problems where something cannot be shown. The order of
the page is the list in `manual.chapter_page`.
"""
