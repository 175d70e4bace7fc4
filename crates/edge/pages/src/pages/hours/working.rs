//! The working of one hour: the rays, the losses, and how signal over noise spreads.

use farhop_num::maths;
use farhop_outing::{Site, Station};
use farhop_plan::strip::{self, Carrier, CarrierLayer, Strip};
use farhop_show::ladder::{LadderPicture, SpreadPicture, Step, ladder, spread};
use farhop_show::section::{Ray, SectionPicture, section};
use farhop_show::words;
use maud::{Markup, html};

use super::chosen::{Cell, Chosen};
use crate::desk::Ready;
use crate::shell::{parts, picture};

/// Everything about the hour that is opened.
struct Opened<'a> {
    ready: &'a Ready,
    site: &'a Site,
    station: &'a Station,
    freq_mhz: f64,
    strip: &'a Strip,
    cell: &'a strip::Cell,
}

/// The working; what does not exist says so.
pub fn working(ready: &Ready, chosen: &Chosen, cell: Cell) -> Markup {
    match open(ready, chosen, cell) {
        Some(opened) => shown(&opened),
        None => {
            html! { section #working { h2 { "That hour is not in the plan" } p { "Choose another in the table." } } }
        }
    }
}

fn open<'a>(ready: &'a Ready, chosen: &Chosen, cell: Cell) -> Option<Opened<'a>> {
    let outing = &ready.outing;
    let wanted = strip::Route {
        site: chosen.site,
        station: cell.station,
        channel: cell.channel,
        antenna: cell.antenna,
    };
    let strip = ready.plan.strips.iter().find(|s| s.route == wanted)?;
    let found = strip.cells.get(cell.index)?;
    let (site, station) = (outing.sites.get(wanted.site)?, outing.stations.get(wanted.station)?);
    let channel = station.channels.get(wanted.channel)?;
    Some(Opened {
        ready,
        site,
        station,
        freq_mhz: channel.freq_mhz,
        strip,
        cell: found,
    })
}

fn shown(o: &Opened<'_>) -> Markup {
    let route = o.ready.viewer().route(&o.strip.route);
    html! {
        section #working {
            h2 { (o.ready.reader.instant(o.cell.at)) ", " (o.freq_mhz) " MHz, " (o.site.name) " to " (o.station.name) }
            p.line { span { (route.antenna_name) ", bearing " (format!("{:.0}° true, {:.0}° magnetic", route.bearing_true_deg, route.bearing_magnetic_deg)) }
                " " (parts::chance(o.cell.chance())) ", a link holds with " (o.cell.link_chance.percent()) " %" }
            p { "The frequency comes back " (words::support(&o.cell.support)) "." }
            p { "Limit: " (words::limit(&o.cell.limit)) "." }
            div.two {
                div {
                    h3 { "How it gets there" }
                    (picture(section_of(o), "Heights and distances to scale along each axis; angles as written. A ray thins where the sunlit D region takes power."))
                    h3 { "How it varies" }
                    (picture(spread_of(o), "Days of the month, with what the method itself gets wrong."))
                }
                div {
                    h3 { "What is lost on the way" }
                    @if let Some(svg) = ladder_of(o) {
                        (picture(svg, "The strongest mode on the median day; signal over noise counts all modes. The path costs the same both ways. Losses after Rec. ITU-R P.533 and P.525, noise after P.372; see the method pages."))
                    } @else { p { "Nothing arrives, so there is nothing to add up." } }
                }
            }
        }
    }
}

fn section_of(o: &Opened<'_>) -> String {
    let best_dbw = o.cell.carrier().map_or(0.0, |c| c.power_dbw);
    let ray = |c: &Carrier| Ray {
        name: words::carrier(c),
        hops: c.hops,
        elevation_deg: c.elevation_deg,
        mirror_height_km: c.mirror_height_km,
        absorption_db: c.losses.absorption_db,
        below_strongest_db: best_dbw - c.power_dbw,
    };
    let rays: Vec<Ray> = o.cell.rays.iter().map(ray).collect();
    let route = o.ready.viewer().route(&o.strip.route);
    let skyline_deg = o.site.horizon.elevation_deg(route.bearing_true_deg);
    section(&SectionPicture {
        from: &o.site.name,
        to: &o.station.name,
        distance_km: route.distance_km,
        f2_height_km: o.cell.f2_height_km,
        sun_zenith_deg: o.cell.sun_zenith_deg,
        skyline_deg: if skyline_deg > 0.5 { skyline_deg } else { 0.0 },
        rays: &rays,
        units: o.ready.reader.units,
    })
}

fn spread_of(o: &Opened<'_>) -> String {
    let way = |d: &strip::Direction| [d.snr_p10_db, d.snr_p50_db, d.snr_p90_db];
    spread(&SpreadPicture {
        ways: [
            (format!("At {}", o.station.name), way(&o.cell.forward)),
            (format!("At {}", o.site.name), way(&o.cell.reverse)),
        ],
        needed_db: Some(o.strip.required_snr_db),
    })
}

fn ladder_of(o: &Opened<'_>) -> Option<String> {
    let carrier = o.cell.carrier()?;
    let feed_db = 10.0 * maths::log10(o.strip.antenna.feed_share.max(1e-12));
    let power_dbm = |power_w: f64| 10.0 * maths::log10(power_w.max(1e-9) * 1_000.0);
    let both = |name: &str, db: f64| Step {
        name: name.to_owned(),
        there_db: db,
        back_db: db,
    };
    let mut steps = vec![Step {
        name: "Feed".to_owned(),
        there_db: feed_db,
        back_db: 0.0,
    }];
    if carrier.layer == CarrierLayer::Ground {
        steps.push(both("Ground wave", -carrier.loss_db));
    } else {
        steps.push(both("Site's antenna", carrier.site_gain_dbi));
        let losses = &carrier.losses;
        let terms = [
            ("Spreading", losses.spreading_db),
            ("Absorption", losses.absorption_db),
            ("Above the MUF", losses.above_muf_db),
            ("Ground between hops", losses.ground_reflection_db),
            ("Aurora", losses.auroral_db),
            ("Solar flare", losses.fade_out_db),
            ("Protons over the polar cap", losses.polar_cap_db),
            ("Polarisation", losses.polarisation_db),
            ("Passing E, sporadic E", losses.screening_db),
            ("Not counted else", losses.residual_db),
            ("Skyline", losses.horizon_db),
        ];
        steps.extend(
            terms
                .into_iter()
                .filter(|(_, db)| *db > 0.05)
                .map(|(name, db)| both(name, -db)),
        );
        steps.push(both("Station's antenna", carrier.station_gain_dbi));
    }
    Some(ladder(&LadderPicture {
        site: &o.site.name,
        station: &o.station.name,
        power_dbm: [
            power_dbm(o.ready.outing.kit.transceiver.power_w),
            power_dbm(o.station.power_w),
        ],
        steps: &steps,
        noise_dbm: [o.cell.forward.noise_dbm, o.cell.reverse.noise_dbm],
        snr_db: [o.cell.forward.snr_p50_db, o.cell.reverse.snr_p50_db],
        needed_db: Some(o.strip.required_snr_db),
    }))
}
