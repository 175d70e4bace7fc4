//! The working of one hour: the rays, the losses, and how signal over noise spreads.

use farhop_ionosphere::Ionosphere;
use farhop_outing::{Site, Station};
use farhop_plan::delivery::usual_ladder;
use farhop_plan::requirement::required_snr_db;
use farhop_plan::strip::{self, CarrierLayer, Strip};
use farhop_propagation::{Circuit, Layer, Mode, SkyPath};
use farhop_show::ladder::{LadderPicture, SpreadPicture, Step, ladder, spread};
use farhop_show::section::{Ray, SectionPicture, section};
use farhop_show::words;
use maud::{Markup, html};

use super::chosen::{Cell, Chosen};
use crate::desk::Ready;
use crate::pages::words::moment;
use crate::shell::{parts, picture};

/// Thermal noise at 290 K in one hertz, dBm: 10 log10(k T0 / 1 mW).
const KT0_DBM: f64 = -174.0;

/// Everything about the hour that is opened.
struct Opened<'a> {
    ready: &'a Ready,
    site: &'a Site,
    station: &'a Station,
    freq_mhz: f64,
    bandwidth_hz: f64,
    strip: &'a Strip,
    cell: &'a strip::Cell,
    path: SkyPath,
    modes: Vec<Mode>,
    needed_db: Option<f64>,
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
    let setting = &ready.plan.setting;
    let circuit = Circuit::new(site.place, station.place).with_ground(site.ground, station.ground);
    let lat_deg = setting.field.geomagnetic_lat_deg(circuit.arc.midpoint());
    let sky = Ionosphere::embedded().sky(&setting.field, &setting.conditions);
    let path = SkyPath::new(&sky, &circuit, found.at);
    let needed = usual_ladder(outing, channel, circuit.distance_km, lat_deg)
        .and_then(|ladder| required_snr_db(&ladder, channel.bandwidth_hz));
    Some(Opened {
        ready,
        site,
        station,
        freq_mhz: channel.freq_mhz,
        bandwidth_hz: channel.bandwidth_hz,
        strip,
        cell: found,
        modes: path.modes(channel.freq_mhz),
        path,
        needed_db: needed.ok(),
    })
}

fn shown(o: &Opened<'_>) -> Markup {
    let route = o.ready.viewer().route(&o.strip.route);
    html! {
        section #working {
            h2 { (moment(o.cell.at, &o.ready.zone)) ", " (o.freq_mhz) " MHz, " (o.site.name) " to " (o.station.name) }
            p.line { span { (route.antenna_name) ", bearing " (format!("{:.0}° true, {:.0}° magnetic", route.bearing_true_deg, route.bearing_magnetic_deg)) }
                " " (parts::chance(o.cell.chance())) ", a link holds with " (o.cell.link_chance.percent()) " %" }
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

fn layer_name(layer: Layer) -> &'static str {
    match layer {
        Layer::E => "E layer",
        Layer::SporadicE => "sporadic E",
        Layer::F2 => "F2 layer",
    }
}

/// One ray a layer and number of hops: both magneto-ionic waves share it on paper.
fn section_of(o: &Opened<'_>) -> String {
    let horizon_db = o.cell.carrier.as_ref().map_or(0.0, |c| c.horizon_db);
    let best_db = o.modes.first().map_or(0.0, |m| m.losses.total_db());
    let mut rays: Vec<Ray> = Vec::new();
    for mode in &o.modes {
        let hops = if mode.hops == 1 { "hop" } else { "hops" };
        let name = format!("{}, {} {hops}", layer_name(mode.layer), mode.hops);
        if rays.iter().any(|r| r.name == name) {
            continue;
        }
        rays.push(Ray {
            name,
            hops: mode.hops,
            elevation_deg: mode.elevation_deg,
            mirror_height_km: mode.mirror_height_km,
            absorption_db: mode.losses.absorption_db,
            below_strongest_db: mode.losses.total_db() - best_db,
        });
    }
    if o.cell.carrier.as_ref().is_some_and(|c| c.layer == CarrierLayer::Ground) {
        rays.insert(
            0,
            Ray {
                name: "ground wave".to_owned(),
                hops: 0,
                elevation_deg: 0.0,
                mirror_height_km: 0.0,
                absorption_db: 0.0,
                below_strongest_db: 0.0,
            },
        );
    }
    let layers = o.path.midpoint_layers();
    let circuit = o.path.circuit();
    let skyline_deg = o.site.horizon.elevation_deg(circuit.bearing_deg);
    section(&SectionPicture {
        from: &o.site.name,
        to: &o.station.name,
        distance_km: circuit.distance_km,
        f2_height_km: layers.hmf2_km,
        sun_zenith_deg: layers.sun_zenith_deg,
        skyline_deg: if horizon_db > 0.05 || skyline_deg > 0.5 {
            skyline_deg
        } else {
            0.0
        },
        rays: &rays,
        imperial: o.ready.imperial,
    })
}

fn spread_of(o: &Opened<'_>) -> String {
    let way = |d: &strip::Direction| [d.snr_p10_db, d.snr_p50_db, d.snr_p90_db];
    spread(&SpreadPicture {
        ways: [
            (format!("At {}", o.station.name), way(&o.cell.forward)),
            (format!("At {}", o.site.name), way(&o.cell.reverse)),
        ],
        needed_db: o.needed_db,
    })
}

/// The mode that the plan calls the strongest.
fn strongest<'a>(o: &'a Opened<'_>) -> Option<&'a Mode> {
    let carrier = o.cell.carrier.as_ref()?;
    let wanted_db = carrier.loss_db - carrier.horizon_db;
    o.modes.iter().min_by(|a, b| {
        let off = |m: &Mode| (m.losses.total_db() - wanted_db).abs();
        off(a).total_cmp(&off(b))
    })
}

fn ladder_of(o: &Opened<'_>) -> Option<String> {
    let carrier = o.cell.carrier.as_ref()?;
    let feed_db = 10.0 * o.strip.antenna.feed_share.max(1e-12).log10();
    let power_dbm = |power_w: f64| 10.0 * (power_w.max(1e-9) * 1_000.0).log10();
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
        let losses = &strongest(o)?.losses;
        let terms = [
            ("Spreading", losses.spreading_db),
            ("Absorption", losses.absorption_db),
            ("Above the MUF", losses.above_muf_db),
            ("Ground between hops", losses.ground_reflection_db),
            ("Aurora", losses.auroral_db),
            ("Polarisation", losses.polarisation_db),
            ("Passing E, sporadic E", losses.screening_db),
            ("Not counted else", losses.residual_db),
            ("Skyline", carrier.horizon_db),
        ];
        steps.extend(
            terms
                .into_iter()
                .filter(|(_, db)| *db > 0.05)
                .map(|(name, db)| both(name, -db)),
        );
        steps.push(both("Station's antenna", carrier.station_gain_dbi));
    }
    let noise = |d: &strip::Direction| d.noise_fa_db + KT0_DBM + 10.0 * o.bandwidth_hz.log10();
    // What the site's antenna loses of a signal it loses of the noise too.
    let received_db = 10.0 * o.strip.antenna.efficiency.clamp(1e-9, 1.0).log10();
    Some(ladder(&LadderPicture {
        site: &o.site.name,
        station: &o.station.name,
        power_dbm: [
            power_dbm(o.ready.outing.kit.transceiver.power_w),
            power_dbm(o.station.power_w),
        ],
        steps: &steps,
        noise_dbm: [noise(&o.cell.forward), noise(&o.cell.reverse) + received_db],
        snr_db: [o.cell.forward.snr_p50_db, o.cell.reverse.snr_p50_db],
        needed_db: o.needed_db,
    }))
}
