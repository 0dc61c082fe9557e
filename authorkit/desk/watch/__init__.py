"""Watching a manual's folder: what is saved is built at once, and the page in the browser follows."""
