//! The 10.7 cm flux month by month: as it was observed, as it is foretold, and how far an outlook has been off.
//!
//! Tables: `data/solar`, made by `data/build/make_solar_flux.py` from the record and the outlook that CelesTrak keeps
//! (<https://celestrak.org/SpaceData/>); where from and under which terms: `data/PROVENANCE.md`.
//!
//! The solar activity of a date is the centred 13-month running mean with both ends at half weight: the mean by which R12 is
//! made. It is whole six months after the date; until then its missing months are foretold.

use farhop_num::maths;
use std::sync::OnceLock;

use farhop_earth::UtcTime;

const FLUX_CSV: &str = include_str!("../../../../data/solar/flux.csv");
const HINDCAST_CSV: &str = include_str!("../../../../data/solar/hindcast.csv");
/// Months to each side that the 12-month mean needs.
const HALF_WINDOW: i32 = 6;
/// Levels of the foretold mean for which the three figures of a course stand, solar flux units: about the middle of each class.
const LEVELS_SFU: [f64; 3] = [77.0, 115.0, 170.0];
/// Error of the outlook that is embedded over that of the hindcast, dimensionless: root mean square over the five issues kept
/// (`validation/ionosphere/flux_issues.csv`, a test works it out). They missed more of one cycle than the hindcast misses of all.
pub const OUTLOOK_WIDENING: f64 = 1.31;
/// Observed months from which on the scatter of a table says what the sun does: two cycles.
const RECORD_MONTHS: i32 = 264;
/// A rise or fall over a year that is as good as none, solar flux units (judgement).
const FLAT_SFU: f64 = 5.0;
/// A 12-month mean of observed months is no surer than this, solar flux units: calibration and missing days (judgement).
const OBSERVED_SD_SFU: f64 = 1.5;

/// Where an expected flux comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum FluxKind {
    /// Every month of the mean was observed.
    Observed,
    /// At least one month of the mean is foretold.
    Predicted,
    /// The date is outside the table: mean and scatter of the whole record.
    LongTermMean,
}

/// The 12-month mean flux at a date.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ExpectedFlux {
    /// 12-month mean of the 10.7 cm flux, solar flux units.
    pub flux_sfu: f64,
    /// Standard deviation of it, solar flux units.
    pub sd_sfu: f64,
    /// Where it comes from.
    pub kind: FluxKind,
}

/// A line of a table that cannot be read.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[error("line {line} of the flux table is not a month in order, a flux and a kind: {text}")]
pub struct FluxTableError {
    /// Number of the line, from 1.
    pub line: usize,
    /// The line.
    pub text: String,
}

/// Monthly means of the flux, observed first, then foretold.
#[derive(Clone, Debug, PartialEq)]
pub struct FluxTable {
    /// Months since the year 0 of the first value.
    first_month: i32,
    /// Months since the year 0 of the last observed value.
    last_observed: i32,
    flux_sfu: Vec<f64>,
    record: (f64, f64),
}

impl FluxTable {
    /// The table that is part of the program; it is read on the first call.
    ///
    /// # Panics
    /// Never: the file is embedded and a test reads it.
    #[must_use]
    pub fn embedded() -> &'static Self {
        static TABLE: OnceLock<FluxTable> = OnceLock::new();
        TABLE.get_or_init(|| match Self::parse(FLUX_CSV) {
            Ok(table) => table,
            Err(problem) => unreachable!("the embedded flux table is damaged: {problem}"),
        })
    }

    /// Reads `month,flux_sfu,kind` lines under a heading; months follow each other, `observed` before `predicted`.
    ///
    /// # Errors
    /// A line that is not so, or no line at all.
    pub fn parse(text: &str) -> Result<Self, FluxTableError> {
        let mut table = Self {
            first_month: 0,
            last_observed: 0,
            flux_sfu: Vec::new(),
            record: (0.0, 0.0),
        };
        let mut observed = 0;
        for (index, line) in text.lines().enumerate().skip(1) {
            let problem = || FluxTableError {
                line: index + 1,
                text: line.to_owned(),
            };
            let (month, flux_sfu, is_observed) = month_line(line).ok_or_else(problem)?;
            if table.flux_sfu.is_empty() {
                table.first_month = month;
            }
            let expected_month = table.first_month + table.flux_sfu.len() as i32;
            if month != expected_month || (is_observed && observed != table.flux_sfu.len()) {
                return Err(problem());
            }
            table.flux_sfu.push(flux_sfu);
            observed += usize::from(is_observed);
        }
        if table.flux_sfu.is_empty() {
            return Err(FluxTableError {
                line: 2,
                text: String::new(),
            });
        }
        table.last_observed = table.first_month + observed as i32 - 1;
        table.record = table.mean_and_scatter();
        Ok(table)
    }

    /// The 12-month mean expected at a date.
    #[must_use]
    pub fn expected(&self, time: UtcTime) -> ExpectedFlux {
        let position = month_position(time);
        let Some(flux_sfu) = self.mean_at(position) else {
            return ExpectedFlux {
                flux_sfu: self.record.0,
                sd_sfu: self.record.1,
                kind: FluxKind::LongTermMean,
            };
        };
        let lead_months = position - f64::from(self.last_observed);
        if lead_months <= f64::from(-HALF_WINDOW) {
            return ExpectedFlux {
                flux_sfu,
                sd_sfu: OBSERVED_SD_SFU,
                kind: FluxKind::Observed,
            };
        }
        // The year before may lie before a short table: then nothing says that the sun is past its top.
        let rise_sfu = self
            .mean_at(position - 12.0)
            .map_or(f64::INFINITY, |before| flux_sfu - before);
        let outlook_sd = OUTLOOK_WIDENING * outlook_sd_sfu(lead_months, flux_sfu, rise_sfu);
        // An outlook that is worth less than knowing nothing still leaves what the whole record says.
        let whole_record = self.last_observed - self.first_month >= RECORD_MONTHS;
        let known_sd = if whole_record { self.record.1 } else { f64::INFINITY };
        ExpectedFlux {
            flux_sfu,
            sd_sfu: maths::hypot(OBSERVED_SD_SFU, outlook_sd).min(known_sd),
            kind: FluxKind::Predicted,
        }
    }

    /// The running mean at a position in months, linear between the middles of months.
    fn mean_at(&self, position: f64) -> Option<f64> {
        let low = position.floor();
        let share = position - low;
        let low = low as i32;
        let at_low = self.mean_of(low)?;
        let at_high = if share > 0.0 { self.mean_of(low + 1)? } else { at_low };
        Some(at_low + (at_high - at_low) * share)
    }

    fn mean_of(&self, month: i32) -> Option<f64> {
        let start = usize::try_from(month - HALF_WINDOW - self.first_month).ok()?;
        let window = self.flux_sfu.get(start..=start + 2 * HALF_WINDOW as usize)?;
        let ends = 0.5 * (window[0] + window[window.len() - 1]);
        Some((window.iter().sum::<f64>() - ends) / 12.0)
    }

    /// Mean and standard deviation of the 12-month mean over all observed months.
    fn mean_and_scatter(&self) -> (f64, f64) {
        let means: Vec<f64> = (self.first_month..=self.last_observed - HALF_WINDOW)
            .filter_map(|month| self.mean_of(month))
            .collect();
        let count = means.len().max(1) as f64;
        let mean = means.iter().sum::<f64>() / count;
        let variance = means.iter().map(|m| (m - mean).powi(2)).sum::<f64>() / count;
        (mean, variance.sqrt())
    }
}

/// Months since the year 0, counted from the middle of a month to the middle of the next.
fn month_position(time: UtcTime) -> f64 {
    let year_position = time.decimal_year().fract();
    // Twelve equal months of a year: within a day and a half of the calendar, for a mean over a year.
    f64::from(time.year()) * 12.0 + year_position * 12.0 - 0.5
}

fn month_line(line: &str) -> Option<(i32, f64, bool)> {
    let mut cells = line.split(',');
    let (year, month) = cells.next()?.split_once('-')?;
    let (year, month): (i32, i32) = (year.parse().ok()?, month.parse().ok()?);
    let flux_sfu: f64 = cells.next()?.parse().ok()?;
    let is_observed = match cells.next()? {
        "observed" => true,
        "predicted" => false,
        _ => return None,
    };
    let sound = (0..=9_999).contains(&year) && (1..=12).contains(&month) && (40.0..=500.0).contains(&flux_sfu);
    sound.then_some((12 * year + month - 1, flux_sfu, is_observed))
}

/// One lead of the hindcast: months, then the standard deviations while rising and while falling, by level.
type LeadRow = (f64, [f64; 3], [f64; 3]);

fn hindcast() -> &'static [LeadRow] {
    static ROWS: OnceLock<Vec<LeadRow>> = OnceLock::new();
    ROWS.get_or_init(|| {
        let numbers = |line: &str| -> Vec<f64> { line.split(',').filter_map(|cell| cell.parse().ok()).collect() };
        let rows = HINDCAST_CSV.lines().skip(1).map(numbers);
        rows.filter_map(|row| match row[..] {
            [lead, a, b, c, d, e, f, _] => Some((lead, [a, b, c], [d, e, f])),
            _ => None,
        })
        .collect()
    })
}

/// Standard deviation (solar flux units) of the error of a hindcast of the 12-month mean.
///
/// `lead_months` counts from the last observed month to the middle of the window; from -6 to 0 part of the window is known.
/// `foretold_sfu` is the mean foretold, `rise_sfu` how far it stands above that of a year before (both solar flux units). Within
/// `FLAT_SFU` of no rise the figures of the two courses are mixed, so that no date is a step.
#[must_use]
pub(crate) fn outlook_sd_sfu(lead_months: f64, foretold_sfu: f64, rise_sfu: f64) -> f64 {
    let rows = hindcast();
    let rising = (0.5 + 0.5 * rise_sfu / FLAT_SFU).clamp(0.0, 1.0);
    let sd = |row: &LeadRow| {
        let falls = by_level(&row.2, foretold_sfu);
        falls + (by_level(&row.1, foretold_sfu) - falls) * rising
    };
    let (Some(first), Some(last)) = (rows.first(), rows.last()) else {
        return 0.0;
    };
    if lead_months <= first.0 {
        let half = f64::from(HALF_WINDOW);
        return sd(first) * ((lead_months + half) / half).clamp(0.0, 1.0);
    }
    let after = rows.partition_point(|row| row.0 < lead_months);
    match rows.get(after) {
        Some(next) => {
            let before = &rows[after - 1];
            sd(before) + (sd(next) - sd(before)) * (lead_months - before.0) / (next.0 - before.0)
        }
        None => sd(last),
    }
}

fn by_level(sd_sfu: &[f64; 3], foretold_sfu: f64) -> f64 {
    let [low, middle, high] = LEVELS_SFU;
    if foretold_sfu < middle {
        let share = ((foretold_sfu - low) / (middle - low)).max(0.0);
        sd_sfu[0] + (sd_sfu[1] - sd_sfu[0]) * share
    } else {
        let share = ((foretold_sfu - middle) / (high - middle)).min(1.0);
        sd_sfu[1] + (sd_sfu[2] - sd_sfu[1]) * share
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(year: i16, month: i8) -> UtcTime {
        UtcTime::from_civil(year, month, 16, 0, 0, 0).unwrap()
    }

    #[test]
    fn the_embedded_tables_are_whole() {
        let table = FluxTable::embedded();
        assert_eq!(table.first_month, 12 * 1957 + 9);
        assert_eq!(table.flux_sfu.len(), FLUX_CSV.lines().count() - 1);
        assert_eq!(hindcast().len(), HINDCAST_CSV.lines().count() - 1);
        assert!(hindcast().windows(2).all(|w| w[0].0 < w[1].0));
    }

    /// A straight line has itself for a running mean.
    #[test]
    fn the_mean_of_a_straight_line_is_the_line() {
        let lines = (0..40).map(|i| format!("{}-{:02},{},observed", 2000 + i / 12, i % 12 + 1, 100 + i));
        let text = std::iter::once("heading".to_owned())
            .chain(lines)
            .collect::<Vec<_>>()
            .join("\n");
        let table = FluxTable::parse(&text).unwrap();
        let expected = table.expected(day(2001, 3));
        assert!((expected.flux_sfu - 114.0).abs() < 0.1, "{expected:?}");
        assert_eq!(expected.kind, FluxKind::Observed);
    }

    #[test]
    fn every_date_says_what_it_rests_on() {
        let table = FluxTable::embedded();
        assert_eq!(table.expected(day(2024, 6)).kind, FluxKind::Observed);
        assert_eq!(table.expected(day(2030, 6)).kind, FluxKind::Predicted);
        for (year, month) in [(1950, 1), (1957, 12), (2041, 10), (2090, 5)] {
            let far = table.expected(day(year, month));
            assert_eq!(far.kind, FluxKind::LongTermMean);
            assert!(
                (90.0..150.0).contains(&far.flux_sfu) && (30.0..60.0).contains(&far.sd_sfu),
                "{far:?}"
            );
        }
    }

    #[test]
    fn an_outlook_is_less_sure_the_longer_its_lead() {
        for rising in [-30.0, -2.0, 0.0, 30.0] {
            for foretold in [70.0, 100.0, 150.0, 250.0] {
                let sds: Vec<f64> = (-6..150)
                    .map(|lead| outlook_sd_sfu(f64::from(lead), foretold, rising))
                    .collect();
                assert_eq!(sds[0], 0.0);
                assert!(sds.windows(2).all(|w| w[0] <= w[1] + 1e-9), "{foretold} {rising}");
            }
        }
    }

    #[test]
    fn a_broken_table_is_refused_with_its_line() {
        for text in [
            "",
            "h\n2001-01,x,observed",
            "h\n2001-01,100,observed\n2001-03,100,observed",
            "h\n2001-01,9,observed",
        ] {
            assert!(FluxTable::parse(text).is_err(), "{text}");
        }
        let late = "h\n2001-01,100,predicted\n2001-02,100,observed";
        assert_eq!(FluxTable::parse(late).unwrap_err().line, 3);
    }
}
