"""The plan brought where others serve it, and what people moved there read back."""
