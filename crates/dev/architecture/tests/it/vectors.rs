//! Every vector file says where it is from.

use farhop_architecture::{files_below, root};

#[test]
fn every_vector_has_its_sidecar() {
    let vectors = files_below(&root().join("validation"), "csv");
    assert!(!vectors.is_empty(), "no vectors found: the test would hold for nothing");
    for vector in vectors {
        let sidecar = vector.with_extension("toml");
        let text = std::fs::read_to_string(&sidecar)
            .unwrap_or_else(|_| panic!("{} has no sidecar {}", vector.display(), sidecar.display()));
        let table: toml::Table = text.parse().unwrap_or_else(|e| panic!("{}: {e}", sidecar.display()));
        assert!(table.contains_key("source"), "{} says no source", sidecar.display());
    }
}
