//! The few files around the engine: what a host of static files has to give out.

use std::collections::BTreeMap;

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use farhop_pages::all_assets;
use sha2::{Digest as _, Sha256};

use crate::months;

/// A file to be written.
pub struct File {
    /// Its name in the folder; with a slash where it stands in one below it.
    pub name: String,
    /// What it holds.
    pub bytes: Vec<u8>,
}

/// The engine as it was built.
pub struct Engine {
    /// All that a first plan asks for.
    pub main: Vec<u8>,
    /// Everything else; none where it was built in one piece.
    pub rest: Option<Vec<u8>>,
}

/// What a folder brings along for one outing, so that its first plan is soon there.
#[derive(Default)]
pub struct Brought {
    /// The outing.
    pub text: String,
    /// Other files that it names.
    pub files: BTreeMap<String, String>,
    /// The antennas and tables that its plan asks for, as `farhop_plan::carried` packs them.
    pub made: Vec<u8>,
}

/// Letters of a hash in a name: 48 bits, enough to tell editions apart.
const HASH_LETTERS: usize = 12;

macro_rules! shell {
    ($name:literal) => {
        ($name, include_bytes!(concat!("../shell/", $name)))
    };
}

/// The files as they stand, with `{engine}` and `{edition}` for what is only known when the engine is there.
const FILES: [(&str, &[u8]); 13] = [
    shell!("index.html"),
    shell!("start.js"),
    shell!("start.css"),
    shell!("worker.js"),
    shell!("engine.js"),
    shell!("home.js"),
    shell!("planner.js"),
    shell!("pocket.js"),
    shell!("card-400.woff2"),
    shell!("card-600.woff2"),
    shell!("manifest.webmanifest"),
    shell!("icon-192.png"),
    shell!("icon-512.png"),
];

/// Whether some bytes are an engine (the first eight bytes of every module of this kind; WebAssembly Core Specification 1.0, 5.5.16).
#[must_use]
pub fn is_engine(bytes: &[u8]) -> bool {
    bytes.starts_with(b"\0asm\x01\0\0\0")
}

/// All files of the folder. The name of the engine changes with its content, and the edition with any file, so that a browser takes
/// over all of a new edition or nothing.
#[must_use]
pub fn folder(engine: Engine, brought: Option<&Brought>) -> Vec<File> {
    let Engine { main, rest } = engine;
    let name = format!("engine-{}.wasm", hash(&[&main]));
    let rest = rest.map(|bytes| File {
        name: format!("engine-rest-{}.wasm", hash(&[&bytes])),
        bytes,
    });
    let rest_address = rest.as_ref().map_or_else(String::new, |file| format!("/{}", file.name));
    let brought: Vec<File> = brought.into_iter().flat_map(files_of).collect();
    let [outing, made] = [".json", ".bin"].map(|end| {
        brought
            .iter()
            .find(|f| f.name.ends_with(end))
            .map_or_else(String::new, |f| f.name.clone())
    });
    let assets: Vec<(String, &[u8])> = all_assets().collect();
    let months: Vec<File> = (1..=months::MONTHS).map(month).collect();
    let all: Vec<&[u8]> = FILES
        .iter()
        .map(|(_, bytes)| *bytes)
        .chain([main.as_slice()])
        .chain(rest.iter().map(|file| file.bytes.as_slice()))
        .chain(assets.iter().map(|(_, bytes)| *bytes))
        .chain(months.iter().map(|file| file.bytes.as_slice()))
        .collect();
    let edition = hash(&all);
    let addresses: Vec<String> = assets.iter().map(|(address, _)| format!("{address:?}")).collect();
    let addresses = addresses.join(", ");
    let filled = |bytes: &[u8]| match std::str::from_utf8(bytes) {
        Ok(text) => text
            .replace("{engine}", &name)
            .replace("{rest}", &rest_address)
            .replace("{outing}", &outing)
            .replace("{made}", &made)
            .replace("{assets}", &addresses)
            .replace("{edition}", &edition)
            .into_bytes(),
        Err(_) => bytes.to_vec(),
    };
    let mut files: Vec<File> = FILES
        .iter()
        .map(|(name, bytes)| File {
            name: (*name).to_owned(),
            bytes: filled(bytes),
        })
        .collect();
    files.extend(brought);
    files.extend(months);
    files.extend(assets.iter().map(|(address, bytes)| File {
        name: address.trim_start_matches('/').to_owned(),
        bytes: bytes.to_vec(),
    }));
    files.extend(rest);
    files.push(File { name, bytes: main });
    files
}

fn month(month: usize) -> File {
    File {
        name: format!("month-{month:02}.bin"),
        bytes: months::bytes_of(month),
    }
}

fn files_of(brought: &Brought) -> [File; 2] {
    let outing = serde_json::json!({ "text": brought.text, "files": brought.files }).to_string();
    let named = |what: &str, bytes: Vec<u8>, end: &str| File {
        name: format!("{what}-{}{end}", hash(&[&bytes])),
        bytes,
    };
    [
        named("outing", outing.into_bytes(), ".json"),
        named("made", brought.made.clone(), ".bin"),
    ]
}

/// Everything in one page, for devices that only take files.
#[must_use]
pub fn single(engine: &Engine) -> String {
    let script = include_str!("../shell/single.js");
    let thread = concat!(
        include_str!("../shell/engine.js"),
        include_str!("../shell/single-thread.js")
    );
    // The policy names the one script that may run by its sum (Content Security Policy Level 3, 2.3.1).
    let sum = format!("sha256-{}", STANDARD.encode(Sha256::digest(script.as_bytes())));
    include_str!("../shell/single.html")
        .replace("{sum}", &sum)
        .replace("{script}", script)
        .replace("{thread}", thread)
        .replace("{style}", &style_of_pages())
        .replace("{months}", &months_as_text())
        .replace(
            "{rest}",
            &engine
                .rest
                .as_ref()
                .map_or_else(String::new, |rest| STANDARD.encode(rest)),
        )
        .replace("{engine}", &STANDARD.encode(&engine.main))
}

/// The style of the pages, which a page without a host has nobody to ask for.
fn style_of_pages() -> String {
    let style = all_assets().find(|(address, _)| address.ends_with("/style.css"));
    style.map_or_else(String::new, |(_, bytes)| String::from_utf8_lossy(bytes).into_owned())
}

/// The tables of all months, a line each.
fn months_as_text() -> String {
    let lines: Vec<String> = (1..=months::MONTHS)
        .map(|m| STANDARD.encode(months::bytes_of(m)))
        .collect();
    lines.join("\n")
}

fn hash(parts: &[&[u8]]) -> String {
    let mut sum = Sha256::new();
    for part in parts {
        sum.update(part);
    }
    let letters = sum.finalize().iter().map(|b| format!("{b:02x}")).collect::<String>();
    letters.chars().take(HASH_LETTERS).collect()
}
