//! Gateways for whoever has no list yet: those of the starter, as far and in the same directions from the place that was answered.

use farhop_earth::{Place, destination, geodesic, parse_place};
use farhop_outing_file::STARTER_FILES;

/// Where the starter's own outing stands; its gateways lie around it.
const STARTER_LAT_LON_DEG: (f64, f64) = (46.80, 8.10);
/// Column of the place in the starter's table.
const PLACE_COLUMN: usize = 2;

/// The starter's table around another place. What cannot be read there stays as it is.
pub fn invented_around(place: Place) -> String {
    let text = STARTER_FILES[1].text;
    shifted(text, place).unwrap_or_else(|| text.to_owned())
}

fn shifted(text: &str, place: Place) -> Option<String> {
    let from = Place::new(STARTER_LAT_LON_DEG.0, STARTER_LAT_LON_DEG.1).ok()?;
    if geodesic(from, place).distance_km < 1.0 {
        return None;
    }
    let (remarks, table) = text.split_once("callsign,")?;
    let table = format!("callsign,{table}");
    let mut reader = csv::Reader::from_reader(table.as_bytes());
    let mut writer = csv::Writer::from_writer(remarks.as_bytes().to_vec());
    writer.write_record(reader.headers().ok()?).ok()?;
    for row in reader.records() {
        let row = row.ok()?;
        let there = parse_place(row.get(PLACE_COLUMN)?).ok()?;
        let way = geodesic(from, there);
        let moved = destination(place, way.bearing_deg, way.distance_km);
        let moved = format!("{:.2},{:.2}", moved.lat_deg(), moved.lon_deg());
        let cells = row.iter().enumerate();
        let cells = cells.map(|(k, cell)| if k == PLACE_COLUMN { moved.as_str() } else { cell });
        writer.write_record(cells).ok()?;
    }
    String::from_utf8(writer.into_inner().ok()?).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_starter_says_where_it_stands_and_its_gateways_move_with_the_place() {
        assert!(STARTER_FILES[0].text.contains("place = \"46.80,8.10\""));
        let there = Place::new(-43.4, 170.8).unwrap();
        let moved = invented_around(there);
        let mut rows = csv::ReaderBuilder::new();
        let mut rows = rows.comment(Some(b'#')).from_reader(moved.as_bytes());
        let km: Vec<f64> = rows
            .records()
            .map(|r| geodesic(there, parse_place(r.unwrap().get(PLACE_COLUMN).unwrap()).unwrap()).distance_km)
            .collect();
        assert_eq!(km.len(), 6, "{moved}");
        // Elm by the spherical law of cosines, from the starter's 46.80 8.10 to 47.60 9.30: 127 km.
        assert!((km[0] - 127.0).abs() < 2.0, "{km:?}");
        assert_eq!(
            invented_around(Place::new(46.80, 8.10).unwrap()),
            STARTER_FILES[1].text,
            "at home nothing moves"
        );
    }
}
