"""Mass items, their algebra and the named error sources they carry."""
