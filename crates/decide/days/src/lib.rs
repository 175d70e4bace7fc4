//! One set of drawn days: the only source of odds and of decisions.
