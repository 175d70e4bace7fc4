//! `farhop sky`: the layers above a place through the day.

use farhop_ionosphere::{Ionosphere, SkyConditions};
use farhop_show::sky::{sky_document, sky_view};

use crate::args::SkyArgs;
use crate::commands::print_json;
use crate::exit::Failure;
use crate::input;
use crate::moment::anywhere;

/// Longest series of hours.
const MOST_HOURS: u16 = 24 * 31;

/// Runs the command.
pub fn run(args: &SkyArgs) -> Result<(), Failure> {
    let place = input::place("--place", &args.place)?;
    let start = anywhere("--at", &args.at)?;
    if args.hours == 0 || args.hours > MOST_HOURS {
        return Err(Failure::input(format!(
            "--hours {}: must be from 1 to {MOST_HOURS}",
            args.hours
        )));
    }
    let field = input::field("--at", start)?;
    let activity = input::activity(&args.activity, start)?;
    let conditions = SkyConditions::quiet(activity);
    let sky = Ionosphere::embedded().sky(&field, &conditions);
    let above = sky.above(place, start);
    let layers: Vec<_> = (0..i64::from(args.hours))
        .map(|hour| above.at(start.add_s(hour * 3_600)))
        .collect();
    let view = sky_view(place, &activity, &layers);
    if args.json {
        print_json(&view)?;
    } else {
        crate::say::out!("{}", sky_document(&view).text());
    }
    Ok(())
}
