//! `farhop card`: sheets of two sides, to be read without any device.

use std::path::Path;

use farhop_card::letters::Letters;
use farhop_card::pdf::{self, About};
use farhop_card::{Card, KeepAway, Paper, Source, html, layout};
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
    let card = card_of(&loaded.outing, guessed_on(&loaded.defaults), units)?;
    write(args, &card, (file, &own))
}

/// The card of an outing on A4 as PDF, as it travels in a bundle.
pub(crate) fn pdf_of(outing: &Outing, guessed_on: Vec<String>) -> Result<Vec<u8>, Failure> {
    let units = outing.header.units;
    let card = card_of(outing, guessed_on, units)?;
    let letters = Letters::new().map_err(Failure::ours)?;
    let sheets = layout::sheets(&card, Paper::A4, &letters);
    pdf::pdf(&sheets.pages, &about(&card)).map_err(Failure::ours)
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

fn write(args: &CardArgs, card: &Card, (file, own): (&Path, &Own)) -> Result<(), Failure> {
    let letters = Letters::new().map_err(Failure::ours)?;
    if args.html {
        let page = html::html(card, &letters);
        return files::output(file, page.as_bytes(), args.replace, own, "Written");
    }
    let sheets = layout::sheets(card, paper(args), &letters);
    let bytes = pdf::pdf(&sheets.pages, &about(card)).map_err(Failure::ours)?;
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
