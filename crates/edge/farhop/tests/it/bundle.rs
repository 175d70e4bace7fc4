//! `farhop bundle` as two users run it: one makes, the other opens.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use farhop_earth::UtcTime;
use farhop_exchange::bundle::{Content, Role, check, pack};

/// With a cache of its own, so that what a bundle brings can be told from what was there.
fn farhop(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_farhop"))
        .current_dir(folder)
        .args(args)
        .env("XDG_CACHE_HOME", folder.join("cache").canonicalize().unwrap())
        .output()
        .unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

fn fine(folder: &Path, args: &[&str]) -> String {
    let output = farhop(folder, args);
    assert!(output.status.success(), "{args:?}: {}", text(&output.stderr));
    text(&output.stdout)
}

fn refused(folder: &Path, args: &[&str]) -> String {
    let output = farhop(folder, args);
    assert_eq!(output.status.code(), Some(1), "{args:?}: {}", text(&output.stderr));
    text(&output.stderr)
}

fn folder(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("bundle-{name}"));
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(folder.join("cache")).unwrap();
    folder
}

fn solutions_in(folder: &Path) -> usize {
    let kept = std::fs::read_dir(folder.join("cache/farhop"));
    kept.map_or(0, |entries| {
        let paths = entries.filter_map(Result::ok).map(|e| e.path());
        paths.filter(|p| p.extension().is_some_and(|e| e == "antenna")).count()
    })
}

fn made(contents: &[(&str, Role, &str)]) -> Vec<u8> {
    let contents: Vec<Content> = contents
        .iter()
        .map(|(name, role, text)| Content {
            name: (*name).to_owned(),
            role: *role,
            bytes: text.as_bytes().to_vec(),
        })
        .collect();
    pack(&contents, UtcTime::parse("2026-11-25T10:00:00Z").unwrap()).unwrap()
}

#[test]
fn what_one_makes_the_other_opens() {
    let (mine, theirs) = (folder("mine"), folder("theirs"));
    fine(&mine, &["new", "trip"]);
    fine(
        &mine,
        &[
            "log",
            "volt",
            "12.6",
            "--outing",
            "trip/outing.toml",
            "--at",
            "2026-12-12T08:30:00Z",
        ],
    );
    std::fs::write(mine.join("card.pdf"), "a card").unwrap();
    let said = fine(
        &mine,
        &["bundle", "trip/outing.toml", "-o", "trip.farhop", "--card", "card.pdf"],
    );
    for part in [
        "outing.toml (the outing)",
        "stations.csv (named",
        "card/card.pdf",
        "journal.jsonl",
        "antenna solutions",
    ] {
        assert!(said.contains(part), "{part}: {said}");
    }
    assert!(refused(&mine, &["bundle", "trip/outing.toml", "-o", "trip.farhop"]).contains("exists and was left"));
    std::fs::copy(mine.join("trip.farhop"), theirs.join("x.farhop")).unwrap();
    let said = fine(&theirs, &["bundle", "--open", "x.farhop", "--into", "got"]);
    assert!(said.contains("came along and were not used"), "{said}");
    assert_eq!(solutions_in(&theirs), 0);
    for name in ["outing.toml", "stations.csv"] {
        let both = [mine.join("trip"), theirs.join("got")].map(|f| std::fs::read(f.join(name)).unwrap());
        assert_eq!(both[0], both[1], "{name}");
    }
    assert_eq!(
        std::fs::read_to_string(theirs.join("got/card/card.pdf")).unwrap(),
        "a card"
    );
    // Without a card of one's own, one is made.
    let said = fine(&mine, &["bundle", "trip/outing.toml", "-o", "made.farhop"]);
    assert!(said.contains("card/card.pdf (the field card)"), "{said}");
    fine(&mine, &["bundle", "--open", "made.farhop", "--into", "made"]);
    assert!(
        std::fs::read(mine.join("made/card/card.pdf"))
            .unwrap()
            .starts_with(b"%PDF-")
    );
    let entries = farhop_store::Journal::open(&theirs.join("got/outing.journal"))
        .unwrap()
        .entries()
        .unwrap();
    assert_eq!(entries.len(), 1);
    fine(&theirs, &["check", "got/outing.toml"]);
    assert!(refused(&theirs, &["bundle", "--open", "x.farhop", "--into", "got"]).contains("not an empty folder"));
    // With trust, the solutions spare the solving.
    let said = fine(
        &theirs,
        &["bundle", "--open", "x.farhop", "--into", "trusted", "--take-solutions"],
    );
    assert!(said.contains("antenna solutions taken in"), "{said}");
    assert_eq!(solutions_in(&theirs), solutions_in(&mine));
    assert!(solutions_in(&mine) > 0);
}

#[test]
fn an_outing_that_names_files_elsewhere_makes_no_bundle() {
    let folder = folder("elsewhere");
    fine(&folder, &["new", "trip"]);
    std::fs::rename(folder.join("trip/stations.csv"), folder.join("stations.csv")).unwrap();
    let path = folder.join("trip/outing.toml");
    let outing = std::fs::read_to_string(&path).unwrap();
    std::fs::write(&path, outing.replace("\"stations.csv\"", "\"../stations.csv\"")).unwrap();
    let said = refused(&folder, &["bundle", "trip/outing.toml", "-o", "x.farhop"]);
    assert!(said.contains("takes only files in the folder of the outing"), "{said}");
    assert!(!folder.join("x.farhop").exists());
}

#[test]
fn a_bundle_whose_outing_looks_into_the_readers_folders_is_refused() {
    let folder = folder("spy");
    std::fs::write(folder.join("secret.csv"), "callsign,place,mhz\n").unwrap();
    let outing = "[outing]\nstart = 2026-12-12\nend = 2026-12-12\n[stations_csv]\nfile = \"../secret.csv\"\n";
    std::fs::write(folder.join("x.farhop"), made(&[("outing.toml", Role::Outing, outing)])).unwrap();
    let said = refused(&folder, &["bundle", "--open", "x.farhop", "--into", "got"]);
    assert!(
        said.contains("refused: its outing names the file \"../secret.csv\""),
        "{said}"
    );
    let plain = "[outing]\nstart = 2026-12-12\nend = 2026-12-12\n";
    let listed = "[stations_csv]\nfile = \"outing.journal\"\n";
    for (contents, wanted) in [
        (
            vec![("outing.toml", Role::Outing, plain), ("x.csv", Role::Named, "a")],
            "does not name it",
        ),
        (
            vec![
                ("outing.toml", Role::Outing, listed),
                ("outing.journal", Role::Named, "SQLite format 3\0"),
            ],
            "the name of a journal",
        ),
        (
            vec![
                ("outing.toml", Role::Outing, plain),
                ("j", Role::Journal, "{\"what\": 3}"),
            ],
            "the journal in it",
        ),
    ] {
        std::fs::write(folder.join("x.farhop"), made(&contents)).unwrap();
        let said = refused(&folder, &["bundle", "--open", "x.farhop", "--into", "got"]);
        assert!(said.contains(wanted), "{said}");
    }
    assert!(!folder.join("got").exists());
}

#[test]
fn damaged_and_foreign_files_write_nothing() {
    let folder = folder("damaged");
    let good = made(&[("outing.toml", Role::Outing, "[outing]\n")]);
    assert!(check(&good).is_ok());
    let mut cut = good.clone();
    cut.truncate(good.len() / 2);
    for bytes in [cut, b"hello".to_vec(), Vec::new()] {
        std::fs::write(folder.join("x.farhop"), bytes).unwrap();
        let said = refused(&folder, &["bundle", "--open", "x.farhop", "--into", "got"]);
        assert!(said.contains("no bundle"), "{said}");
    }
    assert!(!folder.join("got").exists());
    refused(&folder, &["bundle", "--open", "none.farhop", "--into", "got"]);
    assert!(refused(&folder, &["bundle"]).contains("say what to do"));
    assert!(!farhop(&folder, &["bundle", "--open", "x.farhop"]).status.success());
}
