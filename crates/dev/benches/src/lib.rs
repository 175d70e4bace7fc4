//! Benchmarks live in `benches/`.
