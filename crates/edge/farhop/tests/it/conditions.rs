//! `farhop conditions` as a user runs it: from a file, from a server on this machine, and into the outing file.

use std::io::{Read as _, Write as _};
use std::net::TcpListener;
use std::path::PathBuf;
use std::time::{Duration, Instant};

use crate::common::run::{example, farhop_in as farhop, fresh_folder, refused_in as refused, said_in as fine};
use serde_json::Value;

/// A folder with a copy of the demo.
fn folder(name: &str) -> PathBuf {
    let folder = fresh_folder(&format!("conditions-{name}"));
    std::fs::copy(example("demo.toml"), folder.join("outing.toml")).unwrap();
    folder
}

/// The 27-day outlook table; layout from memory, numbers invented.
const OUTLOOK: &str = "\
:Product: 27-day Space Weather Outlook Table
:Issued: 2026 Nov 23 0215 UTC
#  Date       10.7 cm      A Index    Kp Index
2026 Dec 11     150           5          2
2026 Dec 12     155          12          4
2026 Dec 13     160          30          5
";

/// Answers one connection with these pieces, a third of a second apart; gives the address.
fn server(pieces: Vec<Vec<u8>>) -> String {
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let address = format!("http://{}/wx", listener.local_addr().unwrap());
    std::thread::spawn(move || {
        let Ok((mut stream, _)) = listener.accept() else { return };
        let _ = stream.read(&mut [0u8; 4096]);
        for (index, piece) in pieces.iter().enumerate() {
            if index > 0 {
                std::thread::sleep(Duration::from_millis(300));
            }
            if stream.write_all(piece).is_err() {
                return;
            }
        }
    });
    address
}

fn whole(body: &[u8]) -> Vec<Vec<u8>> {
    let head = format!("HTTP/1.1 200 OK\r\nContent-Length: {}\r\n\r\n", body.len());
    vec![[head.as_bytes(), body].concat()]
}

#[test]
fn without_a_source_it_says_what_is_in_use() {
    let said = fine(&folder("use"), &["conditions", "outing.toml"]);
    assert!(said.contains("R12") && said.contains("--fetch URL"), "{said}");
    assert!(said.lines().all(|l| l.chars().count() <= 80), "{said}");
}

#[test]
fn a_fetched_text_is_shown_and_written_when_asked() {
    let folder = folder("write");
    let before = std::fs::read_to_string(folder.join("outing.toml")).unwrap();
    let address = server(whole(OUTLOOK.as_bytes()));
    let shown = fine(&folder, &["conditions", "outing.toml", "--fetch", &address]);
    assert!(
        shown.contains("# Understood as 27-day outlook table, issued 2026-11-23T02:15:00Z."),
        "{shown}"
    );
    assert!(shown.contains("\nk = 5  #"), "{shown}");
    assert_eq!(
        std::fs::read_to_string(folder.join("outing.toml")).unwrap(),
        before,
        "only shown"
    );
    // What is shown can stand in a file as it is.
    let (head, _) = before.split_once("\n[conditions]").unwrap();
    std::fs::write(folder.join("pasted.toml"), format!("{head}\n{shown}")).unwrap();
    fine(&folder, &["check", "pasted.toml"]);
    let address = server(whole(OUTLOOK.as_bytes()));
    fine(&folder, &["conditions", "outing.toml", "--fetch", &address, "--write"]);
    let after = std::fs::read_to_string(folder.join("outing.toml")).unwrap();
    // The outing lasts from 11 December 18:00 to 13 December 03:00 universal time: three days of the table, 150, 155 and 160.
    assert!(
        after.contains("flux_sfu = 155") && after.contains("k = 5") && after.contains("a = 30"),
        "{after}"
    );
    let remarks = |text: &str| text.matches('#').count();
    assert!(remarks(&after) + 2 >= remarks(&before), "remarks are lost");
    fine(&folder, &["check", "outing.toml"]);
    let said = fine(&folder, &["conditions", "outing.toml"]);
    assert!(said.contains("flux 155 sfu") && said.contains("K 5.0"), "{said}");
}

#[test]
fn a_file_of_our_own_form_and_json_out() {
    let folder = folder("file");
    let own = "{\"at\": \"2026-11-25T00:00:00Z\", \"flux_sfu\": 133, \"k\": 1.5, \
               \"fof2\": [{\"mhz\": 6.4, \"at\": \"2026-12-12T02:00:00Z\", \"place\": \"-43.6,172.6\"}]}";
    std::fs::write(folder.join("own.json"), own).unwrap();
    let schema: Value =
        serde_json::from_str(include_str!("../../../../../docs/schema/conditions.schema.json")).unwrap();
    let validator = jsonschema::options()
        .should_validate_formats(true)
        .build(&schema)
        .unwrap();
    assert!(validator.is_valid(&serde_json::from_str(own).unwrap()));
    for bad in ["{}", "{\"k\": 11}", "{\"kp\": 1}", "{\"ssn\": 1, \"flux_sfu\": 70}"] {
        assert!(!validator.is_valid(&serde_json::from_str(bad).unwrap()), "{bad}");
        std::fs::write(folder.join("bad.json"), bad).unwrap();
        refused(&folder, &["conditions", "outing.toml", "--file", "bad.json"]);
    }
    let out = fine(
        &folder,
        &["conditions", "outing.toml", "--file", "own.json", "--json", "--write"],
    );
    let out: Value = serde_json::from_str(&out).unwrap();
    // A K of another week is shown and not written.
    assert_eq!(out["k"]["value"], 1.5);
    assert_eq!(out["conditions"]["flux_sfu"]["value"], 133.0);
    assert!(
        std::fs::read_to_string(folder.join("outing.toml"))
            .unwrap()
            .contains("mhz = 6.4")
    );
    assert!(fine(&folder, &["conditions", "outing.toml"]).contains("measured foF2"));
}

#[test]
fn slow_large_redirecting_and_rubbish_answers_are_refused_in_words() {
    let folder = folder("bad");
    let ask = |address: &str| {
        refused(
            &folder,
            &[
                "conditions",
                "outing.toml",
                "--fetch",
                address,
                "--timeout",
                "1",
                "--write",
            ],
        )
    };
    let before = std::fs::read_to_string(folder.join("outing.toml")).unwrap();
    let mut drip = vec![b"HTTP/1.1 200 OK\r\nContent-Length: 99\r\n\r\n".to_vec()];
    drip.extend((0..40).map(|_| b"x".to_vec()));
    let begun = Instant::now();
    assert!(ask(&server(drip)).contains("no whole answer within 1 s"));
    assert!(begun.elapsed() < Duration::from_secs(10));
    assert!(ask(&server(whole(&vec![b'x'; 1_600_000]))).contains("larger than 1500000 bytes"));
    let away = b"HTTP/1.1 302 Found\r\nLocation: http://example.invalid/\r\nContent-Length: 0\r\n\r\n".to_vec();
    assert!(ask(&server(vec![away])).contains("use https"));
    let said = ask(&server(whole(b"<html>\x1b[2JWelcome</html>")));
    assert!(
        said.contains("no solar flux, A or K") && !said.contains('\x1b'),
        "{said:?}"
    );
    assert!(ask(&server(whole(b"\xff\xfe"))).contains("not UTF-8"));
    assert!(ask("http://example.invalid/").contains("use https"));
    assert!(ask("nonsense").contains("not an address"));
    assert_eq!(std::fs::read_to_string(folder.join("outing.toml")).unwrap(), before);
}

#[test]
fn the_demo_is_never_written() {
    let folder = folder("demo");
    std::fs::write(folder.join("wx.txt"), OUTLOOK).unwrap();
    let said = refused(&folder, &["conditions", "--demo", "--file", "wx.txt", "--write"]);
    assert!(said.contains("needs an outing file of your own"), "{said}");
    let output = farhop(
        &folder,
        &["conditions", "--file", "wx.txt", "--fetch", "https://example.invalid/"],
    );
    assert_eq!(output.status.code(), Some(1));
}

#[test]
fn a_text_that_is_not_issued_yet_is_refused() {
    let folder = folder("future");
    std::fs::write(folder.join("wx.txt"), OUTLOOK.replace("2026 Nov 23", "2049 Nov 23")).unwrap();
    let said = refused(&folder, &["conditions", "outing.toml", "--file", "wx.txt", "--write"]);
    assert!(said.contains("issued at 2049-11-23T02:15:00Z"), "{said}");
}
