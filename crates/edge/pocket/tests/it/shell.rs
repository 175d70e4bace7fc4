//! The files around the engine.

use farhop_pocket::shell::{Brought, Engine, folder, is_engine, single};

const ENGINE: &[u8] = b"\0asm\x01\0\0\0";

fn engine(main: &[u8], rest: Option<&[u8]>) -> Engine {
    Engine {
        main: main.to_vec(),
        rest: rest.map(<[u8]>::to_vec),
    }
}

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
        folder(engine(ENGINE, None), None),
        folder(engine(&[ENGINE, b"x"].concat(), Some(b"rest")), Some(&brought)),
    );
    assert!(text(&other, "start.js").contains("\"/made-") && text(&one, "start.js").contains("\"/\""));
    let main = |files: &[farhop_pocket::shell::File]| files.last().unwrap().name.clone();
    assert_ne!(main(&one), main(&other));
    assert!(text(&one, "home.js").contains(&format!("\"/{}\"", main(&one))));
    assert!(
        text(&one, "home.js").contains("REST = \"\"") && text(&other, "home.js").contains("REST = \"/engine-rest-")
    );
    assert_ne!(text(&one, "worker.js"), text(&other, "worker.js"));
    for file in &one {
        let left = String::from_utf8_lossy(&file.bytes).into_owned();
        assert!(
            ["{engine}", "{rest}", "{edition}", "{made}", "{assets}"]
                .iter()
                .all(|place| !left.contains(place)),
            "{}",
            file.name
        );
    }
    assert!(is_engine(ENGINE) && !is_engine(b"<html>"));
}

#[test]
fn the_single_page_lets_nothing_in_and_its_scripts_do_not_end_early() {
    let page = single(&engine(ENGINE, Some(ENGINE)));
    let policy = page.split("content=\"").nth(1).unwrap().split('"').next().unwrap();
    assert!(
        policy.contains("default-src 'none'") && policy.contains("'sha256-"),
        "{policy}"
    );
    assert!(
        !policy.contains("unsafe-inline") && !policy.contains("http"),
        "{policy}"
    );
    // Six scripts and texts, each ended once: none holds the words that end one.
    assert_eq!(page.matches("</script>").count(), 6);
    assert!(
        ["{thread}", "{engine}", "{rest}", "{months}", "{style}", "{sum}"]
            .iter()
            .all(|place| !page.contains(place))
    );
}
