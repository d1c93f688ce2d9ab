"""Records of swings: real pitches with what hitters did, what the model says of them, and the fit of it to them."""
