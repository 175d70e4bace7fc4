//! The shape of the house: which crate may know which, what a crate below the edge may do, and that every vector has its sidecar.

mod arithmetic;
mod arrows;
mod enums;
mod purity;
mod reducer;
mod signatures;
mod vectors;
mod words;
