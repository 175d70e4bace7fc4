//! From one place to another: modes, losses, ground wave, noise and signal.
