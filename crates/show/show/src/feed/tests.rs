//! Words and columns of the feed.

use farhop_earth::units::Units;
use farhop_feed::advise::Change;
use farhop_feed::{AntennaChange, FeedChain, TransformerType, Transmitter, Tuner};
use farhop_outing::antenna::FlatDipole;
use farhop_outing::{Antenna, AntennaKind, Id, Wire, WireMetal};

use crate::feed::words;

fn dipole() -> Antenna {
    Antenna {
        id: Id::new("a").unwrap(),
        name: "A".into(),
        kind: AntennaKind::FlatDipole(FlatDipole {
            length_m: 20.0,
            height_m: 5.0,
        }),
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

#[test]
fn changes_are_named_plainly() {
    let chain = FeedChain::tuner_at_radio(Transmitter::typical(5.0).unwrap(), Tuner::None, None, None, None);
    let longer = Change::Antenna(AntennaChange::WireLength { delta_m: 2.1 });
    let said = |change: &Change, imperial| {
        let units = if imperial { Units::Imperial } else { Units::Metric };
        words::change(change, &chain, &dipole(), units)
    };
    assert_eq!(
        said(&longer, false),
        "lengthen the wire by 2.1 m, half of that at each end"
    );
    assert_eq!(
        said(&longer, true),
        "lengthen the wire by 6.9 ft, half of that at each end"
    );
    let line = Change::LineLength {
        stage: 0,
        delta_m: -1.0,
    };
    assert_eq!(said(&line, false), "shorten the feed line by 1.0 m");
    let transformer = Change::Transformer {
        kind: TransformerType::FourToOne,
    };
    assert_eq!(said(&transformer, false), "add a 4:1 at the antenna");
}

#[test]
fn numbers_have_no_more_digits_than_mean_something() {
    assert_eq!(words::ohms(3.21, -0.2), "3.2 +0j");
    assert_eq!(words::ohms(34.4, -820.3), "34 -820j");
    assert_eq!(words::swr(Some(1.34)), "1.3");
    assert_eq!(words::swr(Some(45.6)), "46");
    assert_eq!(words::swr(None), "over 99");
    assert_eq!(words::watts(3.94), "3.9 W");
    assert_eq!(words::watts(0.012), "12 mW");
    assert_eq!(words::watts(0.0), "<1 mW");
}
