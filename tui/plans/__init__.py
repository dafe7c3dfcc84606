"""Planning beside the screen: the search, the ways out of none, before and after."""
