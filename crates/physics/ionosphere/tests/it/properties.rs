//! What must hold for every place, hour and level of activity.

// Helpers of tests are not seen as tests by the lint; stopping at a broken vector is what they are for.
use farhop_earth::{IgrfEpoch, Place, UtcTime};
use farhop_ionosphere::{Activity, F2Map, Ionosphere, Layers, Observation, SkyConditions};
use proptest::prelude::*;

fn moment(day: i64, minute: i64) -> UtcTime {
    UtcTime::from_civil(2024, 1, 1, 0, 0, 0)
        .unwrap()
        .add_s(day * 86_400 + minute * 60)
}

fn field() -> IgrfEpoch {
    IgrfEpoch::at(2026.5).unwrap()
}

fn place() -> impl Strategy<Value = Place> {
    let lat = prop_oneof![8 => -90.0..=90.0, 1 => Just(90.0), 1 => Just(-90.0), 1 => Just(0.0)];
    let lon = prop_oneof![8 => -180.0..=180.0, 1 => Just(180.0), 1 => Just(0.0)];
    (lat, lon).prop_map(|(lat, lon)| Place::new(lat, lon).unwrap())
}

fn assert_sane(l: &Layers) {
    let bounds = [
        ("foF2", l.fof2_mhz, 0.1, 30.0),
        ("M(3000)F2", l.m3000f2, 1.8, 4.5),
        ("foE", l.foe_mhz, 0.3, 5.5),
        ("hmF2", l.hmf2_km, 180.0, 550.0),
        ("foEs median", l.foes_median_mhz, 0.5, 30.0),
        ("foEs lower", l.foes_lower_decile_mhz, 0.25, l.foes_median_mhz),
        ("foEs upper", l.foes_upper_decile_mhz, l.foes_median_mhz, 60.0),
        ("lower decile", l.fof2_lower_decile_factor, 0.3, 1.0),
        ("upper decile", l.fof2_upper_decile_factor, 1.0, 3.0),
        ("modip", l.modip_deg, -90.0, 90.0),
        ("dip", l.dip_deg, -90.0, 90.0),
        ("gyro 100", l.gyro_100km_mhz, 0.5, 2.0),
        ("gyro 300", l.gyro_300km_mhz, 0.5, 2.0),
        ("geomagnetic latitude", l.geomagnetic_lat_deg, -90.0, 90.0),
        ("zenith", l.sun_zenith_deg, 0.0, 180.0),
        ("noon zenith", l.noon_sun_zenith_deg, 0.0, 114.0),
        ("hours after noon", l.hours_after_noon, -12.0, 12.0),
    ];
    for (name, value, low, high) in bounds {
        assert!(
            (low..=high).contains(&value),
            "{name} = {value} at {:?} {:?}",
            l.place,
            l.time
        );
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn layers_are_sane_everywhere(
        place in place(), day in 0_i64..1100, minute in 0_i64..1440, ssn in 0.0..=250.0, k in proptest::option::of(0.0..=9.0),
        ursi: bool,
    ) {
        let mut conditions = SkyConditions::quiet(Activity::from_ssn(ssn).unwrap());
        conditions.k_index = k;
        conditions.f2_map = if ursi { F2Map::Ursi } else { F2Map::Ccir };
        assert_sane(&Ionosphere::embedded().layers(&field(), place, moment(day, minute), &conditions));
    }

    /// The quick form for many hours says the same as the plain one, within and outside the two months it was made for.
    #[test]
    fn the_quick_form_is_the_plain_form(place in place(), day in 0_i64..1100, later in -60_i64..60, minute in 0_i64..1440) {
        let conditions = SkyConditions::quiet(Activity::from_ssn(70.0).unwrap());
        let field = field();
        let sky = Ionosphere::embedded().sky(&field, &conditions);
        let time = moment(day + later, minute);
        prop_assert_eq!(sky.above(place, moment(day, 0)).at(time), sky.layers(place, time));
    }

    /// A fixed foF2 is met exactly, and a reading on the spot too.
    #[test]
    fn readings_are_met_on_the_spot(place in place(), day in 0_i64..365, hour in 0_i64..24, share in 0.6_f64..1.5) {
        let time = moment(day, hour * 60);
        let mut conditions = SkyConditions::quiet(Activity::from_ssn(70.0).unwrap());
        let median_mhz = Ionosphere::embedded().layers(&field(), place, time, &conditions).fof2_mhz;
        let target_mhz = (share * median_mhz).max(0.5);
        let reading = Observation::new(place, time, target_mhz).unwrap();
        conditions.observed = vec![reading];
        let observed = Ionosphere::embedded().layers(&field(), place, time, &conditions);
        conditions.fixed = Some(reading);
        let fixed = Ionosphere::embedded().layers(&field(), place, time, &conditions);
        prop_assert!((fixed.fof2_mhz / target_mhz - 1.0).abs() < 1e-9);
        prop_assert!((observed.fof2_mhz / target_mhz - 1.0).abs() < 1e-9);
        prop_assert!(observed.fof2_upper_decile_factor < 1.2);
    }

    /// The declination is stepped to noon by a rate; the plain way is to ask for the sun of that noon.
    #[test]
    fn the_noon_zenith_is_that_of_the_sun(place in place(), day in 0_i64..1100, minute in 0_i64..1440) {
        let time = moment(day, minute);
        let conditions = SkyConditions::quiet(Activity::from_ssn(70.0).unwrap());
        let ours = Ionosphere::embedded().layers(&field(), place, time, &conditions);
        // Near midnight the two may take the noon of different days.
        prop_assume!(ours.hours_after_noon.abs() < 11.5);
        prop_assert!((ours.noon_sun_zenith_deg - farhop_earth::sun::noon_zenith_deg(place, time)).abs() < 0.03);
    }
}

#[test]
fn nonsense_conditions_stay_sane() {
    let mut conditions = SkyConditions::quiet(Activity::expected(moment(1000, 0)));
    let place = Place::new(-43.5, 170.5).unwrap();
    for bad in [f64::NAN, f64::INFINITY, -1.0, 0.0, 1e300] {
        conditions.k_index = Some(bad);
        conditions.fof2_factor = bad.clamp(0.5, 1.5);
        conditions.foes_factor = bad;
        let l = Ionosphere::embedded().layers(&field(), place, moment(1000, 60), &conditions);
        assert_sane(&l);
        assert!(l.foes_exceedance(f64::NAN).is_finite() && l.fof2_exceedance(-3.0) == 1.0);
    }
}

/// Common practice: in a summer storm middle latitudes lose foF2, and the days differ more.
#[test]
fn a_storm_lowers_and_widens() {
    let place = Place::new(-43.5, 170.5).unwrap();
    let mut conditions = SkyConditions::quiet(Activity::from_ssn(80.0).unwrap());
    let time = UtcTime::from_civil(2026, 12, 15, 1, 0, 0).unwrap();
    let quiet = Ionosphere::embedded().layers(&field(), place, time, &conditions);
    conditions.k_index = Some(7.0);
    let stormy = Ionosphere::embedded().layers(&field(), place, time, &conditions);
    assert!(stormy.fof2_mhz < 0.9 * quiet.fof2_mhz);
    assert!(stormy.fof2_lower_decile_factor < quiet.fof2_lower_decile_factor);
}
