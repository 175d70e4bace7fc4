//! Which antennas on which bands at which sites are looked at.

use farhop_outing::{Antenna, Outing, Site, same_band};

use crate::analysis::Analysis;
use crate::safety::duty::key_share;

/// An antenna at a site on a band.
#[derive(Clone, Debug)]
pub struct SafetyCase<'a> {
    /// Index of the site.
    pub site_index: usize,
    /// The site.
    pub site: &'a Site,
    /// The antenna as it hangs there.
    pub antenna: &'a Antenna,
    /// First channel of the band, MHz: it stands for all of them.
    pub freq_mhz: f64,
    /// All channels of the band, MHz, rising.
    pub channels_mhz: Vec<f64>,
    /// The largest share of the time with the key down among those channels (dimensionless).
    pub key_share: f64,
}

/// Every antenna at every site on every band that it serves; perhaps only one site, only one antenna (by id).
#[must_use]
pub fn safety_cases<'a>(outing: &'a Outing, site_id: Option<&str>, antenna_id: Option<&str>) -> Vec<SafetyCase<'a>> {
    let wanted = |asked: Option<&str>, id: &str| asked.is_none_or(|a| a == id);
    let mut cases = Vec::new();
    for (site_index, site) in outing.sites.iter().enumerate() {
        if !wanted(site_id, site.id.as_str()) {
            continue;
        }
        for antenna in outing.antennas_at(site).filter(|a| wanted(antenna_id, a.id.as_str())) {
            cases.extend(bands(outing, antenna).into_iter().map(|band| SafetyCase {
                site_index,
                site,
                antenna,
                freq_mhz: band.freq_mhz,
                channels_mhz: band.channels_mhz,
                key_share: band.key_share,
            }));
        }
    }
    cases
}

/// The cases that the sends of a schedule and the orders to try use.
#[must_use]
pub fn cases_of_plan<'a>(outing: &'a Outing, analysis: &Analysis) -> Vec<SafetyCase<'a>> {
    let routes: Vec<_> = analysis.routes().collect();
    let used = |case: &SafetyCase<'_>| {
        routes.iter().any(|r| {
            let station = outing.stations.get(r.station);
            let channel = station.and_then(|s| s.channels.get(r.channel));
            let antenna = outing.kit.antennas.get(r.antenna);
            r.site == case.site_index
                && antenna.is_some_and(|a| a.id == case.antenna.id)
                && channel.is_some_and(|c| case.channels_mhz.contains(&c.freq_mhz))
        })
    };
    safety_cases(outing, None, None).into_iter().filter(used).collect()
}

struct Band {
    freq_mhz: f64,
    channels_mhz: Vec<f64>,
    key_share: f64,
}

fn bands(outing: &Outing, antenna: &Antenna) -> Vec<Band> {
    let all = outing
        .stations
        .iter()
        .flat_map(|s| s.channels.iter().map(move |c| (s, c)));
    let mut served: Vec<_> = all.filter(|(_, c)| antenna.serves(c.freq_mhz)).collect();
    served.sort_by(|a, b| a.1.freq_mhz.total_cmp(&b.1.freq_mhz));
    let mut bands: Vec<Band> = Vec::new();
    for (station, channel) in served {
        let (freq_mhz, share) = (channel.freq_mhz, key_share(outing, station, channel));
        match bands.last_mut() {
            Some(band) if same_band(freq_mhz, band.freq_mhz) => {
                band.key_share = band.key_share.max(share);
                if band.channels_mhz.last() != Some(&freq_mhz) {
                    band.channels_mhz.push(freq_mhz);
                }
            }
            _ => bands.push(Band {
                freq_mhz,
                channels_mhz: vec![freq_mhz],
                key_share: share,
            }),
        }
    }
    bands
}
