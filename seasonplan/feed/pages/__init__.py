"""What a browser shows of a plan: the page, the pages of events, their forms. No script."""
