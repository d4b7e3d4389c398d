"""Commands and screens: the only room that prints, asks or reads the clock."""
