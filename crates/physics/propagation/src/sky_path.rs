//! One circuit at one time: everything that does not depend on the frequency.

use crate::absorption::DRegion;
use crate::aurora::auroral_loss_db;
use crate::circuit::Circuit;
use crate::corrected::{Corrected, DipoleFrame};
use crate::events::{Events, UnitLoss};
use crate::f2_layer::F2Layer;
use crate::muf::{LONGEST_E_HOP_KM, Season, e_muf_factor, f2_muf_p533, gyro_term_mhz, operational_factor};
use crate::profile::ProfileInput;
use farhop_earth::{IgrfEpoch, Place, SunOfInstant, UtcTime};
use farhop_ionosphere::{Layers, Sky, SkyAbove};
use farhop_num::maths;
use farhop_num::{DECILE_Z, normal_cdf};

/// Circuit length in km up to which one control point in the middle stands for the whole path (Rec. ITU-R P.533 takes
/// the E layer so up to 2 000 km).
const ONE_CONTROL_POINT_KM: f64 = 2_000.0;
/// Number of places along the path at which the D region is looked at.
const D_SAMPLES: usize = 7;

/// The ionosphere above one control point.
#[derive(Clone, Debug)]
pub struct ControlPoint {
    /// Distance from the start, km.
    pub along_km: f64,
    /// The layers.
    pub layers: Layers,
    /// The F2 layer as ray theory sees it.
    pub f2: F2Layer,
    /// Longest F2 hop after Rec. ITU-R P.533, km: where the gyro term has faded.
    pub dmax_km: f64,
    /// Corrected geomagnetic latitude 110 km up, degrees.
    pub corrected_lat_deg: f64,
    /// Magnetic local time, hours.
    pub magnetic_local_time_h: f64,
}

impl ControlPoint {
    fn new(along_km: f64, layers: Layers, magnetic: Option<(&Magnetic, Corrected)>) -> Self {
        let f2 = F2Layer::new(&ProfileInput {
            fof2_mhz: layers.fof2_mhz,
            m3000f2: layers.m3000f2,
            foe_mhz: layers.foe_mhz,
            hmf2_km: layers.hmf2_km,
            sun_zenith_deg: layers.sun_zenith_deg,
        });
        let dmax_km = f2_muf_p533(0.0, layers.fof2_mhz, layers.m3000f2, layers.foe_mhz).dmax_km;
        let (corrected_lat_deg, magnetic_local_time_h) = match magnetic {
            Some((magnetic, corrected)) => {
                let sun_lon_deg = layers.place.lon_deg() - 15.0 * layers.hours_after_noon;
                let sun_lat_deg = layers.sun_declination_deg;
                let time_h = magnetic
                    .frame
                    .magnetic_local_time_h(&corrected, sun_lat_deg, sun_lon_deg);
                (corrected.lat_deg, time_h)
            }
            None => (layers.geomagnetic_lat_deg, 12.0 + layers.hours_after_noon),
        };
        Self {
            along_km,
            layers,
            f2,
            dmax_km,
            corrected_lat_deg,
            magnetic_local_time_h,
        }
    }

    /// How much the extraordinary MUF of a hop lies above the ordinary one here, MHz.
    #[must_use]
    pub fn gyro_term_mhz(&self, hop_km: f64) -> f64 {
        gyro_term_mhz(self.layers.fof2_mhz, self.layers.gyro_300km_mhz, hop_km, self.dmax_km)
    }
}

/// The magnetic field of a date and the frame of its dipole.
#[derive(Clone, Debug)]
struct Magnetic {
    field: IgrfEpoch,
    frame: DipoleFrame,
}

impl Magnetic {
    /// The field at a date, beyond the years of the model at their end; `None` only if there were no such end.
    fn near(time: UtcTime) -> Option<Self> {
        let field = IgrfEpoch::at(time.decimal_year().clamp(1900.0, 2030.0)).ok()?;
        let frame = DipoleFrame::of(&field);
        Some(Self { field, frame })
    }

    fn corrected(&self, place: Place) -> Corrected {
        self.frame.corrected(&self.field, place)
    }
}

/// The sky above a control point, where it is along the path, and its corrected geomagnetic place.
#[derive(Clone, Debug)]
struct Readied<'a> {
    along_km: f64,
    above: SkyAbove<'a>,
    corrected: Option<Corrected>,
}

/// A circuit with the sky above its control points made ready for many hours.
#[derive(Clone, Debug)]
pub struct CircuitSky<'a> {
    circuit: Circuit,
    magnetic: Option<Magnetic>,
    middle: Readied<'a>,
    outer: Vec<Readied<'a>>,
    samples: [Place; D_SAMPLES],
    events: Events,
    samples_corrected_deg: [f64; D_SAMPLES],
}

impl<'a> CircuitSky<'a> {
    /// Readies the control points; `around` is a date near the hours that will be asked for.
    #[must_use]
    pub fn new(sky: &'a Sky<'a>, circuit: &Circuit, around: UtcTime) -> Self {
        let arc_km = circuit.arc_km();
        let magnetic = Magnetic::near(around);
        let ready = |along_km: f64| {
            let place = circuit.arc.point_at_km(along_km);
            Readied {
                along_km,
                above: sky.above(place, around),
                corrected: magnetic.as_ref().map(|m| m.corrected(place)),
            }
        };
        let outer = if arc_km > ONE_CONTROL_POINT_KM {
            // The outermost hops: T + d0/2 and R - d0/2 of P.533, at a quarter of the path and at most 1 000 km in.
            let outer_km = (arc_km / 4.0).min(1_000.0);
            vec![ready(outer_km), ready(arc_km - outer_km)]
        } else {
            Vec::new()
        };
        let step_km = arc_km / (D_SAMPLES - 1) as f64;
        let samples = std::array::from_fn(|i| circuit.arc.point_at_km(step_km * i as f64));
        Self {
            circuit: *circuit,
            middle: ready(arc_km / 2.0),
            magnetic,
            outer,
            samples,
            events: Events::default(),
            samples_corrected_deg: [0.0; D_SAMPLES],
        }
    }

    /// The same with events on the sun that are known; without this call there are none.
    #[must_use]
    pub fn with_events(self, events: Events) -> Self {
        let samples_corrected_deg = self.samples.map(|place| match &self.magnetic {
            // Only protons ask for it.
            Some(magnetic) if !events.polar_cap.is_empty() => magnetic.corrected(place).lat_deg,
            _ => 0.0,
        });
        Self {
            events,
            samples_corrected_deg,
            ..self
        }
    }

    /// The circuit at a time.
    #[must_use]
    pub fn at(&self, time: UtcTime) -> SkyPath {
        self.at_with_sun(time, &SunOfInstant::new(time))
    }

    /// As [`CircuitSky::at`] with the sun of that instant already computed.
    #[must_use]
    pub fn at_with_sun(&self, time: UtcTime, sun: &SunOfInstant) -> SkyPath {
        let point = |p: &Readied<'_>| {
            ControlPoint::new(
                p.along_km,
                p.above.at_with_sun(time, sun),
                self.magnetic.as_ref().zip(p.corrected),
            )
        };
        let middle = point(&self.middle);
        let outer = self.outer.iter().map(point).collect();
        let r12 = middle.layers.r12;
        let d_index = self.samples.map(|place| {
            DRegion {
                sun_zenith_deg: sun.position(place).zenith_deg,
                r12,
                lat_deg: place.lat_deg(),
                sun_declination_deg: sun.declination_deg(),
            }
            .index()
        });
        let k_index = middle.layers.k_index.unwrap_or(0.0);
        let event_loss = (!self.events.is_empty()).then(|| {
            std::array::from_fn(|i| {
                let (place, lat_deg) = (self.samples[i], self.samples_corrected_deg[i]);
                self.events.unit_loss(place, lat_deg, k_index, sun, time)
            })
        });
        SkyPath {
            circuit: self.circuit,
            time,
            middle,
            outer,
            d_index,
            event_loss,
        }
    }
}

/// Distance in km over which the correlation of the departures of foF2 from its median falls by e (a judgement on Rush 1976, from memory:
/// 0.7 to 0.9 at 500 to 1 000 km, below a half beyond 2 000 km).
const LIKENESS_KM: f64 = 2_500.0;

/// Standard deviation of the logarithm of foF2 over the days, dimensionless: the mean of its two halves.
fn fof2_log_sd(layers: &Layers) -> f64 {
    maths::ln(layers.fof2_upper_decile_factor / layers.fof2_lower_decile_factor).max(0.0) / (2.0 * DECILE_Z)
}

/// Mean of the lesser of two normal quantities over the weaker one's mean (both in logarithms), where the other's mean lies `ahead`
/// above it, both have this standard deviation, and they are `apart_km` from each other: Clark (1961).
fn weaker_of_two(ahead: f64, sd: f64, apart_km: f64) -> f64 {
    let likeness = maths::exp(-apart_km / LIKENESS_KM);
    let spread = sd * (2.0 * (1.0 - likeness)).sqrt();
    if spread < 1e-6 {
        return 0.0;
    }
    let z = ahead / spread;
    let density = maths::exp(-0.5 * z * z) / std::f64::consts::TAU.sqrt();
    ahead * normal_cdf(-z) - spread * density
}

/// One circuit at one time.
#[derive(Clone, Debug)]
pub struct SkyPath {
    circuit: Circuit,
    time: UtcTime,
    middle: ControlPoint,
    /// The two outer control points of a long path, or none.
    outer: Vec<ControlPoint>,
    d_index: [f64; D_SAMPLES],
    /// What known events on the sun take at the places where the D region is looked at; `None` without events.
    event_loss: Option<[UnitLoss; D_SAMPLES]>,
}

impl SkyPath {
    /// A circuit at one time. For many hours of one circuit use [`CircuitSky`].
    #[must_use]
    pub fn new(sky: &Sky<'_>, circuit: &Circuit, time: UtcTime) -> Self {
        CircuitSky::new(sky, circuit, time).at(time)
    }

    /// The circuit.
    #[must_use]
    pub fn circuit(&self) -> &Circuit {
        &self.circuit
    }

    /// The instant.
    #[must_use]
    pub fn time(&self) -> UtcTime {
        self.time
    }

    /// The control point in the middle.
    #[must_use]
    pub fn middle(&self) -> &ControlPoint {
        &self.middle
    }

    /// All control points: the middle, then the outer ones of a path longer than 2 000 km.
    pub fn points(&self) -> impl Iterator<Item = &ControlPoint> {
        std::iter::once(&self.middle).chain(&self.outer)
    }

    /// The layers above the middle.
    #[must_use]
    pub fn midpoint_layers(&self) -> &Layers {
        &self.middle().layers
    }

    /// The control point that limits paths of this many hops: the middle for one, the weakest of those that the
    /// reflections come near for more.
    pub(crate) fn limiting_point(&self, hops: u8) -> &ControlPoint {
        let hop_km = self.circuit.arc_km() / f64::from(hops.max(1));
        self.weakest_point(hops, |p| p.f2.muf_ordinary_mhz(hop_km))
    }

    /// The MUF of a path of this many F2 hops over that of its weakest control point, dimensionless, at most 1: foF2 does not depart
    /// from its median everywhere alike, so on most days one of the two weakest points is below the weaker one's own median.
    pub(crate) fn weakest_of_the_day(&self, hops: u8) -> f64 {
        let hop_km = self.circuit.arc_km() / f64::from(hops.max(1));
        let mut points: Vec<(f64, &ControlPoint)> = self
            .reflecting(hops)
            .map(|p| (p.f2.muf_ordinary_mhz(hop_km), p))
            .collect();
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        match points[..] {
            [(weak_mhz, weak), (next_mhz, next), ..] => {
                let apart_km = (weak.along_km - next.along_km).abs();
                maths::exp(weaker_of_two(
                    maths::ln(next_mhz / weak_mhz),
                    fof2_log_sd(&weak.layers),
                    apart_km,
                ))
            }
            _ => 1.0,
        }
    }

    /// As [`SkyPath::limiting_point`], by foE.
    pub(crate) fn limiting_foe_point(&self, hops: u8) -> &ControlPoint {
        self.weakest_point(hops, |p| p.layers.foe_mhz)
    }

    fn weakest_point(&self, hops: u8, strength: impl Fn(&ControlPoint) -> f64) -> &ControlPoint {
        let weakest = self.reflecting(hops).min_by(|a, b| strength(a).total_cmp(&strength(b)));
        weakest.unwrap_or(&self.middle)
    }

    /// The control points that the reflections of a path of this many hops come near.
    fn reflecting(&self, hops: u8) -> impl Iterator<Item = &ControlPoint> {
        let alone = hops <= 1 || self.outer.is_empty();
        // An even number of hops touches the ground in the middle, not the layer.
        let skipped = usize::from(!alone && hops.is_multiple_of(2));
        let taken = if alone { 1 } else { usize::MAX };
        self.points().skip(skipped).take(taken)
    }

    /// Absorption index (dimensionless) at a distance along the path in km.
    #[must_use]
    pub fn d_index_at(&self, along_km: f64) -> f64 {
        let (first, share) = self.sample_at(along_km);
        self.d_index[first] + share * (self.d_index[first + 1] - self.d_index[first])
    }

    /// Loss by known events on the sun of one vertical crossing at 1 MHz, at a distance along the path in km.
    #[must_use]
    pub(crate) fn event_loss_at(&self, along_km: f64) -> UnitLoss {
        let Some(samples) = &self.event_loss else {
            return UnitLoss::default();
        };
        let (first, share) = self.sample_at(along_km);
        let mix = |of: fn(&UnitLoss) -> f64| {
            let (a, b) = (of(&samples[first]), of(&samples[first + 1]));
            a + share * (b - a)
        };
        UnitLoss {
            fade_out_db: mix(|l| l.fade_out_db),
            polar_cap_db: mix(|l| l.polar_cap_db),
        }
    }

    /// Whether known events on the sun are to be counted.
    pub(crate) fn has_events(&self) -> bool {
        self.event_loss.is_some()
    }

    /// The sample of the D region before a distance along the path in km, and how far it is to the next, dimensionless.
    fn sample_at(&self, along_km: f64) -> (usize, f64) {
        let arc_km = self.circuit.arc_km().max(1e-9);
        let position = (along_km / arc_km).clamp(0.0, 1.0) * (D_SAMPLES - 1) as f64;
        let first = (position as usize).min(D_SAMPLES - 2);
        (first, position - first as f64)
    }

    /// Season at the middle.
    #[must_use]
    pub fn season(&self) -> Season {
        Season::of(self.time.month(), self.midpoint_layers().place.lat_deg())
    }

    /// Auroral and polar-cap loss of the path, dB: the worst of its control points.
    #[must_use]
    pub fn auroral_db(&self) -> f64 {
        let season = self.season();
        self.points()
            .map(|p| auroral_loss_db(p.corrected_lat_deg, p.magnetic_local_time_h, season, p.layers.k_index))
            .fold(0.0, f64::max)
    }

    /// Fewest F2 hops that can cover the path.
    #[must_use]
    pub(crate) fn fewest_f2_hops(&self) -> u8 {
        let longest_km = self.middle().f2.longest_hop_km().clamp(1_000.0, 4_000.0);
        (self.circuit.arc_km() / longest_km).ceil().clamp(1.0, 20.0) as u8
    }

    /// Fewest E hops that can cover the path.
    #[must_use]
    pub(crate) fn fewest_e_hops(&self) -> u8 {
        (self.circuit.arc_km() / LONGEST_E_HOP_KM).ceil().clamp(1.0, 20.0) as u8
    }

    /// F2 basic MUF of the path without the gyro term (lowest number of hops), MHz.
    #[must_use]
    pub fn muf_f2_ordinary_mhz(&self) -> f64 {
        let hops = self.fewest_f2_hops();
        self.limiting_point(hops)
            .f2
            .muf_ordinary_mhz(self.circuit.arc_km() / f64::from(hops))
    }

    /// F2 basic MUF of the path with the gyro term, MHz.
    #[must_use]
    pub fn muf_f2_mhz(&self) -> f64 {
        let hops = self.fewest_f2_hops();
        let hop_km = self.circuit.arc_km() / f64::from(hops);
        let point = self.limiting_point(hops);
        point.f2.muf_ordinary_mhz(hop_km) + point.gyro_term_mhz(hop_km)
    }

    /// E basic MUF of the path, MHz; meaningless, and zero, where more than three hops would be needed.
    #[must_use]
    pub fn muf_e_mhz(&self) -> f64 {
        let hops = self.fewest_e_hops();
        if hops > crate::modes::MOST_E_HOPS {
            return 0.0;
        }
        self.limiting_foe_point(hops).layers.foe_mhz * e_muf_factor(self.circuit.arc_km() / f64::from(hops))
    }

    /// Basic MUF of the path: the higher of the F2 and E ones, MHz.
    #[must_use]
    pub fn muf_mhz(&self) -> f64 {
        self.muf_f2_mhz().max(self.muf_e_mhz())
    }

    /// Operational MUF: the basic F2 MUF times the factor of Rec. ITU-R P.1240, or the E MUF, MHz.
    #[must_use]
    pub fn operational_muf_mhz(&self) -> f64 {
        let day = self.midpoint_layers().sun_zenith_deg < 90.0;
        (self.muf_f2_mhz() * operational_factor(self.season(), day)).max(self.muf_e_mhz())
    }

    /// Optimum working frequency, MHz: the F2 MUF that nine days in ten reach, or 0.95 of the E MUF (Rec. ITU-R
    /// P.373's idea).
    #[must_use]
    pub fn optimum_working_mhz(&self) -> f64 {
        let f2 = self.muf_f2_mhz() * self.midpoint_layers().fof2_lower_decile_factor;
        f2.max(0.95 * self.muf_e_mhz())
    }

    /// Gyrofrequency at 300 km above the middle, MHz.
    #[must_use]
    pub fn gyro_mhz(&self) -> f64 {
        self.midpoint_layers().gyro_300km_mhz
    }

    /// Nearest distance in km that one ordinary F2 hop reaches with the layer above the middle: zero below foF2, `None`
    /// where the frequency passes through at every angle.
    #[must_use]
    pub fn skip_km(&self, freq_mhz: f64) -> Option<f64> {
        self.middle().f2.skip_km(freq_mhz)
    }
}
