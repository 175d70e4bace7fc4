//! What is kept between runs: a damaged file changes no answer, and the command says and clears what is there.

use crate::common::Trip;
use serde_json::Value;

fn kept(trip: &Trip) -> (u64, u64) {
    let (json, _) = trip.fine(&["cache", "--json"]);
    let view: Value = serde_json::from_str(&json).unwrap();
    (view["files"].as_u64().unwrap(), view["bytes"].as_u64().unwrap())
}

#[test]
fn a_damaged_cache_changes_no_answer() {
    let trip = Trip::new("cache-damage");
    let ask = ["antenna", "whip", "--mhz", "7.1", "--json"];
    let (fresh, _) = trip.fine(&ask);
    let folder = trip.0.join("cache/farhop");
    let files: Vec<_> = std::fs::read_dir(&folder).unwrap().map(|e| e.unwrap().path()).collect();
    assert!(!files.is_empty());
    for place in 0..24 {
        for file in &files {
            let Ok(mut bytes) = std::fs::read(file) else { continue };
            let index = bytes.len() * place / 24;
            bytes[index] ^= 1 << (place % 8);
            std::fs::write(file, bytes).unwrap();
        }
        let (again, _) = trip.fine(&ask);
        assert_eq!(again, fresh, "flip {place} of 24");
    }
}

#[test]
fn the_cache_is_told_and_cleared_and_nothing_else_goes() {
    let trip = Trip::new("cache-clear");
    assert_eq!(kept(&trip).0, 0);
    trip.fine(&["antenna", "whip", "--mhz", "7.1"]);
    let (files, bytes) = kept(&trip);
    assert!(files >= 1 && bytes > 1_000, "{files} {bytes}");
    let other = trip.0.join("cache/farhop/letter.txt");
    std::fs::write(&other, "not ours").unwrap();
    let (said, _) = trip.fine(&["cache", "--clear"]);
    assert!(said.starts_with("Removed: ") && said.contains("MB"), "{said}");
    assert_eq!(kept(&trip).0, 0);
    assert!(other.exists());
}
