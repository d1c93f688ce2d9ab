"""Records of swings: real pitches with what hitters did, what a hitter model says of them, and the fit of one to the other."""
