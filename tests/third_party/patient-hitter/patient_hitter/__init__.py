"""A lift law and a hitter model that latebreak does not have."""
