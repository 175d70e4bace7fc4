//! The wire that is really hung: a thin-wire method of moments over real ground.
