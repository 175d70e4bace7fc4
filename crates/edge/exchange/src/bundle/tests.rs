//! Bundles as made here, and archives of somebody who means harm.
#![allow(clippy::unwrap_used, reason = "helpers of a test may fail loudly")]

use std::path::PathBuf;

use farhop_earth::UtcTime;
use proptest::prelude::*;

use super::*;

fn made_at() -> UtcTime {
    UtcTime::parse("2026-11-25T10:00:00Z").unwrap()
}

fn content(name: &str, role: Role, bytes: &[u8]) -> Content {
    Content {
        name: name.to_owned(),
        role,
        bytes: bytes.to_vec(),
    }
}

fn contents() -> Vec<Content> {
    vec![
        content("outing.toml", Role::Outing, b"[outing]\n"),
        content("lists/stations.csv", Role::Named, b"callsign,mhz\n"),
        content("solutions/1.antenna", Role::Solution, &[7; 3_000]),
    ]
}

/// An empty place of this test alone.
fn place(name: &str) -> PathBuf {
    let folder = std::env::temp_dir().join(format!("farhop-bundle-{}-{name}", std::process::id()));
    let _ = std::fs::remove_dir_all(&folder);
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

#[test]
fn what_goes_in_comes_out() {
    let bytes = pack(&contents(), made_at()).unwrap();
    assert_eq!(
        bytes,
        pack(&contents(), made_at()).unwrap(),
        "the same contents give the same bytes"
    );
    let bundle = check(&bytes).unwrap();
    assert_eq!(bundle.contents, contents());
    let folder = place("round");
    let written = unpack(&bundle, &folder.join("new/place")).unwrap();
    assert_eq!(written.len(), 2, "solutions are not files of the folder");
    assert_eq!(
        std::fs::read(folder.join("new/place/lists/stations.csv")).unwrap(),
        b"callsign,mhz\n"
    );
    std::fs::remove_dir_all(&folder).unwrap();
}

#[test]
fn nothing_is_overwritten() {
    let bundle = check(&pack(&contents(), made_at()).unwrap()).unwrap();
    let folder = place("taken");
    std::fs::write(folder.join("outing.toml"), "mine").unwrap();
    assert!(matches!(unpack(&bundle, &folder), Err(BundleError::NotEmpty(_))));
    assert_eq!(std::fs::read_to_string(folder.join("outing.toml")).unwrap(), "mine");
    assert!(matches!(
        unpack(&bundle, &folder.join("outing.toml")),
        Err(BundleError::Disk(..))
    ));
    std::fs::remove_dir_all(&folder).unwrap();
}

#[test]
fn a_failure_on_the_way_leaves_nothing_behind() {
    // A file and a folder of the same name cannot both be there.
    let bundle = Bundle {
        made_at: String::new(),
        contents: vec![
            content("lists/a.csv", Role::Named, b"1"),
            content("lists/a.csv/b.csv", Role::Named, b"2"),
        ],
    };
    let folder = place("half");
    assert!(unpack(&bundle, &folder.join("into")).is_err());
    assert_eq!(std::fs::read_dir(&folder).unwrap().count(), 0);
    std::fs::remove_dir_all(&folder).unwrap();
}

#[test]
fn packing_refuses_what_could_not_be_opened() {
    let bad = [content("../outing.toml", Role::Outing, b"")];
    assert!(matches!(pack(&bad, made_at()), Err(BundleError::Name(_))));
    let twice = [content("a", Role::Outing, b""), content("A", Role::Named, b"")];
    assert!(matches!(pack(&twice, made_at()), Err(BundleError::Twice(_))));
    let list = [content(MANIFEST, Role::Outing, b"")];
    assert!(matches!(pack(&list, made_at()), Err(BundleError::Twice(_))));
}

/// An entry as an attacker would write it: any name, mode and claimed size.
#[derive(Clone, Debug)]
struct Entry {
    name: Vec<u8>,
    mode: u32,
    bytes: Vec<u8>,
    claimed: u32,
}

impl Entry {
    fn plain(name: &str, bytes: &[u8]) -> Self {
        Self {
            name: name.as_bytes().to_vec(),
            mode: 0o100_644,
            bytes: bytes.to_vec(),
            claimed: u32::try_from(bytes.len()).unwrap(),
        }
    }
}

/// A ZIP archive written by hand (stored entries; layout of the published description of the format), so that nothing is put right.
fn archive(entries: &[Entry]) -> Vec<u8> {
    let (mut out, mut directory) = (Vec::new(), Vec::new());
    for entry in entries {
        let offset = u32::try_from(out.len()).unwrap();
        let mut common = Vec::new();
        common.extend([20, 0, 0, 0, 0, 0, 0, 0, 0x21, 0]);
        common.extend(crc32(&entry.bytes).to_le_bytes());
        common.extend(u32::try_from(entry.bytes.len()).unwrap().to_le_bytes());
        common.extend(entry.claimed.to_le_bytes());
        common.extend(u16::try_from(entry.name.len()).unwrap().to_le_bytes());
        common.extend([0, 0]);
        out.extend(0x0403_4b50u32.to_le_bytes());
        out.extend(&common);
        out.extend(&entry.name);
        out.extend(&entry.bytes);
        directory.extend(0x0201_4b50u32.to_le_bytes());
        directory.extend([20, 3]);
        directory.extend(&common);
        directory.extend([0; 6]);
        directory.extend((entry.mode << 16).to_le_bytes());
        directory.extend(offset.to_le_bytes());
        directory.extend(&entry.name);
    }
    let (start, length) = (out.len(), directory.len());
    out.extend(directory);
    out.extend(0x0605_4b50u32.to_le_bytes());
    out.extend([0; 4]);
    let count = u16::try_from(entries.len()).unwrap().to_le_bytes();
    out.extend(count);
    out.extend(count);
    out.extend(u32::try_from(length).unwrap().to_le_bytes());
    out.extend(u32::try_from(start).unwrap().to_le_bytes());
    out.extend([0, 0]);
    out
}

/// CRC-32 of the ZIP description, bit by bit.
fn crc32(bytes: &[u8]) -> u32 {
    let step = |crc: u32| if crc & 1 == 1 { crc >> 1 ^ 0xedb8_8320 } else { crc >> 1 };
    !bytes
        .iter()
        .fold(!0, |crc, byte| (0..8).fold(crc ^ u32::from(*byte), |c, _| step(c)))
}

/// An archive of these entries behind a list that agrees with them.
fn listed_archive(entries: &[Entry]) -> Vec<u8> {
    let files: Vec<serde_json::Value> = entries
        .iter()
        .enumerate()
        .map(|(i, e)| {
            let role = if i == 0 { "outing" } else { "named" };
            let name = String::from_utf8_lossy(&e.name).into_owned();
            serde_json::json!({"name": name, "role": role, "bytes": e.bytes.len(), "sha256": sum(&e.bytes)})
        })
        .collect();
    let list = serde_json::json!({"format": FORMAT, "edition": EDITION, "made_at": "", "files": files});
    let mut all = vec![Entry::plain(MANIFEST, list.to_string().as_bytes())];
    all.extend_from_slice(entries);
    archive(&all)
}

#[test]
fn the_archive_of_the_tests_is_sound_where_nothing_is_wrong() {
    let entries = [
        Entry::plain("outing.toml", b"[outing]\n"),
        Entry::plain("a/b.csv", b"x"),
    ];
    let bundle = check(&listed_archive(&entries)).unwrap();
    assert_eq!(bundle.contents.len(), 2);
}

#[test]
fn names_that_lead_out_links_and_devices_are_refused() {
    let names = [
        "../out.toml",
        "/tmp/out.toml",
        "a/../../out",
        "..\\out",
        "C:\\out",
        "c:/out",
        "\\\\host\\share\\x",
        "a/",
        "./x",
        "~/x",
        "x/.ssh/keys",
        "nul",
        "a\u{0}b",
        "a\u{202e}b",
    ];
    for name in names {
        let bytes = listed_archive(&[Entry::plain(name, b"[outing]\n")]);
        assert!(check(&bytes).is_err(), "{name:?}");
    }
    for mode in [0o120_777, 0o040_755, 0o020_644, 0o060_644, 0o010_644, 0o140_644] {
        let mut entry = Entry::plain("outing.toml", b"/etc/passwd");
        entry.mode = mode;
        let error = check(&listed_archive(&[entry])).unwrap_err();
        assert!(matches!(error, BundleError::Special(_)), "{mode:o}: {error}");
    }
}

#[test]
fn names_that_clash_are_refused() {
    for (a, b) in [("outing.toml", "outing.toml"), ("outing.toml", "OUTING.toml")] {
        let bytes = listed_archive(&[Entry::plain(a, b"1"), Entry::plain(b, b"2")]);
        let error = check(&bytes).unwrap_err();
        assert!(matches!(error, BundleError::Twice(_)), "{error}");
    }
}

#[test]
fn list_and_archive_must_agree() {
    let good = [Entry::plain("outing.toml", b"1")];
    let more = [good[0].clone(), Entry::plain("b", b"2")];
    // A list for two with one entry, and the other way round.
    let split = |bytes: &[u8]| -> Vec<u8> {
        let bundle = zip::ZipArchive::new(std::io::Cursor::new(bytes)).unwrap();
        assert!(bundle.len() > 1);
        let mut archive = bundle;
        let mut list = Vec::new();
        std::io::Read::read_to_end(&mut archive.by_index(0).unwrap(), &mut list).unwrap();
        list
    };
    let list_of_two = split(&listed_archive(&more));
    let list_of_one = split(&listed_archive(&good));
    let lacks = archive(&[Entry::plain(MANIFEST, &list_of_two), good[0].clone()]);
    assert!(matches!(check(&lacks), Err(BundleError::Unlisted(..))));
    let extra = archive(&[Entry::plain(MANIFEST, &list_of_one), good[0].clone(), more[1].clone()]);
    assert!(matches!(check(&extra), Err(BundleError::Unlisted(..))));
    let changed = archive(&[Entry::plain(MANIFEST, &list_of_one), Entry::plain("outing.toml", b"9")]);
    assert!(matches!(check(&changed), Err(BundleError::Sum(_))));
    assert!(matches!(check(&archive(&good)), Err(BundleError::Manifest(_))));
    let text = String::from_utf8(list_of_one).unwrap();
    for (from, to, wanted) in [
        ("\"edition\":1", "\"edition\":2", "edition 2"),
        ("farhop-bundle", "other-bundle", "another one"),
        ("\"outing\"", "\"named\"", "0 outing files"),
        ("\"outing\"", "\"program\"", "unknown variant"),
    ] {
        let bytes = archive(&[
            Entry::plain(MANIFEST, text.replace(from, to).as_bytes()),
            good[0].clone(),
        ]);
        let said = check(&bytes).unwrap_err().to_string();
        assert!(said.contains(wanted), "{said}");
    }
}

#[test]
fn a_bomb_is_stopped_at_the_limit_whatever_it_claims() {
    // 40 MB of zeros are some 40 kB deflated.
    let mut writer = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
    let options = zip::write::SimpleFileOptions::default();
    writer.start_file(MANIFEST, options).unwrap();
    std::io::Write::write_all(&mut writer, b"{}").unwrap();
    writer.start_file("outing.toml", options).unwrap();
    std::io::Write::write_all(&mut writer, &vec![0; 40_000_000]).unwrap();
    let mut bytes = writer.finish().unwrap().into_inner();
    assert!(bytes.len() < 200_000);
    assert!(matches!(check(&bytes), Err(BundleError::Large { .. })));
    // The same with every place that says 40 000 000 claiming ten bytes.
    let real = 40_000_000u32.to_le_bytes();
    let places: Vec<usize> = (0..bytes.len() - 4).filter(|i| bytes[*i..*i + 4] == real).collect();
    assert!(!places.is_empty());
    for at in places {
        bytes[at..at + 4].copy_from_slice(&10u32.to_le_bytes());
    }
    assert!(check(&bytes).is_err());
}

#[test]
fn sizes_that_lie_are_refused() {
    for claimed in [0, 3, 1_000_000, u32::MAX] {
        let mut entry = Entry::plain("outing.toml", b"[outing]\n");
        entry.claimed = claimed;
        // Either the archive's reader or the sum finds it; what may not happen is other contents.
        if let Ok(bundle) = check(&listed_archive(&[entry])) {
            assert_eq!(bundle.contents[0].bytes, b"[outing]\n");
        }
    }
}

#[test]
fn too_many_entries_are_refused() {
    let many: Vec<Entry> = (0..=MOST_FILES + 1)
        .map(|i| Entry::plain(&format!("f{i}"), b""))
        .collect();
    assert!(matches!(check(&archive(&many)), Err(BundleError::Many)));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn noise_is_refused_without_a_panic(bytes in proptest::collection::vec(any::<u8>(), 0..600)) {
        prop_assert!(check(&bytes).is_err());
        let mut tail = bytes;
        tail.extend(archive(&[Entry::plain("x", b"y")]));
        prop_assert!(check(&tail).is_err());
    }

    #[test]
    fn a_flipped_byte_gives_an_error_or_the_same_contents(at in any::<prop::sample::Index>(), flip in 1u8..=255) {
        let mut bytes = pack(&contents(), made_at()).unwrap();
        let at = at.index(bytes.len());
        bytes[at] ^= flip;
        if let Ok(bundle) = check(&bytes) {
            prop_assert_eq!(bundle.contents, contents());
        }
    }

    #[test]
    fn hostile_names_never_write_outside(
        parts in proptest::collection::vec("\\.\\.|\\.|[a-c]|/|\\\\|[a-c]:|\\PC", 1..6),
        mode in prop::sample::select(vec![0u32, 0o100_644, 0o120_777, 0o040_755]),
    ) {
        let folder = place(&format!("hostile-{}", std::thread::current().name().unwrap_or("x").len()));
        let into = folder.join("deep/inside");
        let mut entry = Entry::plain(&parts.join("/"), b"harm");
        entry.mode = mode;
        let bytes = listed_archive(&[Entry::plain("outing.toml", b"1"), entry]);
        if let Ok(bundle) = check(&bytes) {
            prop_assert_ne!(mode, 0o120_777);
            if let Ok(written) = unpack(&bundle, &into) {
                for path in written {
                    prop_assert!(path.canonicalize().unwrap().starts_with(into.canonicalize().unwrap()));
                }
            }
        }
        let outside = std::fs::read_dir(&folder).unwrap().filter_map(Result::ok);
        prop_assert!(outside.into_iter().all(|e| e.file_name() == "deep"));
        std::fs::remove_dir_all(&folder).unwrap();
    }
}
