//! Pages by their content, over real connections: who has one is told so, and packed it is the same page.

use std::io::Read as _;

use crate::common::{Answer, Running, folder, serve};
use flate2::read::GzDecoder;

fn asked(server: &Running, path: &str, more: &[(&str, &str)]) -> Answer {
    let headers: Vec<(&str, &str)> = [("Accept", "text/html")]
        .into_iter()
        .chain(more.iter().copied())
        .collect();
    server.send(&format!("GET {path}"), &headers, "")
}

fn unpacked(answer: &Answer) -> String {
    let mut text = String::new();
    GzDecoder::new(answer.bytes.as_slice())
        .read_to_string(&mut text)
        .unwrap();
    text
}

#[test]
fn a_page_that_a_browser_has_is_not_sent_again_until_it_changes() {
    let outing = folder("tagged").join("outing.toml");
    let server = serve(Some(outing), false);
    assert_eq!(server.post("/edit/start", "x=1").status, 303);
    server.ready();
    for path in ["/", "/kit", "/energy", "/hours"] {
        let first = asked(&server, path, &[]);
        if first.status != 200 {
            // The hours lead on to those of the best choice.
            assert_eq!(path, "/hours");
            continue;
        }
        let tag = first
            .header("etag")
            .unwrap_or_else(|| panic!("{path}: {}", first.headers))
            .to_owned();
        assert_eq!(first.header("cache-control"), Some("private, no-cache"));
        let again = asked(&server, path, &[("If-None-Match", &tag)]);
        assert_eq!((again.status, again.bytes.len()), (304, 0), "{path}: {}", again.headers);
        assert_eq!(again.header("etag"), Some(tag.as_str()));
        let other = asked(&server, path, &[("If-None-Match", "W/\"0123\"")]);
        assert_eq!((other.status, &other.body), (200, &first.body), "{path}");
        // Another light is another page.
        let night = asked(
            &server,
            path,
            &[("If-None-Match", &tag), ("Cookie", "farhop_theme=night")],
        );
        assert_eq!(night.status, 200, "{path}");
        assert!(night.body.contains("data-theme=\"night\"") && night.header("etag") != Some(tag.as_str()));
    }
    // Forms are those of now, also for who goes back to them.
    let page = asked(&server, "/edit", &[]);
    assert_eq!(
        (page.header("etag"), page.header("cache-control")),
        (None, Some("no-store"))
    );
    // After an edit there is another page for who has the old one.
    let base = page.body.split("name=\"base\" value=\"").nth(1).unwrap();
    let base = base.split('"').next().unwrap();
    let before = asked(&server, "/kit", &[]);
    let tag = before.header("etag").unwrap();
    let form = format!("base={base}&outing.callsign=Q9CHG");
    assert_eq!(server.post("/edit/values", &form).status, 303);
    server.ready();
    let after = asked(&server, "/kit", &[("If-None-Match", tag)]);
    assert!(
        after.status == 200 && after.header("etag") != Some(tag),
        "{}",
        after.status
    );
}

#[test]
fn packed_pages_and_files_are_the_same_and_carry_the_same_tag() {
    let server = serve(None, false);
    server.ready();
    let page = asked(&server, "/kit", &[]);
    let file = page
        .body
        .split("href=\"/assets/")
        .nth(3)
        .and_then(|p| p.split('"').next())
        .unwrap();
    let script = page
        .body
        .split("src=\"/assets/")
        .nth(1)
        .and_then(|p| p.split('"').next())
        .unwrap();
    for path in [
        "/kit".to_owned(),
        format!("/assets/{file}"),
        format!("/assets/{script}"),
        "/worker.js".to_owned(),
    ] {
        let plain = asked(&server, &path, &[]);
        assert_eq!((plain.status, plain.header("content-encoding")), (200, None), "{path}");
        let tag = plain.header("etag").unwrap();
        for _ in 0..2 {
            let packed = asked(&server, &path, &[("Accept-Encoding", "gzip, br")]);
            assert_eq!(packed.header("etag"), Some(tag), "{path}");
            assert_eq!(packed.header("vary"), Some("accept-encoding"), "{path}");
            if packed.header("content-encoding") == Some("gzip") {
                assert!(packed.bytes.len() < plain.bytes.len(), "{path}");
                assert_eq!(unpacked(&packed), plain.body, "{path}");
            } else {
                // Only what gains nothing goes as it is.
                assert!(path.ends_with(".woff2") || plain.bytes.len() <= 512, "{path}");
            }
        }
        let known = asked(&server, &path, &[("Accept-Encoding", "gzip"), ("If-None-Match", tag)]);
        assert_eq!((known.status, known.bytes.len()), (304, 0), "{path}");
    }
    assert!(
        asked(&server, &format!("/assets/{file}"), &[])
            .header("cache-control")
            .unwrap()
            .contains("immutable")
    );
}

#[test]
fn the_field_page_is_the_same_for_some_seconds() {
    let server = serve(None, false);
    server.ready();
    let field = |more: &[(&str, &str)]| asked(&server, "/field?now", more);
    // The minute, or the seconds that a page stays the same, may end between two requests.
    let same = (0..20).any(|_| {
        let first = field(&[]);
        let Some(tag) = first.header("etag") else { return false };
        field(&[("If-None-Match", tag)]).status == 304
    });
    assert!(same);
}

#[test]
fn nobody_keeps_a_page_with_a_phrase() {
    let server = serve(None, true);
    for path in ["/enter", "/invite"] {
        let answer = asked(&server, path, &[("Accept-Encoding", "gzip")]);
        assert_eq!(answer.header("etag"), None, "{path}");
        assert_eq!(answer.header("cache-control"), Some("no-store"), "{path}");
    }
}
