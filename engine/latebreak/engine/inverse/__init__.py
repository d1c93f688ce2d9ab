"""The inverse problem: from measured throws to the pitch that was thrown."""
