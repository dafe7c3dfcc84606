"""Forms: lines made from the models, judged while one types."""
