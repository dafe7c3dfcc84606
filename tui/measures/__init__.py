"""The page of tests: what each says, a form for results, a timer for hangs and rests."""
