"""The author's desk: what helps while a chapter is being written, in JupyterLab and in a terminal."""
