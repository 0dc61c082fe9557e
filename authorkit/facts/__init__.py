"""Notebooks become facts here: read, checked for form, and handed on as `model` values with their places."""
