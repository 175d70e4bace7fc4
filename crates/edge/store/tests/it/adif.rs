//! Contacts in the open interchange format, read back by a reader of our own and held against the specification's tables.

use crate::common;
use std::collections::HashMap;
use std::path::Path;

use farhop_earth::UtcTime;
use farhop_outing::Outing;
use farhop_store::adif::{AdifSetting, BANDS, FIELDS, USUAL_MODE, adif, band};
use farhop_store::{Account, Call, Event, Outcome, Spot, Standing, state};
use proptest::prelude::*;

const DEMO: &str = include_str!("../../../../../examples/demo.toml");

fn outing() -> Outing {
    farhop_outing_file::read(DEMO, "demo", &|_| Err(String::new()))
        .outing
        .unwrap()
}

fn vectors(name: &str) -> Vec<HashMap<String, String>> {
    let file = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../../validation/journal")
        .join(name);
    csv::Reader::from_path(file)
        .unwrap()
        .deserialize()
        .map(Result::unwrap)
        .collect()
}

/// One field as read.
#[derive(Debug, PartialEq)]
struct Field {
    name: String,
    kind: Option<String>,
    value: String,
}

/// Records of a file, the header first. A record begins after the end of the last; what stands outside fields is passed over.
fn read(text: &str) -> Vec<Vec<Field>> {
    assert!(!text.starts_with('<'), "a header begins with other text");
    let (mut records, mut record, mut rest) = (Vec::new(), Vec::new(), text);
    while let Some((_, after)) = rest.split_once('<') {
        let (tag, after) = after.split_once('>').unwrap();
        let mut parts = tag.split(':');
        let name = parts.next().unwrap().to_ascii_uppercase();
        rest = after;
        if name == "EOH" || name == "EOR" {
            records.push(std::mem::take(&mut record));
            continue;
        }
        let length: usize = parts.next().unwrap().parse().unwrap();
        let (value, after) = after.split_at(length);
        record.push(Field {
            name,
            kind: parts.next().map(str::to_owned),
            value: value.to_owned(),
        });
        rest = after;
    }
    assert!(record.is_empty(), "the last record has its end");
    records
}

fn standing(number: u64, at: &str, call: Call) -> Standing {
    Standing {
        number,
        key: common::key(&format!("k{number}")),
        entered_at: UtcTime::parse(at).unwrap(),
        corrected_by: None,
        account: Account {
            at: UtcTime::parse(at).unwrap(),
            place: Some(Spot::Site("ridge".to_owned())),
            who: Some("Q3HUT".to_owned()),
            event: Event::Called(call),
        },
    }
}

fn call(station: &str, freq_mhz: f64, outcome: Outcome) -> Call {
    Call {
        station: station.to_owned(),
        freq_mhz,
        antenna: Some("link".to_owned()),
        power_w: Some(2.5),
        minutes: Some(6.5),
        snr_db: Some(-3.0),
        outcome,
    }
}

fn exported(entries: &[Standing]) -> (Vec<Vec<Field>>, usize) {
    exported_from(&outing(), entries)
}

/// The demo around another instant: only what happens within a day of an outing counts.
fn outing_around(at: UtcTime) -> Outing {
    let mut parts = outing().into_parts();
    parts.header.start = at.add_s(-3_600);
    parts.header.end = at.add_s(3_600);
    parts.messages.clear();
    for site in &mut parts.sites {
        (site.from, site.until) = (None, None);
    }
    Outing::new(parts).unwrap()
}

fn exported_from(outing: &Outing, entries: &[Standing]) -> (Vec<Vec<Field>>, usize) {
    let day = state(entries, outing, outing.header.end);
    let setting = AdifSetting {
        program: "Farhop",
        version: "0.1.0",
        made_at: UtcTime::parse("2026-12-13T04:05:06Z").unwrap(),
        mode: USUAL_MODE,
    };
    let (text, count) = adif(&day, &setting);
    assert!(text.is_ascii());
    (read(&text), count)
}

fn value<'a>(record: &'a [Field], name: &str) -> &'a str {
    record.iter().find(|f| f.name == name).map_or("", |f| &f.value)
}

#[test]
fn the_fields_are_those_of_the_specification() {
    let known: HashMap<String, HashMap<String, String>> = vectors("adif_fields.csv")
        .into_iter()
        .map(|row| (row["field"].clone(), row))
        .collect();
    for (name, kind) in FIELDS {
        let row = &known[name];
        assert_eq!(row["data_type"], kind.name(), "{name}");
        assert_eq!(row["import_only"], "", "{name}");
    }
    assert_eq!(known.len(), FIELDS.len());
}

#[test]
fn the_bands_are_those_of_the_specification() {
    let known = vectors("adif_bands.csv");
    assert_eq!(known.len(), BANDS.len());
    for (row, (name, low_mhz, high_mhz)) in known.iter().zip(BANDS) {
        assert_eq!(row["band"], name);
        assert_eq!(row["lower_mhz"].parse(), Ok(low_mhz));
        assert_eq!(row["upper_mhz"].parse(), Ok(high_mhz));
        assert_eq!((band(low_mhz), band(high_mhz)), (Some(name), Some(name)));
        assert_eq!((band(low_mhz - 1e-4), band(high_mhz + 1e-4)), (None, None));
    }
    assert!(
        vectors("adif_modes.csv")
            .iter()
            .any(|row| row["mode"] == USUAL_MODE && row["import_only"].is_empty())
    );
}

#[test]
fn a_contact_is_written_with_its_circumstances() {
    let delivered = Outcome::Delivered {
        message: Some("arrived".to_owned()),
        bytes: 300,
    };
    let entries = [
        standing(1, "2026-12-12T02:00:00Z", call("larch", 3.5915, Outcome::NoAnswer)),
        standing(
            2,
            "2026-12-12T02:10:00Z",
            call("larch", 3.5915, Outcome::HeardButFailed),
        ),
        standing(3, "2026-12-12T23:55:00Z", call("larch", 7.0495, delivered)),
        standing(4, "2026-12-13T01:00:00Z", call("coral", 10.1395, Outcome::Linked)),
        standing(5, "2026-12-13T01:10:00Z", call("gone", 10.1395, Outcome::Linked)),
    ];
    let (records, count) = exported(&entries);
    assert_eq!((records.len(), count), (3, 2), "the header and two contacts");
    assert_eq!(value(&records[0], "ADIF_VER"), "3.1.6");
    assert_eq!(value(&records[0], "CREATED_TIMESTAMP"), "20261213 040506");
    for (name, expected) in [
        ("QSO_DATE", "20261212"),
        ("TIME_ON", "235500"),
        ("QSO_DATE_OFF", "20261213"),
        ("TIME_OFF", "000130"),
        ("CALL", "Q0LAR"),
        ("BAND", "40m"),
        ("FREQ", "7.0495"),
        ("MODE", "DYNAMIC"),
        ("STATION_CALLSIGN", "Q3HUT"),
        ("OPERATOR", "Q3HUT"),
        ("TX_PWR", "2.5"),
        // -43.480, 170.900 and -42.960, 170.690 by the definition of the locator.
        ("MY_GRIDSQUARE", "RE56km"),
        ("GRIDSQUARE", "RE57ia"),
        ("MY_LAT", "S043 28.800"),
        ("MY_LON", "E170 54.000"),
        ("MY_ALTITUDE", "1720"),
        ("MY_ANTENNA", "Linked dipole"),
        ("COMMENT", "message arrived, 300 bytes, reported SNR -3 dB"),
        ("APP_FARHOP_BYTES", "300"),
        ("APP_FARHOP_SNR_DB", "-3"),
        ("APP_FARHOP_KEY", "k3"),
    ] {
        assert_eq!(value(&records[1], name), expected, "{name}");
    }
    assert_eq!(
        value(&records[2], "COMMENT"),
        "linked, nothing delivered, reported SNR -3 dB"
    );
}

/// Whether a value is one of its data type, by the words of the specification.
fn is_of_type(kind: &str, value: &str) -> bool {
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
    match kind {
        "String" => value.bytes().all(|b| (32..=126).contains(&b)),
        "Number" => {
            let plain = value.strip_prefix('-').unwrap_or(value);
            let (whole, part) = plain.split_once('.').unwrap_or((plain, "0"));
            digits(whole) && digits(part)
        }
        "Date" => value.len() == 8 && digits(value) && value >= "19300101",
        "Time" => value.len() == 6 && digits(value) && value < "240000",
        "GridSquare" => value.len() == 6,
        "Location" => {
            let (sign, rest) = value.split_at(1);
            let (degrees, minutes) = rest.split_once(' ').unwrap();
            let (whole, part) = minutes.split_once('.').unwrap();
            value.len() == 11
                && "EWNS".contains(sign)
                && digits(degrees)
                && degrees <= "180"
                && digits(whole)
                && whole < "60"
                && digits(part)
        }
        "Enumeration" => value == USUAL_MODE || BANDS.iter().any(|b| b.0 == value),
        _ => false,
    }
}

proptest! {
    #[test]
    fn whatever_is_written_is_read_back_as_its_type(
        second in 0i64..1_890_000_000,
        freq_mhz in 1.6f64..30.0,
        power_w in 0.001f64..2_000.0,
        minutes in 0.0f64..1_440.0,
        snr_db in -40.0f64..60.0,
        message in "\\PC{1,20}",
        place in (-90.0f64..90.0, -180.0f64..180.0),
    ) {
        let mut entry = standing(7, "2026-12-12T02:00:00Z", Call {
            power_w: Some(power_w),
            minutes: Some(minutes),
            snr_db: Some(snr_db),
            ..call("larch", freq_mhz, Outcome::Delivered { message: Some(message), bytes: 12 })
        });
        entry.account.at = UtcTime::from_unix_s(second).unwrap();
        entry.account.place = Some(Spot::Point { lat_deg: place.0, lon_deg: place.1 });
        let (records, count) = exported_from(&outing_around(entry.account.at), &[entry]);
        prop_assert_eq!(count, 1);
        for field in records.iter().flatten() {
            let known = FIELDS.iter().find(|(name, _)| *name == field.name).map(|(_, kind)| kind.name());
            let kind = match field.kind.as_deref() {
                Some("N") => "Number",
                Some(_) => "String",
                None => known.unwrap(),
            };
            prop_assert!(is_of_type(kind, &field.value), "{:?}", field);
        }
        prop_assert_eq!(value(&records[1], "BAND"), band(freq_mhz).unwrap_or(""));
    }
}
