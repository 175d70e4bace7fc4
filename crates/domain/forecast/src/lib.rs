//! The one meeting place: an outing and its conditions become a plan.
