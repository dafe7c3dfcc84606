"""The terminal face: draws a draft and posts edits. Decides nothing."""
