//! The files around the engine.

use farhop_pocket::shell::{Brought, folder, is_engine, single};

const ENGINE: &[u8] = b"\0asm\x01\0\0\0";

#[test]
fn names_and_edition_follow_the_content() {
    let brought = Brought {
        text: "an outing".to_owned(),
        made: vec![1, 2, 3],
        ..Brought::default()
    };
    let text = |files: &[farhop_pocket::shell::File], name: &str| {
        let file = files.iter().find(|f| f.name == name).unwrap();
        String::from_utf8(file.bytes.clone()).unwrap()
    };
    let (one, other) = (
        folder(ENGINE.to_vec(), None),
        folder([ENGINE, b"x"].concat(), Some(&brought)),
    );
    assert!(text(&other, "start.js").contains("\"/made-") && text(&one, "start.js").contains("\"/\""));
    let engine = |files: &[farhop_pocket::shell::File]| files.last().unwrap().name.clone();
    assert_ne!(engine(&one), engine(&other));
    assert!(text(&one, "home.js").contains(&format!("\"/{}\"", engine(&one))));
    assert_ne!(text(&one, "worker.js"), text(&other, "worker.js"));
    for file in &one {
        let left = String::from_utf8_lossy(&file.bytes).into_owned();
        assert!(
            !left.contains("{engine}") && !left.contains("{edition}") && !left.contains("{made}"),
            "{}",
            file.name
        );
    }
    assert!(is_engine(ENGINE) && !is_engine(b"<html>"));
}

#[test]
fn the_single_page_lets_nothing_in_and_its_scripts_do_not_end_early() {
    let page = single(ENGINE);
    let policy = page.split("content=\"").nth(1).unwrap().split('"').next().unwrap();
    assert!(
        policy.contains("default-src 'none'") && policy.contains("'sha256-"),
        "{policy}"
    );
    assert!(
        !policy.contains("unsafe-inline") && !policy.contains("http"),
        "{policy}"
    );
    // Three scripts, each ended once: none holds the words that end one.
    assert_eq!(page.matches("</script>").count(), 3);
    assert!(!page.contains("{thread}") && !page.contains("{engine}") && !page.contains("{sum}"));
}
