//! The files around the engine.

use farhop_pocket::shell::{folder, is_engine};

const ENGINE: &[u8] = b"\0asm\x01\0\0\0";

#[test]
fn names_and_edition_follow_the_content() {
    let text = |files: &[farhop_pocket::shell::File], name: &str| {
        let file = files.iter().find(|f| f.name == name).unwrap();
        String::from_utf8(file.bytes.clone()).unwrap()
    };
    let (one, other) = (folder(ENGINE.to_vec()), folder([ENGINE, b"x"].concat()));
    let engine = |files: &[farhop_pocket::shell::File]| files.last().unwrap().name.clone();
    assert_ne!(engine(&one), engine(&other));
    assert!(text(&one, "home.js").contains(&format!("\"/{}\"", engine(&one))));
    assert_ne!(text(&one, "worker.js"), text(&other, "worker.js"));
    for file in &one {
        let left = String::from_utf8_lossy(&file.bytes).into_owned();
        assert!(
            !left.contains("{engine}") && !left.contains("{edition}"),
            "{}",
            file.name
        );
    }
    assert!(is_engine(ENGINE) && !is_engine(b"<html>"));
}
