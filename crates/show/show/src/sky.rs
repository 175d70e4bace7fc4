//! The layers above a place through the day, as JSON and as text.

use farhop_earth::Place;
use farhop_ionosphere::{Activity, ActivitySource, Layers};

use crate::document::{Column, Document, Table};
use crate::numbers::rounded;
use crate::views::views;
use farhop_earth::clock::rfc3339;

views! {
    /// One hour above a place.
    SkyHour(layers: &Layers) {
        /// The instant, RFC 3339.
        at: String = rfc3339(layers.time),
        /// Critical frequency of the F2 layer, monthly median, MHz.
        fof2_mhz: f64 = rounded(layers.fof2_mhz, 5),
        /// The value reached on nine days in ten, MHz.
        fof2_p10_mhz: f64 = rounded(layers.fof2_mhz * layers.fof2_lower_decile_factor, 3),
        /// The value reached on one day in ten, MHz.
        fof2_p90_mhz: f64 = rounded(layers.fof2_mhz * layers.fof2_upper_decile_factor, 3),
        /// MUF factor for 3 000 km, dimensionless.
        m3000f2: f64 = rounded(layers.m3000f2, 5),
        /// Critical frequency of the E layer, MHz.
        foe_mhz: f64 = rounded(layers.foe_mhz, 4),
        /// Height of the F2 peak, km.
        hmf2_km: f64 = rounded(layers.hmf2_km, 2),
        /// Median top frequency of sporadic E, MHz.
        foes_median_mhz: f64 = rounded(layers.foes_median_mhz, 4),
        /// Sporadic E frequency exceeded on one day in ten, MHz.
        foes_p90_mhz: f64 = rounded(layers.foes_upper_decile_mhz, 4),
        /// Modified dip, degrees.
        modip_deg: f64 = rounded(layers.modip_deg, 4),
        /// Magnetic dip at 300 km, degrees.
        dip_deg: f64 = rounded(layers.dip_deg, 4),
        /// Gyrofrequency at 300 km, MHz.
        gyro_mhz: f64 = rounded(layers.gyro_300km_mhz, 4),
        /// Solar zenith angle, degrees.
        sun_zenith_deg: f64 = rounded(layers.sun_zenith_deg, 4),
    }

    /// A day above a place.
    SkyView(place: Place, activity: &Activity, layers: &[Layers]) {
        /// Latitude, degrees.
        lat_deg: f64 = place.lat_deg(),
        /// Longitude, degrees.
        lon_deg: f64 = place.lon_deg(),
        /// Smoothed sunspot number in use, dimensionless.
        r12: f64 = rounded(activity.r12(), 3),
        /// One standard deviation of it, dimensionless.
        r12_sd: f64 = rounded(activity.r12_sd(), 1),
        /// Solar flux in use, solar flux units.
        flux: f64 = rounded(activity.flux_sfu(), 3),
        /// Where the activity comes from.
        activity_source: &'static str = activity_source(activity),
        /// Hour by hour.
        hours: Vec<SkyHour> = layers.iter().map(SkyHour::new).collect(),
        /// What to bear in mind.
        notes: Vec<String> = notes(activity),
    }
}

/// Where an activity figure comes from, in words.
#[must_use]
pub fn activity_source(activity: &Activity) -> &'static str {
    match activity.source() {
        ActivitySource::SunspotNumber => "sunspot number given",
        ActivitySource::Flux => "solar flux given",
        ActivitySource::Observed => "observed solar flux of the date",
        ActivitySource::Predicted => "embedded outlook of the solar flux for the date",
        ActivitySource::LongTermMean => "long-term mean, the date is outside the flux record",
    }
}

/// The view of a series of hours.
#[must_use]
pub fn sky_view(place: Place, activity: &Activity, layers: &[Layers]) -> SkyView {
    SkyView::new(place, activity, layers)
}

fn notes(activity: &Activity) -> Vec<String> {
    let mut notes = vec!["monthly medians: a single day differs, see fof2_p10_mhz and fof2_p90_mhz".to_owned()];
    let given = matches!(activity.source(), ActivitySource::SunspotNumber | ActivitySource::Flux);
    if !given {
        notes.push(format!(
            "no activity given: {}, R12 {:.0} ± {:.0}; give --flux or --ssn if you know it",
            activity_source(activity),
            activity.r12(),
            activity.r12_sd()
        ));
    }
    notes
}

/// Width of the drawn bar for foF2, characters.
const BAR_WIDTH: f64 = 14.0;

/// The whole report.
#[must_use]
pub fn sky_document(view: &SkyView) -> Document {
    let by_fof2 = |a: &&SkyHour, b: &&SkyHour| a.fof2_mhz.total_cmp(&b.fof2_mhz);
    let extremes = (view.hours.iter().min_by(by_fof2), view.hours.iter().max_by(by_fof2));
    let mut doc = Document::new(match extremes {
        (Some(low), Some(high)) => format!(
            "Straight up and back, the sky carries up to {:.1} MHz at best ({} UTC) and {:.1} MHz at worst ({} UTC).",
            high.fof2_mhz,
            time_of(&high.at),
            low.fof2_mhz,
            time_of(&low.at)
        ),
        _ => "No hour was asked for.".to_owned(),
    });
    doc.lead(format!(
        "Sunspot number R12 {:.0} ± {:.0}, flux {:.0} ({}).",
        view.r12, view.r12_sd, view.flux, view.activity_source
    ));
    doc.section("hours", "");
    let mut columns = vec![Column::words("UTC")];
    let heads = ["sun°", "foF2", "10–90 % of days", "foE", "Es", "M3000", "hmF2"];
    columns.extend(heads.map(Column::number));
    columns.push(Column::words("foF2, MHz"));
    let mut table = Table::new(columns);
    let top = view.hours.iter().map(|h| h.fof2_mhz).fold(1.0, f64::max);
    for hour in &view.hours {
        table.row([
            time_of(&hour.at).to_owned(),
            format!("{:.0}", 90.0 - hour.sun_zenith_deg),
            format!("{:.1}", hour.fof2_mhz),
            format!("{:.1}–{:.1}", hour.fof2_p10_mhz, hour.fof2_p90_mhz),
            format!("{:.1}", hour.foe_mhz),
            format!("{:.1}", hour.foes_median_mhz),
            format!("{:.2}", hour.m3000f2),
            format!("{:.0}", hour.hmf2_km),
            "▬".repeat((hour.fof2_mhz / top * BAR_WIDTH).round().max(0.0) as usize),
        ]);
    }
    doc.table(table);
    doc.section("notes", "");
    doc.say("sun°: height of the sun. Es: sporadic E, median. hmF2: height of the peak, km.");
    for note in &view.notes {
        doc.note(format!("Note: {note}."));
    }
    doc
}

/// Hours and minutes of an RFC 3339 text.
fn time_of(rfc3339: &str) -> &str {
    rfc3339.get(11..16).unwrap_or(rfc3339)
}
