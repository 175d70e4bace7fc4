//! How each antenna hangs at a place, what to keep from it, and where one stands.

use farhop_earth::locator;
use farhop_outing::Antenna;
use farhop_plan::engine::{axis_bearing_deg, built_at};
use farhop_show::plan_view::declination_deg;

use super::{Body, Desk, Hung, Line, Panel, Spot, hang, letter, tuner};
use crate::source::Source;

/// The antennas of a place with their drawings.
pub(super) fn panel(desk: &Desk<'_>, spot: &Spot) -> Panel {
    let each = spot.antennas.iter().enumerate();
    let mut hung: Vec<Hung> = each
        .filter_map(|(k, antenna)| one(desk, spot, letter(k), *antenna))
        .collect();
    let stand = stand(desk, spot);
    match hung.last_mut() {
        Some(last) => last.lines.extend(stand),
        None => hung.push(Hung {
            letter: 'A',
            name: "no antenna of the kit serves these channels".to_owned(),
            built: None,
            lines: stand.into_iter().collect(),
        }),
    }
    Panel {
        heading: Some("HANG IT"),
        wide: false,
        body: Body::Hang(hung),
    }
}

/// The antenna as it hangs at a site.
pub(super) fn hung_at<'a>(source: &Source<'a>, (site, antenna): (usize, usize)) -> Option<&'a Antenna> {
    let place = source.outing.sites.get(site)?;
    let plain = source.outing.kit.antennas.get(antenna)?;
    Some(place.antennas.iter().find(|own| own.id == plain.id).unwrap_or(plain))
}

/// Frequencies in MHz on which the card uses an antenna at a place, each once, lowest first.
pub(super) fn freqs_mhz(desk: &Desk<'_>, spot: &Spot, antenna: usize) -> Vec<f64> {
    let outing = desk.source.outing;
    let of_rows = spot.table.rows().flat_map(|r| &r.calls).map(|c| c.route);
    let of_sends = desk.source.plan.sends.iter().map(|s| s.route);
    let used = of_rows
        .chain(of_sends)
        .filter(|r| (r.site, r.antenna) == (spot.site, antenna));
    let channel = |r: farhop_days::Route| Some(outing.stations.get(r.station)?.channels.get(r.channel)?.freq_mhz);
    let mut freqs: Vec<f64> = used.filter_map(channel).collect();
    freqs.sort_by(f64::total_cmp);
    freqs.dedup();
    freqs
}

fn one(desk: &Desk<'_>, spot: &Spot, of: char, index: usize) -> Option<Hung> {
    let source = desk.source;
    let antenna = hung_at(source, (spot.site, index))?;
    let site = source.outing.sites.get(spot.site)?;
    let freqs = freqs_mhz(desk, spot, index);
    let facts = hang::Facts {
        antenna,
        ground: site.ground.constants(),
        kit: &source.outing.kit,
        azimuth_true_deg: axis_bearing_deg(antenna),
        declination_deg: declination_deg(&source.plan.setting.field, site),
        units: source.reader.units,
    };
    let mut lines: Vec<Line> = hang::sentences(&facts, &freqs)
        .into_iter()
        .map(|s| Line::new("", s))
        .collect();
    let keep = source
        .keep_away
        .iter()
        .filter(|k| (k.site, k.antenna) == (spot.site, index));
    lines.extend(keep.map(|k| Line::new("Keep away.", k.words.clone())));
    lines.extend(tuner::burns(source, (spot.site, index), &freqs).map(|words| Line::new("Do not touch.", words)));
    Some(Hung {
        letter: of,
        name: antenna.name.clone(),
        built: freqs
            .first()
            .and_then(|f| built_at(antenna, site.ground.constants(), *f).ok()),
        lines,
    })
}

/// Where one stands: as other devices show it.
fn stand(desk: &Desk<'_>, spot: &Spot) -> Option<Line> {
    let site = desk.source.outing.sites.get(spot.site)?;
    Some(Line::new(
        "You are at",
        format!(
            "{:.4}, {:.4} ({}), {} high.",
            site.place.lat_deg(),
            site.place.lon_deg(),
            locator::format(site.place, 3),
            desk.source.reader.units.whole_length(site.elevation_m)
        ),
    ))
}
