//! The loss ladder: from the transmitter's power down to the signal, then the noise and what is left over it, both ways side by side.

mod spread;

pub use spread::{SpreadPicture, spread};

use crate::sheet::{Anchor, INK, Letters, MUTED, SOFT, Sheet, TINT};

/// A step, dB in each direction; positive raises the signal.
#[derive(Clone, Debug)]
pub struct Step {
    /// What it is.
    pub name: String,
    /// From the site to the station, dB.
    pub there_db: f64,
    /// From the station to the site, dB.
    pub back_db: f64,
}

/// What is drawn.
#[derive(Clone, Debug)]
pub struct LadderPicture<'a> {
    /// Name of the site.
    pub site: &'a str,
    /// Name of the station.
    pub station: &'a str,
    /// Power of the transmitters, dBm: the site's, the station's.
    pub power_dbm: [f64; 2],
    /// The steps, from the transmitter down.
    pub steps: &'a [Step],
    /// Noise in the channel where it is received, dBm: at the station, at the site.
    pub noise_dbm: [f64; 2],
    /// Median signal over noise of all modes together, dB: there, back.
    pub snr_db: [f64; 2],
    /// What the link needs, dB.
    pub needed_db: Option<f64>,
}

const WIDTH: f64 = 400.0;
const HEAD: f64 = 44.0;
const ROW: f64 = 25.0;
const MIDDLE: f64 = WIDTH / 2.0;
/// Half the width of the column of names.
const NAMES: f64 = 76.0;
/// Length of a full bar.
const BAR: f64 = 84.0;

/// A rung: its name, the change in each direction, and the level after it, dBm.
struct Rung {
    name: String,
    change_db: Option<[f64; 2]>,
    level_dbm: [f64; 2],
    strong: bool,
    colour: &'static str,
}

/// The ladder, as SVG.
#[must_use]
pub fn ladder(picture: &LadderPicture<'_>) -> String {
    let rungs = rungs(picture);
    let tail = if picture.needed_db.is_some() { 2.0 } else { 1.0 };
    let height = HEAD + ROW * (rungs.len() as f64 + tail) + 12.0;
    let title = format!("Loss ladder between {} and {}", picture.site, picture.station);
    let mut sheet = Sheet::new(WIDTH, height, &title);
    head(&mut sheet, picture);
    let levels = rungs.iter().flat_map(|r| r.level_dbm);
    let (low, high) = levels.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)));
    let reach_db = (high - low + 10.0).max(1.0);
    for (index, rung) in rungs.iter().enumerate() {
        let y = HEAD + ROW * index as f64;
        draw_rung(&mut sheet, rung, y, |dbm| {
            BAR * ((dbm - low + 10.0) / reach_db).clamp(0.0, 1.0)
        });
    }
    let y = HEAD + ROW * rungs.len() as f64;
    sum(&mut sheet, y, "Signal over noise", picture.snr_db);
    if let Some(needed_db) = picture.needed_db {
        sum(&mut sheet, y + ROW, "a link needs", [needed_db; 2]);
    }
    sheet.finished()
}

fn rungs(picture: &LadderPicture<'_>) -> Vec<Rung> {
    let mut level = picture.power_dbm;
    let mut rungs = vec![Rung {
        name: "Transmitter".to_owned(),
        change_db: None,
        level_dbm: level,
        strong: true,
        colour: TINT,
    }];
    for step in picture.steps {
        let change = [step.there_db, step.back_db];
        level = [level[0] + change[0], level[1] + change[1]];
        rungs.push(Rung {
            name: step.name.clone(),
            change_db: Some(change),
            level_dbm: level,
            strong: false,
            colour: TINT,
        });
    }
    rungs.push(Rung {
        name: "Noise in the channel".to_owned(),
        change_db: None,
        level_dbm: picture.noise_dbm,
        strong: true,
        colour: MUTED,
    });
    rungs
}

fn head(sheet: &mut Sheet, picture: &LadderPicture<'_>) {
    let letters = Letters::plain(13.5).strong();
    let short = |name: &str| name.chars().take(16).collect::<String>();
    sheet.text((4.0, 14.0), letters, &format!("{} sends", short(picture.site)));
    sheet.text(
        (WIDTH - 4.0, 14.0),
        letters.at(Anchor::End),
        &format!("{} sends", short(picture.station)),
    );
    let small = Letters::plain(13.5).in_colour(MUTED);
    sheet.text((4.0, 30.0), small, "level, dBm");
    sheet.text((WIDTH - 4.0, 30.0), small.at(Anchor::End), "level, dBm");
    sheet.text((MIDDLE, 30.0), small.at(Anchor::Middle), "step, dB");
}

fn draw_rung(sheet: &mut Sheet, rung: &Rung, y: f64, length: impl Fn(f64) -> f64) {
    let [there, back] = rung.level_dbm;
    let (left, right) = (length(there), length(back));
    sheet.block((MIDDLE - NAMES - left, y + 4.0), (left, ROW - 8.0), rung.colour);
    sheet.block((MIDDLE + NAMES, y + 4.0), (right, ROW - 8.0), rung.colour);
    sheet.line((4.0, y + ROW), (WIDTH - 4.0, y + ROW), SOFT, 0.6);
    let figure = Letters::plain(13.5);
    sheet.text((4.0, y + 17.0), figure, &format!("{there:.0}"));
    sheet.text((WIDTH - 4.0, y + 17.0), figure.at(Anchor::End), &format!("{back:.0}"));
    let name = Letters {
        strong: rung.strong,
        ..Letters::plain(13.5).at(Anchor::Middle)
    };
    let words = match rung.change_db {
        None => rung.name.clone(),
        Some([a, b]) if (a - b).abs() < 0.5 => format!("{} {}", rung.name, signed(a)),
        Some([a, b]) => format!("{} {} / {}", rung.name, signed(a), signed(b)),
    };
    sheet.text((MIDDLE, y + 17.0), name, &words);
}

fn sum(sheet: &mut Sheet, y: f64, name: &str, values_db: [f64; 2]) {
    let strong = Letters::plain(13.5).strong();
    sheet.text((4.0, y + 18.0), strong, &format!("{} dB", signed(values_db[0])));
    sheet.text((MIDDLE, y + 18.0), strong.at(Anchor::Middle).in_colour(INK), name);
    sheet.text(
        (WIDTH - 4.0, y + 18.0),
        strong.at(Anchor::End),
        &format!("{} dB", signed(values_db[1])),
    );
}

/// A number with its sign and a true minus; no sign before nothing.
fn signed(value_db: f64) -> String {
    let rounded = value_db.round();
    if rounded == 0.0 {
        "0".to_owned()
    } else if rounded < 0.0 {
        format!("−{:.0}", -rounded)
    } else {
        format!("+{rounded:.0}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn levels_add_up_from_the_top() {
        let steps = [
            Step {
                name: "Feed".to_owned(),
                there_db: -3.0,
                back_db: 0.0,
            },
            Step {
                name: "Spreading".to_owned(),
                there_db: -100.0,
                back_db: -100.0,
            },
        ];
        let picture = LadderPicture {
            site: "hut",
            station: "gate",
            power_dbm: [37.0, 50.0],
            steps: &steps,
            noise_dbm: [-100.0, -110.0],
            snr_db: [34.0, 60.0],
            needed_db: Some(-4.0),
        };
        let rungs = rungs(&picture);
        assert_eq!(rungs[2].level_dbm, [-66.0, -50.0]);
        let svg = ladder(&picture);
        assert!(
            svg.contains("Feed −3 / 0") && svg.contains("Spreading −100<") && svg.contains("−4 dB"),
            "{svg}"
        );
    }
}
