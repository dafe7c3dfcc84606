"""CP-SAT places the blocks. Knows no sentence, no file and no clock; never meets the checker."""
