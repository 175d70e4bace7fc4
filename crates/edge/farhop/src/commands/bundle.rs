//! `farhop bundle`: one file for a partner, and opening one.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::path::Path;

use farhop_exchange::bundle::{
    Bundle, Content, LARGEST_BUNDLE_BYTES, Role, check, check_name, pack, reading_of, unpack,
};
use farhop_outing::Outing;
use farhop_outing_file::{guessed_on, read, render_all};
use farhop_show::wrap::paragraph;
use farhop_store::kept::carried::{solutions_of, take_in};
use farhop_store::kept::solutions::Solutions;
use farhop_store::open::{DEMO, read_text, usable};
use farhop_store::{Journal, file_of, from_lines};

use crate::args::BundleArgs;
use crate::commands::card::pdf_of;
use crate::commands::export::now;
use crate::exit::Failure;
use crate::files::{self, Own};
use crate::progress::Terminal;

/// Runs the command.
pub fn run(args: &BundleArgs) -> Result<(), Failure> {
    match (&args.open, &args.into, &args.output) {
        (Some(file), Some(into), _) => open(file, into, args.take_solutions),
        (None, _, Some(output)) => make(args, output),
        _ => Err(Failure::input(
            "say what to do: `farhop bundle OUTING.toml -o FILE` makes one, `farhop bundle --open FILE --into DIR` opens one",
        )),
    }
}

fn make(args: &BundleArgs, output: &Path) -> Result<(), Failure> {
    let own = Own::of(args.outing.outing.as_deref());
    files::ready(output, args.replace, &own)?;
    let (guessed, outing, mut contents) = outing_and_files(args.outing.outing.as_deref())?;
    contents.push(match &args.card {
        Some(card) => card_of(card)?,
        None => content("card/card.pdf", Role::Card, pdf_of(&outing, guessed)?),
    });
    contents.extend(journal_of(args.outing.outing.as_deref())?);
    let bytes = pack(&contents, now()?).map_err(Failure::input)?;
    files::output(output, &bytes, args.replace, &own, "Written")?;
    let counted = |role| contents.iter().filter(|c| c.role == role).count();
    crate::say::outln!("{}: {} kB", output.display(), bytes.len().div_ceil(1000));
    for content in contents.iter().filter(|c| c.role != Role::Solution) {
        crate::say::outln!("  {} ({})", content.name, word(content.role));
    }
    crate::say::outln!("  {} antenna solutions", counted(Role::Solution));
    crate::say::outln!("It says where you will be and who you call: give it to whom you would tell.");
    Ok(())
}

/// The outing with the stations whose being on is a guess, every file that it names, and the solutions that its plan asks for.
fn outing_and_files(outing: Option<&Path>) -> Result<(Vec<String>, Outing, Vec<Content>), Failure> {
    let (name, text) = match outing {
        Some(path) => (name_of(path), read_text(path).map_err(Failure::input)?),
        None => ("demo.toml".to_owned(), DEMO.to_owned()),
    };
    let folder = outing.and_then(Path::parent).unwrap_or(Path::new("")).to_path_buf();
    let named: RefCell<BTreeMap<String, String>> = RefCell::default();
    let reading = read(&text, &name, &|file| {
        check_name(file).map_err(|e| format!("{e}; a bundle takes only files in the folder of the outing"))?;
        let text = read_text(&folder.join(file))?;
        named.borrow_mut().insert(file.to_owned(), text.clone());
        Ok(text)
    });
    let opened = usable(reading).map_err(Failure::input)?;
    let mut contents = vec![content(&name, Role::Outing, text.into_bytes())];
    let named = named.into_inner().into_iter();
    contents.extend(named.map(|(name, text)| content(&name, Role::Named, text.into_bytes())));
    let solutions = solutions_of(&opened.outing, &Solutions::of_user(), &Terminal::default());
    let numbered = solutions.into_iter().enumerate();
    contents
        .extend(numbered.map(|(i, bytes)| content(&format!("solutions/{:04}.antenna", i + 1), Role::Solution, bytes)));
    Ok((guessed_on(&opened.defaults), opened.outing, contents))
}

fn content(name: &str, role: Role, bytes: Vec<u8>) -> Content {
    Content {
        name: name.to_owned(),
        role,
        bytes,
    }
}

/// The name of a file where it can stand in a bundle, else a plain one with the same ending.
fn name_of(path: &Path) -> String {
    let name = path
        .file_name()
        .map(|n| n.to_string_lossy().into_owned())
        .unwrap_or_default();
    match check_name(&name) {
        Ok(()) => name,
        Err(_) => "outing.toml".to_owned(),
    }
}

fn card_of(path: &Path) -> Result<Content, Failure> {
    let bytes = std::fs::read(path).map_err(|e| Failure::input(format!("--card {}: {e}", path.display())))?;
    Ok(content(&format!("card/{}", name_of(path)), Role::Card, bytes))
}

fn journal_of(outing: Option<&Path>) -> Result<Option<Content>, Failure> {
    let journal = Journal::open_if_there(&file_of(outing)).map_err(Failure::input)?;
    for line in journal.iter().flat_map(|j| &j.condition().lines) {
        anstream::eprintln!("{line}");
    }
    let lines = journal.map(|j| j.export()).transpose().map_err(Failure::input)?;
    Ok(lines.map(|text| content("journal.jsonl", Role::Journal, text.into_bytes())))
}

fn open(file: &Path, into: &Path, take_solutions: bool) -> Result<(), Failure> {
    let fail = |e: &dyn std::fmt::Display| Failure::input(format!("{}: {e}", file.display()));
    let size_bytes = std::fs::metadata(file).map_err(|e| fail(&e))?.len();
    if size_bytes > LARGEST_BUNDLE_BYTES {
        return Err(fail(&format!("{size_bytes} bytes are too many for a bundle")));
    }
    let bytes = std::fs::read(file).map_err(|e| fail(&e))?;
    let bundle = check(&bytes).map_err(|e| fail(&e))?;
    let reading = reading_of(&bundle).map_err(|e| fail(&e))?;
    let journals: Vec<&str> = journals_in(&bundle).map_err(|e| fail(&e))?;
    let written = unpack(&bundle, into).map_err(Failure::input)?;
    for path in &written {
        crate::say::outln!("made {}", path.display());
    }
    let outing = bundle.outing().map(|c| into.join(&c.name)).unwrap_or_default();
    journal_into(&journals, &outing)?;
    solutions_from(&bundle, take_solutions);
    if !reading.problems.is_empty() {
        anstream::eprintln!("\n{}", render_all(&reading.problems));
    }
    crate::say::outln!("Made {}. Next: farhop plan {}", bundle.made_at, outing.display());
    Ok(())
}

/// The journals as lines, each line looked at.
fn journals_in(bundle: &Bundle) -> Result<Vec<&str>, String> {
    let lines = bundle.of(Role::Journal).map(|content| {
        let text = std::str::from_utf8(&content.bytes).map_err(|_| "the journal in it is not UTF-8 text".to_owned())?;
        from_lines(text).map_err(|e| format!("the journal in it: {e}"))?;
        Ok(text)
    });
    lines.collect()
}

fn journal_into(journals: &[&str], outing: &Path) -> Result<(), Failure> {
    for text in journals {
        let path = file_of(Some(outing));
        let mut journal = Journal::open(&path).map_err(Failure::input)?;
        let taken = journal.import(text).map_err(Failure::input)?;
        crate::say::outln!("made {} ({} entries)", path.display(), taken.added);
    }
    Ok(())
}

fn solutions_from(bundle: &Bundle, take: bool) {
    let all: Vec<&Content> = bundle.of(Role::Solution).collect();
    if all.is_empty() {
        return;
    }
    if !take {
        let said = format!(
            "{} antenna solutions came along and were not used: antennas are solved afresh. From somebody you trust, \
             --take-solutions saves that time.",
            all.len()
        );
        crate::say::out!("{}", paragraph(&said, "", "  "));
        return;
    }
    let store = Solutions::of_user();
    let taken = all.iter().filter(|c| take_in(&c.bytes, &store)).count();
    crate::say::outln!("{taken} of {} antenna solutions taken in", all.len());
}

fn word(role: Role) -> &'static str {
    match role {
        Role::Outing => "the outing",
        Role::Named => "named by the outing",
        Role::Card => "the field card",
        Role::Journal => "the journal",
        Role::Solution => "a solved antenna",
    }
}
