//! Prints the modes of a path of 1 100 km on the equator by day, with every loss: what the E layer does to them.

use farhop_earth::{IgrfEpoch, Place, UtcTime, destination};
use farhop_ionosphere::{Activity, Ionosphere, SkyConditions};
use farhop_propagation::{Circuit, SkyPath};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let field = IgrfEpoch::at(2026.0)?;
    let conditions = SkyConditions::quiet(Activity::from_ssn(80.0)?);
    let sky = Ionosphere::embedded().sky(&field, &conditions);
    let from = Place::new(0.0, 35.0)?;
    let time = UtcTime::from_civil(2026, 3, 15, 10, 30, 0)?;
    for bearing_deg in [0.0, 90.0] {
        let path = SkyPath::new(&sky, &Circuit::new(from, destination(from, bearing_deg, 1_100.0)), time);
        let layers = path.midpoint_layers();
        println!(
            "bearing {bearing_deg}: foE {:.2} foF2 {:.2} zenith {:.0} dip {:.0}, index {:.2}, E MUF {:.1}, F MUF {:.1}",
            layers.foe_mhz,
            layers.fof2_mhz,
            layers.sun_zenith_deg,
            layers.dip_deg,
            path.d_index_at(550.0),
            path.muf_e_mhz(),
            path.muf_f2_mhz()
        );
        for freq_mhz in [5.36, 7.1, 10.12, 14.1] {
            for m in path.modes(freq_mhz).iter().take(8) {
                let l = &m.losses;
                println!(
                    "{freq_mhz:6.2} {} {:?}: {:.1} deg, absorption {:.1} ({:.1} above), screening {:.1}, over the MUF {:.1}, in all {:.1} dB",
                    m.name(),
                    m.component,
                    m.elevation_deg,
                    l.absorption_db,
                    l.absorption_db - m.lower_absorption_db,
                    l.screening_db,
                    l.above_muf_db,
                    l.total_db()
                );
            }
        }
    }
    Ok(())
}
