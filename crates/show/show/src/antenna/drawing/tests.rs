//! The picture holds what it should and stays well-formed.

use farhop_earth::GroundClass;
use farhop_outing::antenna::{FlatDipole, FreeWires, InvertedV};
use farhop_outing::{Antenna, AntennaKind, Id, Wire, WireMetal};
use farhop_plan::engine::{built_at, solve_antenna};

use super::*;

fn antenna(kind: AntennaKind, azimuth_deg: Option<f64>) -> Antenna {
    Antenna {
        id: Id::new("a").unwrap(),
        name: "A <wire> & \"more\"\u{7}".into(),
        kind,
        wire: Wire {
            metal: WireMetal::Copper,
            diameter_mm: 1.0,
        },
        azimuth_deg,
        usable_mhz: Vec::new(),
        feedline: None,
        transformer: None,
        setup_min: 10.0,
        notes: String::new(),
    }
}

fn pictures(antenna: &Antenna, needed_deg: Option<(f64, f64)>) -> (String, [String; 4]) {
    let ground = GroundClass::Average.constants();
    let picture = Picture {
        name: &antenna.name,
        place: "average ground",
        freq_mhz: 7.1,
        built: &built_at(antenna, ground, 7.1).unwrap(),
        before: None,
        solved: &solve_antenna(antenna, ground, 7.1).unwrap(),
        needed_deg,
        units: farhop_earth::units::Units::Metric,
    };
    (drawing(&picture), panels(&picture))
}

fn svg(antenna: &Antenna) -> String {
    pictures(antenna, None).0
}

#[test]
fn names_are_escaped_and_every_number_is_finite() {
    let kind = AntennaKind::InvertedV(InvertedV {
        length_m: 20.2,
        apex_height_m: 6.5,
        end_height_m: 1.5,
    });
    for azimuth_deg in [None, Some(35.0)] {
        let svg = svg(&antenna(kind.clone(), azimuth_deg));
        assert!(svg.contains("A &lt;wire&gt; &amp; &quot;more&quot; "));
        assert!(svg.contains("6.5 m") && svg.contains("10.1 m"));
        assert!(!svg.contains("NaN") && !svg.contains("inf"));
        assert_eq!(svg.matches("<text").count(), svg.matches("</text>").count());
        assert_eq!(svg.contains("north is up"), azimuth_deg.is_some());
    }
}

#[test]
fn the_panels_together_say_what_the_whole_says() {
    let kind = AntennaKind::FlatDipole(FlatDipole {
        length_m: 20.2,
        height_m: 6.5,
    });
    let antenna = antenna(kind, Some(35.0));
    let (whole, [side, above, over, around]) = pictures(&antenna, Some((58.0, 71.0)));
    for words in [
        "From the side",
        "From above",
        "Over the ground",
        "Around, at 20",
        "58° to 71°",
    ] {
        assert!(whole.contains(words), "{words}");
    }
    assert!(side.contains("From the side") && !side.contains("From above"));
    assert!(above.contains("From above") && !above.contains("From the side"));
    assert!(over.contains("58° to 71°, where the modes leave") && around.contains("Around, at 20"));
    assert!(!pictures(&antenna, None).0.contains("where the modes leave"));
}

#[test]
fn a_wire_straight_up_has_a_width_to_draw() {
    let kind = AntennaKind::Wires(FreeWires {
        wires_m: vec![[0.0, 0.0, 0.2, 0.0, 0.0, 10.2]],
        feed_wire: 1,
    });
    let svg = svg(&antenna(kind, Some(90.0)));
    assert!(!svg.contains("NaN") && !svg.contains("inf"));
}
