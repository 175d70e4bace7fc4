//! Every kind of an outing through the engine.

use farhop_earth::GroundClass;
use farhop_outing::antenna::{
    DeclaredAntenna, DeltaLoop, EndFed, FlatDipole, FreeWires, HorizontalLoop, InvertedV, LinkedDipole, SmallLoop,
    Vertical, Whip,
};
use farhop_outing::{Antenna, AntennaKind, DeclaredShape, EndFedShape, Id, Loading, Transformer, Wire, WireMetal};

use super::*;
use crate::book::Radiator;

fn hung(kind: AntennaKind) -> Antenna {
    Antenna {
        id: Id::new("a").unwrap(),
        name: "A".into(),
        kind,
        wire: Wire {
            metal: WireMetal::Copper,
            diameter_mm: 1.0,
        },
        azimuth_deg: None,
        usable_mhz: Vec::new(),
        feedline: None,
        transformer: None,
        setup_min: 10.0,
        notes: String::new(),
    }
}

fn whip(lean_deg: f64, lean_toward_deg: f64) -> AntennaKind {
    AntennaKind::Whip(Whip {
        length_m: 2.5,
        mast_m: 1.0,
        loading: Loading::Centre,
        coil_uh: None,
        coil_q: 200.0,
        lean_deg,
        lean_toward_deg,
        counterpoises: 2,
        counterpoise_m: 5.0,
        counterpoise_height_m: 0.1,
    })
}

fn kinds() -> Vec<AntennaKind> {
    vec![
        AntennaKind::FlatDipole(FlatDipole {
            length_m: 20.2,
            height_m: 5.0,
        }),
        AntennaKind::InvertedV(InvertedV {
            length_m: 20.2,
            apex_height_m: 6.5,
            end_height_m: 1.5,
        }),
        AntennaKind::LinkedDipole(LinkedDipole {
            leg_lengths_m: vec![5.05, 10.1],
            apex_height_m: 6.5,
            end_height_m: 1.5,
        }),
        AntennaKind::EndFed(EndFed {
            wire_m: 21.6,
            shape: EndFedShape::Sloping,
            feed_height_m: 0.6,
            far_height_m: 7.0,
            corner_height_m: 7.0,
            counterpoise_m: 6.5,
            transformer_ratio: 9.0,
        }),
        AntennaKind::EndFed(EndFed {
            wire_m: 21.6,
            shape: EndFedShape::LShaped,
            feed_height_m: 0.6,
            far_height_m: 5.0,
            corner_height_m: 7.0,
            counterpoise_m: 6.5,
            transformer_ratio: 9.0,
        }),
        AntennaKind::Vertical(Vertical {
            length_m: 9.0,
            base_height_m: 0.05,
            radials: 3,
            radial_m: 5.0,
        }),
        whip(20.0, 250.0),
        AntennaKind::SmallLoop(SmallLoop {
            diameter_m: 0.95,
            turns: 1,
            conductor_diameter_mm: 10.0,
            height_m: 1.0,
            capacitor_min_pf: 10.0,
            capacitor_max_pf: 400.0,
            capacitor_q: 1_500.0,
        }),
        AntennaKind::HorizontalLoop(HorizontalLoop {
            perimeter_m: 42.0,
            height_m: 5.0,
        }),
        AntennaKind::DeltaLoop(DeltaLoop {
            perimeter_m: 42.0,
            apex_height_m: 12.0,
            base_height_m: 2.0,
        }),
        AntennaKind::Wires(FreeWires {
            wires_m: vec![[0.0, -10.0, 4.0, 0.0, 10.0, 4.0]],
            feed_wire: 1,
        }),
    ]
}

#[test]
fn every_kind_with_wires_is_solved_with_sane_figures() {
    let ground = GroundClass::Average.constants();
    for kind in kinds() {
        let antenna = hung(kind);
        let word = antenna.kind.word();
        let solved = solve_antenna(&antenna, ground, 7.1).unwrap_or_else(|e| panic!("{word}: {e}"));
        assert!(solved.impedance_ohm.re > 0.0, "{word}: {}", solved.impedance_ohm);
        assert!(
            solved.efficiency > 0.0 && solved.efficiency < 1.0,
            "{word}: {}",
            solved.efficiency
        );
        let sum = solved.efficiency + solved.conductor_share + solved.load_share + solved.ground_share;
        assert!((sum - 1.0).abs() < 0.01, "{word}: {sum}");
        assert!(
            (-40.0..8.0).contains(&solved.gain_dbi(45.0, 30.0)),
            "{word}: {}",
            solved.gain_dbi(45.0, 30.0)
        );
        assert_eq!(solved.coupled, word == "small-loop");
    }
}

#[test]
fn a_declared_antenna_has_no_wires() {
    let antenna = hung(AntennaKind::Declared(DeclaredAntenna {
        shape: DeclaredShape::Dipole,
        height_m: 5.0,
        efficiency: 0.5,
    }));
    assert!(solve_antenna(&antenna, GroundClass::Average.constants(), 7.1).is_err());
    assert!(key_of(&antenna, GroundClass::Average.constants(), 7.1).is_err());
}

#[test]
fn impossible_measures_are_refused_in_words() {
    let antenna = hung(AntennaKind::InvertedV(InvertedV {
        length_m: 6.0,
        apex_height_m: 12.0,
        end_height_m: 1.0,
    }));
    let why = solve_antenna(&antenna, GroundClass::Average.constants(), 7.1).unwrap_err();
    assert!(why.to_string().contains("leg"), "{why}");
}

#[test]
fn a_level_dipole_is_strongest_across_its_wire_wherever_it_points() {
    for azimuth_deg in [0.0, 20.0, 135.0, 300.0] {
        let mut antenna = hung(kinds().swap_remove(0));
        antenna.azimuth_deg = Some(azimuth_deg);
        let solved = solve_antenna(&antenna, GroundClass::Average.constants(), 7.1).unwrap();
        let (across, along) = (
            solved.gain_dbi(20.0, azimuth_deg + 90.0),
            solved.gain_dbi(20.0, azimuth_deg),
        );
        assert!(across > along + 3.0, "{azimuth_deg}: {across} and {along}");
    }
}

#[test]
fn a_free_list_is_measured_toward_east_and_north() {
    // The wire runs north to south, so that east is broadside.
    let antenna = hung(kinds().pop().unwrap());
    assert_eq!(axis_bearing_deg(&antenna), Some(90.0));
    let solved = solve_antenna(&antenna, GroundClass::Average.constants(), 7.1).unwrap();
    assert!(solved.gain_dbi(20.0, 90.0) > solved.gain_dbi(20.0, 0.0) + 3.0);
}

#[test]
fn a_leaning_whip_keeps_its_bearing_when_the_axis_turns() {
    let antenna = hung(whip(30.0, 250.0));
    assert_eq!(axis_bearing_deg(&antenna), Some(250.0));
    assert_eq!(axis_bearing_deg(&hung(whip(0.0, 250.0))), None);
    // Six counterpoises are nearly round, so that the lean alone gives the pattern its direction.
    let with_axis = |azimuth_deg: f64| {
        let mut antenna = hung(whip(40.0, 250.0));
        if let AntennaKind::Whip(Whip { counterpoises, .. }) = &mut antenna.kind {
            *counterpoises = 6;
        }
        antenna.azimuth_deg = Some(azimuth_deg);
        solve_antenna(&antenna, GroundClass::Average.constants(), 7.1).unwrap()
    };
    let (one, other) = (with_axis(250.0), with_axis(130.0));
    for bearing_deg in [70.0, 160.0, 250.0, 340.0] {
        let (a, b) = (one.gain_dbi(30.0, bearing_deg), other.gain_dbi(30.0, bearing_deg));
        assert!((a - b).abs() < 0.2, "{bearing_deg}: {a} and {b}");
    }
}

#[test]
fn without_a_direction_the_gain_is_the_mean_power_around() {
    let solved = solve_antenna(&hung(kinds().swap_remove(0)), GroundClass::Average.constants(), 7.1).unwrap();
    let mean = (0..360)
        .map(|a| solved.pattern.gain(30.0, f64::from(a)).total())
        .sum::<f64>()
        / 360.0;
    for bearing_deg in [0.0, 77.0] {
        assert!((solved.gain_dbi(30.0, bearing_deg) - 10.0 * mean.log10()).abs() < 0.01);
    }
}

#[test]
fn the_key_follows_the_content_and_nothing_else() {
    let ground = GroundClass::Average.constants();
    let mut keys: Vec<Vec<u8>> = kinds()
        .into_iter()
        .map(|k| key_of(&hung(k), ground, 7.1).unwrap())
        .collect();
    let first = hung(kinds().swap_remove(0));
    keys.push(key_of(&first, ground, 7.100_000_000_000_1).unwrap());
    keys.push(key_of(&first, GroundClass::Poor.constants(), 7.1).unwrap());
    let mut steel = first.clone();
    steel.wire.metal = WireMetal::Stainless;
    keys.push(key_of(&steel, ground, 7.1).unwrap());
    let mut thick = first.clone();
    thick.wire.diameter_mm = 2.0;
    keys.push(key_of(&thick, ground, 7.1).unwrap());
    let count = keys.len();
    keys.sort();
    keys.dedup();
    assert_eq!(keys.len(), count);
    let mut turned = first.clone();
    turned.azimuth_deg = Some(70.0);
    turned.name = "Another".into();
    assert_eq!(
        key_of(&turned, ground, 7.1).unwrap(),
        key_of(&first, ground, 7.1).unwrap()
    );
}

#[test]
fn the_ratio_at_the_feed_is_the_transformers() {
    let mut wire = hung(kinds().swap_remove(3));
    assert_eq!(feed_ratio(&wire), 9.0);
    wire.transformer = Some(Transformer {
        ratio: 49.0,
        loss_db: 0.5,
    });
    assert_eq!(feed_ratio(&wire), 49.0);
    assert_eq!(feed_ratio(&hung(kinds().swap_remove(0))), 1.0);
}
