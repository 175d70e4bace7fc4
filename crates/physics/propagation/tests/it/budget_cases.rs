//! Builds the circuits of `validation/propagation/budget_cases.csv`, and lists what the script that works them by other means
//! takes as given: the layers above the control points and the rays through them, which other tests judge.

use std::collections::BTreeMap;

use farhop_earth::{IgrfEpoch, Place, UtcTime};
use farhop_ionosphere::conditions::Observation;
use farhop_ionosphere::{Activity, Ionosphere, SkyConditions};
use farhop_propagation::corrected::DipoleFrame;
use farhop_propagation::events::Events;
use farhop_propagation::f2_layer::LowRay;
use farhop_propagation::fade_out::Flare;
use farhop_propagation::muf::{LONGEST_E_HOP_KM, e_muf_factor};
use farhop_propagation::noise::{NoiseClass, NoiseTerm, man_made};
use farhop_propagation::polar_cap::{PolarCap, ProtonLevel};
use farhop_propagation::sky_path::{CircuitSky, ControlPoint};
use farhop_propagation::{Circuit, Horizon, LinkEnd, LinkSetup, Signal, SkyPath};
use farhop_vectors::Row;

use crate::common::read;

/// Hops for which rays are given: as many as any mode may have.
const HOPS: std::ops::RangeInclusive<u8> = 1..=6;

/// One row of the cases, ready to be asked.
pub struct Case {
    /// The row.
    pub row: Row,
    /// The path at the time of the case.
    pub path: SkyPath,
}

/// All cases.
pub fn cases() -> Vec<Case> {
    read("budget_cases.csv").into_iter().map(Case::new).collect()
}

impl Case {
    fn new(row: Row) -> Self {
        let place = |end: &str| {
            Place::new(
                row.value(format!("{end}_lat_deg").as_str()),
                row.value(format!("{end}_lon_deg").as_str()),
            )
            .unwrap()
        };
        let (from, to) = (place("from"), place("to"));
        let time = UtcTime::parse(&row["time_ut"]).unwrap();
        let circuit = Circuit::new(from, to);
        // Where K is given, a critical frequency taken as exact in the middle keeps the rays where they are when the response to
        // storms changes.
        let middle = circuit.arc.midpoint();
        let conditions = SkyConditions {
            k_index: row.number("k_index"),
            fixed: row
                .number("fixed_fof2_mhz")
                .map(|mhz| Observation::new(middle, time, mhz).unwrap()),
            fof2_factor: row.value("fof2_factor"),
            foes_factor: row.value("foes_factor"),
            absorption_factor: row.value("absorption_factor"),
            ..SkyConditions::quiet(Activity::from_ssn(row.value("r12")).unwrap())
        };
        let field = IgrfEpoch::at(time.decimal_year()).unwrap();
        let sky = Ionosphere::embedded().sky(&field, &conditions);
        let path = CircuitSky::new(&sky, &circuit, time)
            .with_events(events(&row, time))
            .at(time);
        Self { row, path }
    }

    /// Name of the case.
    pub fn name(&self) -> &str {
        &self.row["case"]
    }

    /// Frequency, MHz.
    pub fn freq_mhz(&self) -> f64 {
        self.row.value("freq_mhz")
    }

    fn of_end(&self, end: &str, what: &str) -> f64 {
        self.row.value(format!("{end}_{what}").as_str())
    }

    fn gain_dbi(&self, end: &str, elevation_deg: f64, azimuth_deg: f64) -> f64 {
        let turned_rad = (azimuth_deg - self.of_end(end, "azimuth_deg")).to_radians();
        self.of_end(end, "gain_dbi")
            + self.of_end(end, "swing_db") * turned_rad.cos()
            + self.of_end(end, "lift_db") * elevation_deg.to_radians().sin()
    }

    /// The signal of the case, from `from` to `to`.
    pub fn signal(&self) -> Signal {
        let horizon = |end: &str| Horizon {
            elevation_deg: self.of_end(end, "horizon_deg"),
            distance_km: self.of_end(end, "horizon_km"),
        };
        let from_gain = |elevation_deg: f64, azimuth_deg: f64| self.gain_dbi("from", elevation_deg, azimuth_deg);
        let to_gain = |elevation_deg: f64, azimuth_deg: f64| self.gain_dbi("to", elevation_deg, azimuth_deg);
        let setup = LinkSetup {
            power_dbw: self.row.value("power_dbw"),
            from: LinkEnd {
                gain_dbi: &from_gain,
                horizon: horizon("from"),
            },
            to: LinkEnd {
                gain_dbi: &to_gain,
                horizon: horizon("to"),
            },
            ground_wave_loss_db: self.row.number("ground_wave_loss_db"),
        };
        Signal::new(&self.path, &self.path.modes(self.freq_mhz()), &setup)
    }

    /// Man-made noise of the case.
    pub fn noise(&self) -> NoiseTerm {
        let class = match &self.row["noise_class"] {
            "city" => NoiseClass::City,
            "residential" => NoiseClass::Residential,
            "rural" => NoiseClass::Rural,
            "quiet rural" => NoiseClass::QuietRural,
            other => panic!("unknown class {other}"),
        };
        man_made(class, self.freq_mhz())
    }

    /// What is taken as given, by name.
    pub fn inputs(&self) -> BTreeMap<String, f64> {
        let mut inputs = BTreeMap::new();
        let arc_km = self.path.circuit().arc_km();
        inputs.insert("longest_hop_km".to_owned(), self.path.middle().f2.longest_hop_km());
        // What protons meet at the places where the D region is looked at.
        let field = IgrfEpoch::at(self.path.time().decimal_year()).unwrap();
        let frame = DipoleFrame::of(&field);
        for sample in 0..7_u8 {
            let place = self.path.circuit().arc.point_at_km(arc_km / 6.0 * f64::from(sample));
            let corrected = frame.corrected(&field, place);
            inputs.insert(format!("sample {sample} corrected_lat_deg"), corrected.lat_deg);
        }
        for (name, point) in ["middle", "near", "far"].iter().zip(self.path.points()) {
            let mut put = |what: &str, value: f64| inputs.insert(format!("{name} {what}"), value);
            layers_of(point, &mut put);
            put("corrected_lat_deg", point.corrected_lat_deg);
            put("magnetic_local_time_h", point.magnetic_local_time_h);
            for hops in HOPS {
                let hop_km = arc_km / f64::from(hops);
                let ordinary_mhz = point.f2.muf_ordinary_mhz(hop_km);
                put(&format!("{hops} muf_o_mhz"), ordinary_mhz);
                // The extraordinary wave above the ordinary MUF takes the ray of a frequency lower by the ratio of the MUFs.
                let lower_mhz = self.freq_mhz() * ordinary_mhz / (ordinary_mhz + point.gyro_term_mhz(hop_km));
                for (wave, ray) in [
                    ("o", point.f2.low_ray(self.freq_mhz(), hop_km)),
                    ("x", point.f2.low_ray(lower_mhz, hop_km)),
                ] {
                    if let Some(low) = ray {
                        ray_of(&low, &mut |what, value| {
                            put(&format!("{hops} {wave} {what}"), value);
                        });
                    }
                }
            }
        }
        for hops in 1..=3_u8 {
            let hop_km = arc_km / f64::from(hops);
            if hop_km <= LONGEST_E_HOP_KM {
                inputs.insert(format!("{hops} e_muf_factor"), e_muf_factor(hop_km));
            }
        }
        inputs
    }
}

/// A flare just at its peak, and protons.
fn events(row: &Row, time: UtcTime) -> Events {
    let flare = |peak_flux_w_per_m2| Flare {
        peak_flux_w_per_m2,
        from: time.add_s(-300),
        until: None,
    };
    let polar_cap = |above_10_mev_per_cm2_s_sr| PolarCap {
        level: ProtonLevel::Flux {
            above_10_mev_per_cm2_s_sr,
        },
        from: time.add_s(-3_600),
        until: None,
    };
    Events {
        flares: row.number("flare_w_per_m2").map(flare).into_iter().collect(),
        polar_cap: row.number("protons_per_cm2_s_sr").map(polar_cap).into_iter().collect(),
    }
}

fn layers_of(point: &ControlPoint, put: &mut impl FnMut(&str, f64) -> Option<f64>) {
    let layers = &point.layers;
    for (what, value) in [
        ("dmax_km", point.dmax_km),
        ("fof2_mhz", layers.fof2_mhz),
        ("foe_mhz", layers.foe_mhz),
        ("fof2_lower", layers.fof2_lower_decile_factor),
        ("fof2_upper", layers.fof2_upper_decile_factor),
        ("foes_lower_mhz", layers.foes_lower_decile_mhz),
        ("foes_median_mhz", layers.foes_median_mhz),
        ("foes_upper_mhz", layers.foes_upper_decile_mhz),
        ("gyro_100km_mhz", layers.gyro_100km_mhz),
        ("gyro_300km_mhz", layers.gyro_300km_mhz),
        ("dip_deg", layers.dip_deg),
        ("geomagnetic_lat_deg", layers.geomagnetic_lat_deg),
    ] {
        put(what, value);
    }
}

fn ray_of(low: &LowRay, put: &mut impl FnMut(&str, f64)) {
    put("above", if low.above_muf { 1.0 } else { 0.0 });
    put("elevation_deg", low.ray.elevation_rad.to_degrees());
    put("group_km", low.ray.group_path_km);
    put("upper_db", low.ray.upper_loss_db);
}
