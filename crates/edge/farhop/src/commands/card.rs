//! `farhop card`: one sheet, two sides, to be read without any device.

use std::path::Path;

use farhop_card::letters::Letters;
use farhop_card::{Card, KeepAway, Paper, Source, html, layout, pdf};
use farhop_earth::clock::zone;
use farhop_outing::{Outing, Units};
use farhop_outing_file::guessed_on;
use farhop_plan::analysis::Part;
use farhop_plan::safety::BandSafety;
use farhop_show::reader::Reader;
use farhop_show::safety::in_plan::plan_lines;
use farhop_store::kept::solutions::Solutions;

use crate::args::CardArgs;
use crate::commands::plan::plan;
use crate::exit::Failure;
use crate::files::{self, Own};
use crate::outing::load_and_say;

/// Runs the command.
pub fn run(args: &CardArgs) -> Result<(), Failure> {
    let own = Own::of(args.outing.outing.as_deref());
    let usual = if args.html { "card.html" } else { "card.pdf" };
    let file = args.output.as_deref().unwrap_or(Path::new(usual));
    files::ready(file, args.replace, &own)?;
    let loaded = load_and_say(&args.outing)?;
    let units = args.units.map_or(loaded.outing.header.units, Units::from);
    write(
        args,
        &card_of(&loaded.outing, guessed_on(&loaded.defaults), units)?,
        units,
        (file, &own),
    )
}

/// The card of an outing on A4 as PDF, as it travels in a bundle.
pub fn pdf_of(outing: &Outing, guessed_on: Vec<String>) -> Result<Vec<u8>, Failure> {
    let units = outing.header.units;
    let card = card_of(outing, guessed_on, units)?;
    let letters = Letters::new().map_err(Failure::ours)?;
    let sheet = layout::sheet(&card, Paper::A4, units, &letters);
    pdf::pdf(&sheet.pages, &title_of(&card)).map_err(Failure::ours)
}

fn title_of(card: &Card) -> String {
    format!("Field card: {}", card.title)
}

/// Everything that the card says, from a plan that is made now.
fn card_of(outing: &Outing, guessed_on: Vec<String>, units: Units) -> Result<Card, Failure> {
    let plan = plan(outing, &Part::default())?;
    if let Err(why) = &plan.energy {
        anstream::eprintln!("No energy forecast: {why}");
    }
    if let Err(why) = &plan.kit {
        anstream::eprintln!("No kit report: {why}");
    }
    let store = Solutions::of_user();
    Ok(Card::new(&Source {
        outing,
        plan: &plan,
        reader: Reader::new(zone(&outing.header.time_zone).map_err(Failure::input)?, units),
        guessed_on,
        store: &store,
        keep_away: keep_away(outing, &plan.safety, units),
    }))
}

/// Whom to keep how far from each antenna at each site.
fn keep_away(outing: &Outing, all: &[BandSafety], units: Units) -> Vec<KeepAway> {
    let mut places: Vec<(usize, usize)> = all.iter().map(|s| (s.site, s.antenna)).collect();
    places.sort_unstable();
    places.dedup();
    let one = |(site, antenna): (usize, usize)| {
        let own: Vec<BandSafety> = all
            .iter()
            .filter(|s| (s.site, s.antenna) == (site, antenna))
            .cloned()
            .collect();
        let words = plan_lines(outing, &own, units).into_iter().next()?;
        Some(KeepAway { site, antenna, words })
    };
    places.into_iter().filter_map(one).collect()
}

fn write(args: &CardArgs, card: &Card, units: Units, (file, own): (&Path, &Own)) -> Result<(), Failure> {
    let paper = paper(args);
    let letters = Letters::new().map_err(Failure::ours)?;
    let sheet = layout::sheet(card, paper, units, &letters);
    let title = title_of(card);
    let bytes = if args.html {
        html::html(&sheet.pages, paper, &title).into_bytes()
    } else {
        pdf::pdf(&sheet.pages, &title).map_err(Failure::ours)?
    };
    files::output(file, &bytes, args.replace, own, "Written")?;
    if !files::to_standard_output(file) {
        anstream::eprintln!("Then print it on both sides, turned over the short edge or the long one as you like.");
    }
    if !sheet.left_out.is_empty() {
        anstream::eprintln!("No room on this paper for: {}.", sheet.left_out.join(", "));
    }
    Ok(())
}

fn paper(args: &CardArgs) -> Paper {
    match (args.a5, args.letter) {
        (true, _) => Paper::A5,
        (_, true) => Paper::Letter,
        _ => Paper::A4,
    }
}
