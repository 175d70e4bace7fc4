//! Checks of antennas.

use super::{Check, references};
use crate::antenna::Antenna;
use crate::kit::Kit;
use crate::limits;

pub(super) fn one(c: &mut Check, antenna: &Antenna, kit: &Kit) {
    c.number("wire_diameter_mm", antenna.wire.diameter_mm, limits::CONDUCTOR_MM);
    c.maybe("azimuth_deg", antenna.azimuth_deg, limits::BEARING_DEG);
    for (i, &mhz) in antenna.usable_mhz.iter().enumerate() {
        c.number(&format!("mhz[{i}]"), mhz, limits::FREQ_MHZ);
    }
    if let Some(transformer) = antenna.transformer {
        c.number("transformer.ratio", transformer.ratio, limits::RATIO);
        c.number("transformer.loss_db", transformer.loss_db, limits::LOSS_DB);
    }
    c.number("setup_min", antenna.setup_min, limits::TASK_MIN);
    let lines = kit.feedlines.iter().map(|l| l.id.as_str());
    references::known_one(c, "feedline", antenna.feedline.as_ref(), lines, "feed line");
    antenna.kind.check(&mut |key, cause, hint| c.error(key, cause, hint));
}
