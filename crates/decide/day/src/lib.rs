//! The day as it stands: typed events, and the one function that makes a state of the day from them.
