//! `[learned]`: what earlier outings have taught, in the file itself or in a file of its own.

use farhop_outing::{Learned, LearnedNoise, LearnedStation, Spread};
use toml::de::DeTable;

use crate::fields::Fields;
use crate::reading::Loader;
use crate::session::{Session, Spot};
use crate::syntax;

/// Reads the section, or the file that it names.
pub(crate) fn read(s: &mut Session, mut f: Fields<'_>, load: &Loader<'_>) -> Option<Learned> {
    let Some(name) = f.text(s, "file") else {
        let learned = keys(s, &mut f);
        f.finish(s);
        return Some(learned);
    };
    let spot = f.get(s, "file").map_or_else(|| f.own_spot(), |v| f.spot_of(v));
    let path = f.path_of("file");
    f.finish(s);
    let text = match load(&name) {
        Ok(text) => text,
        Err(error) => {
            s.error(
                spot,
                &path,
                format!("\"{name}\" cannot be read: {error}"),
                "The path is taken from the folder of the outing.",
            );
            return None;
        }
    };
    let source = s.add_source(&name, &text);
    let (table, errors) = DeTable::parse_recoverable(&text);
    if !errors.is_empty() {
        syntax::report(s, source, &errors, text.len());
        return None;
    }
    let mut f = Fields::new(table.get_ref(), "learned".to_owned(), table.span(), source);
    s.mark("learned".to_owned(), Spot { source, span: 0..0 });
    let learned = keys(s, &mut f);
    f.finish(s);
    Some(learned)
}

fn keys(s: &mut Session, f: &mut Fields<'_>) -> Learned {
    if !f.has("calls") {
        f.known("calls");
        f.missing(s, "calls", "On how many calls does it rest?");
    }
    Learned {
        calls: f.count(s, "calls").map_or(0, |n| u32::try_from(n).unwrap_or(u32::MAX)),
        own_station_db: spread(s, f, "own_station_db"),
        fof2_ratio: spread(s, f, "fof2_ratio"),
        absorption_ratio: spread(s, f, "absorption_ratio"),
        noise: f.tables(s, "noise").into_iter().map(|own| noise(s, own)).collect(),
        stations: f
            .tables(s, "station")
            .into_iter()
            .enumerate()
            .filter_map(|(number, own)| station(s, own, number))
            .collect(),
    }
}

fn station(s: &mut Session, mut f: Fields<'_>, number: usize) -> Option<LearnedStation> {
    let id = f.need_id(s, number);
    let days = f.need_number(s, "days", "On how many days was it called or heard?");
    let on_days = f.need_number(s, "on_days", "On how many of these was it on?");
    let mut count = |key: &str| f.count(s, key).map_or(0, |n| u32::try_from(n).unwrap_or(u32::MAX));
    let (calls, busy) = (count("calls"), count("busy"));
    f.finish(s);
    Some(LearnedStation {
        station: id?,
        days,
        on_days,
        calls,
        busy,
    })
}

fn noise(s: &mut Session, mut f: Fields<'_>) -> LearnedNoise {
    let freq_mhz = f.need_number(s, "mhz", "The frequency in MHz.");
    if !f.has("offset_db") {
        f.known("offset_db");
        f.missing(s, "offset_db", "Write the offset and its spread in dB: [3, 2].");
    }
    let nothing = Spread {
        value_own_unit: f64::NAN,
        sd_own_unit: f64::NAN,
    };
    let offset_db = spread(s, &mut f, "offset_db").unwrap_or(nothing);
    f.finish(s);
    LearnedNoise { freq_mhz, offset_db }
}

fn spread(s: &mut Session, f: &mut Fields<'_>, key: &str) -> Option<Spread> {
    let pair = f.numbers(s, key)?;
    if let [value_own_unit, sd_own_unit] = pair[..] {
        return Some(Spread {
            value_own_unit,
            sd_own_unit,
        });
    }
    let value = f.get(s, key)?;
    f.wrong_kind(s, key, value, "a value and its standard deviation: [1.05, 0.1]");
    None
}
