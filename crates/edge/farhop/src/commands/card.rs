//! `farhop card`: sheets of two sides, to be read without any device.

use std::path::Path;

use farhop_card::letters::Letters;
use farhop_card::{Card, Paper, Source, html, keep_away, layout};
use farhop_earth::clock::zone;
use farhop_outing::{Outing, Units};
use farhop_outing_file::guessed_on;
use farhop_paper::fonts::faces;
use farhop_paper::{About, pdf};
use farhop_plan::analysis::Part;
use farhop_show::reader::Reader;
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
    let card = card_of(&loaded.outing, guessed_on(&loaded.defaults), units)?;
    write(args, &card, (file, &own))
}

/// The card of an outing on A4 as PDF, as it travels in a bundle.
pub(crate) fn pdf_of(outing: &Outing, guessed_on: Vec<String>) -> Result<Vec<u8>, Failure> {
    let units = outing.header.units;
    let card = card_of(outing, guessed_on, units)?;
    let letters = Letters::new();
    let sheets = layout::sheets(&card, Paper::A4, &letters);
    pdf(&sheets.pages, &about(&card)).map_err(Failure::ours)
}

fn about(card: &Card) -> About {
    About {
        title: format!("Field card: {}", card.title),
        author: card.author.clone(),
        made: card.made,
    }
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
        made: crate::moment::clock(),
    }))
}

fn write(args: &CardArgs, card: &Card, (file, own): (&Path, &Own)) -> Result<(), Failure> {
    let letters = Letters::new();
    if args.html {
        let page = html::html(card, &letters, &faces());
        return files::output(file, page.as_bytes(), args.replace, own, "Written");
    }
    let sheets = layout::sheets(card, paper(args), &letters);
    let bytes = pdf(&sheets.pages, &about(card)).map_err(Failure::ours)?;
    files::output(file, &bytes, args.replace, own, "Written")?;
    if !files::to_standard_output(file) {
        let many = match sheets.count() {
            1 => "1 sheet".to_owned(),
            n => format!("{n} sheets"),
        };
        anstream::eprintln!("Print it at 100 % on both sides: {many}.");
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
