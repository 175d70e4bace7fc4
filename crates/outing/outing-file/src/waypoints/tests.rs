//! Reading what other programs and hands have written.
#![allow(clippy::unwrap_used, reason = "helpers of a test may fail loudly")]

use farhop_earth::Place;
use proptest::prelude::*;

use super::{GpxError, waypoints};

const FOREIGN: &str = r#"<?xml version="1.0" encoding="UTF-8"?>
<gpx version="1.0" creator="somebody" xmlns:x="http://example.invalid/x" xmlns="http://www.topografix.com/GPX/1/0">
  <wpt lat="46.57120" lon=" 8.41500 ">
    <ele>2123.4</ele><name>Crest &amp; cairn &#x2191;</name><cmt>windy</cmt><desc>windy</desc>
    <extensions><x:name>not this</x:name></extensions>
  </wpt>
  <wpt lat="46.5" lon="8.4"><name><![CDATA[Col <n>]]></name><ele>high</ele></wpt>
  <rte><rtept lat="1" lon="2"><name>a turn</name></rtept></rte>
  <trk><trkseg><trkpt lat="9" lon="9"/></trkseg></trk>
</gpx>"#;

#[test]
fn a_foreign_file_gives_its_waypoints_only() {
    let found = waypoints(FOREIGN).unwrap();
    assert_eq!(found.len(), 2);
    assert_eq!(found[0].name, "Crest & cairn ↑");
    assert_eq!(found[0].elevation_m, Some(2123.4));
    assert_eq!(found[0].notes, "windy");
    assert_eq!(found[0].place, Place::new(46.5712, 8.415).unwrap());
    assert_eq!((found[1].name.as_str(), found[1].elevation_m), ("Col <n>", None));
}

#[test]
fn entities_of_a_document_type_are_not_expanded() {
    let bomb = "<!DOCTYPE gpx [<!ENTITY a \"aaaa\"><!ENTITY b \"&a;&a;\"><!ENTITY f SYSTEM \"file:///etc/hostname\">]>\
                <gpx><wpt lat=\"1\" lon=\"2\"><name>x&b;&f;y</name></wpt></gpx>";
    assert_eq!(waypoints(bomb).unwrap()[0].name, "xy");
}

#[test]
fn what_is_wrong_is_said_with_its_line() {
    let said = |text: &str| waypoints(text).unwrap_err().to_string();
    assert!(matches!(waypoints(""), Err(GpxError::Empty)));
    assert!(matches!(waypoints("<kml></kml>"), Err(GpxError::Other(_))));
    assert!(matches!(
        waypoints("<gpx><wpt lat=\"1\" lon=\"2\">"),
        Err(GpxError::Cut)
    ));
    assert!(said("<gpx>\n<wpt lat=\"91\" lon=\"2\"/></gpx>").starts_with("line 2: waypoint 1"));
    assert!(said("<gpx>\n<wpt lon=\"2\"/></gpx>").contains("`lat` is missing"));
    assert!(said("<gpx><wpt lat=\"NaN\" lon=\"2\"/></gpx>").contains("latitude NaN"));
    assert!(said("<gpx>\n\n<wpt lat='1' lon='1'></trk></gpx>").starts_with("line 3"));
    let many = format!(
        "<gpx>{}</gpx>",
        "<wpt lat='1' lon='1'/>".repeat(super::read::MOST_WAYPOINTS + 1)
    );
    assert!(matches!(waypoints(&many), Err(GpxError::TooMany)));
}

proptest! {
    #[test]
    fn noise_never_panics(text in "\\PC{0,200}", cut in 0usize..600) {
        let _ = waypoints(&text);
        let _ = waypoints(&format!("<gpx><wpt lat='1' lon='2'>{text}"));
        let cut = FOREIGN.char_indices().map(|(i, _)| i).take_while(|i| *i <= cut).last().unwrap_or(0);
        prop_assert!(waypoints(&FOREIGN[..cut]).is_err());
    }
}
