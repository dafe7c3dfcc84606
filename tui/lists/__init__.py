"""The third and fourth page: entries and rules, as lists with what they say beside them."""
