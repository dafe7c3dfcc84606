"""The plan served at a secret address: who may have what, and the server around that."""
