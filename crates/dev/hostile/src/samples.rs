//! What each target is made to read. Texts of others are invented after their published forms.

use farhop_exchange::bundle::{Content, Role, pack};

use farhop_kit::fault::Symptom;

use crate::readers::{DEMO, demo};

fn bytes(texts: &[&str]) -> Vec<Vec<u8>> {
    texts.iter().map(|t| t.as_bytes().to_vec()).collect()
}

const TABLE: &str =
    "callsign,name,place,mhz,bandwidth_hz\nQ0ABC,Hut,\"47.60,9.30\",7.05,500\nQ0DEF,\"Far, hut\",JN47,3.59,2000\n";

/// Outing files.
pub(crate) fn outings() -> Vec<Vec<u8>> {
    let starter = farhop_outing_file::STARTER_FILES[0].text;
    let equator = include_str!("../../../../examples/equator.toml");
    let north = include_str!("../../../../examples/north.toml");
    // It names a table of stations.
    let with_table = format!("{starter}\0{TABLE}");
    bytes(&[DEMO, equator, north, &with_table])
}

/// Tables of stations.
pub(crate) fn stations() -> Vec<Vec<u8>> {
    bytes(&[
        TABLE,
        "callsign;lat;lon;khz\nQ0ABC;-43,1;171,2;7050,5\n",
        "callsign\tname\tlat\tlon\tmhz\nQ0ABC\tA\t-43.1\t171.2\t7.05\n",
    ])
}

/// Lists of wires.
pub(crate) fn wires() -> Vec<Vec<u8>> {
    bytes(&[
        r#"{"wires": [{"p1": [0, 0, 2], "p2": [0, 4, 2], "radius_m": 0.001, "segments": 9}], "source": {"wire": 0}, "ground": "free"}"#,
        r#"{"wires": [{"p1": [0, 0, 0], "p2": [0, 0, 5], "radius_m": 0.002}, {"p1": [0, 0, 5], "p2": [2, 0, 5], "radius_m": 0.002}],
            "conductor_s_per_m": 5.8e7, "source": {"wire": 0, "position": 0.1},
            "loads": [{"wire": 1, "r_ohm": 5, "l_h": 1e-6, "c_f": 1e-11}], "ground": {"eps_r": 13, "sigma_s_per_m": 0.005}}"#,
    ])
}

/// Conditions.
pub(crate) fn conditions() -> Vec<Vec<u8>> {
    bytes(&[
        ":Product: Geophysical Alert Message\n:Issued: 2026 Nov 25 1205 UTC\nSolar-terrestrial indices for 24 November follow.\nSolar flux 145 \
         and estimated planetary A-index 8.\nThe estimated planetary K-index at 1200 UTC\non 25 November was 2.33.\n",
        ":Product: 27-day Space Weather Outlook Table\n:Issued: 2026 Dec 07 0215 UTC\n2026 Dec 11 150 5 2\n2026 Dec 12 155 12 4\n",
        r#"[["time_tag","Kp","a_running","station_count"],["2026-12-12 00:00:00.000","1.67","6","8"]]"#,
        r#"[{"time_tag":"2026-12-12T03:00:00","kp_index":2,"estimated_kp":2.33,"kp":"2P"}]"#,
        r#"[["time_tag","kp","observed","noaa_scale"],["2026-12-12 00:00:00","3.67","predicted",null],["2026-12-12 03:00:00","5.00","predicted","G1"]]"#,
        r#"[{"time_tag":"2026-12-11T20:00:00","frequency":2800,"flux":145.0,"ninety_day_mean":150}]"#,
        r#"{"Flux":"145","TimeStamp":"2026-11-24 20:00:00"}"#,
        r#"{"at":"2026-12-12T00:00:00Z","flux_sfu":133,"k":1.5,"fof2":[{"mhz":6.4,"at":"2026-12-12T02:00:00Z","place":"-43.6,172.6"}]}"#,
    ])
}

/// Waypoints.
pub(crate) fn waypoints() -> Vec<Vec<u8>> {
    bytes(&[
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<gpx version=\"1.1\" creator=\"x\" xmlns=\"http://www.topografix.com/GPX/1/1\">\
         <wpt lat=\"-43.5\" lon=\"171.2\"><ele>812</ele><name>Hut &amp; tarn</name><desc>d</desc></wpt>\
         <wpt lat=\"-43.6\" lon=\"171.3\"><name><![CDATA[Top]]></name></wpt></gpx>",
    ])
}

/// Bundles.
pub(crate) fn bundles() -> Vec<Vec<u8>> {
    let content = |role, name: &str, text: &str| Content {
        role,
        name: name.to_owned(),
        bytes: text.as_bytes().to_vec(),
    };
    let contents = [
        content(Role::Outing, "outing.toml", DEMO),
        content(Role::Named, "stations.csv", TABLE),
        content(Role::Journal, "journal.jsonl", LINE),
    ];
    vec![pack(&contents, demo().header.start).expect("a sound bundle")]
}

/// Places, locators, times, hours, names, zones.
pub(crate) fn words() -> Vec<Vec<u8>> {
    bytes(&[
        "-43.48,170.9",
        "43.48S 170.9E",
        "43°28'48\"S 170°54'E",
        "RE46",
        "re46kk",
        "RE46kk12",
        "2026-12-12T01:35:00Z",
        "2026-12-12T14:35+13:00",
        "06:00-09:30, 18:00-22:00",
        "always",
        "Pacific/Auckland",
        "Etc/GMT+12",
        "Q0ABC/P",
        "hut-2",
    ])
}

const LINE: &str = r#"{"key":"k1","entered_at":"2026-12-12T01:00:00Z","account":{"at":"2026-12-12T01:00:00Z","event":{"voltage":{"voltage_v":12.4}}}}
{"key":"k2","entered_at":"2026-12-12T01:10:00Z","words":"call a 7 no","account":{"at":"2026-12-12T01:09:00Z","place":{"site":"hut"},"who":"Q0ABC","event":{"called":{"station":"a","freq_mhz":7.05,"power_w":5.0,"minutes":3.3,"outcome":{"session":{"sent":[{"message":"m","bytes":300,"whole":true}]}}}}}}
{"key":"k3","entered_at":"2026-12-12T01:20:00Z","correction":{"of":"k1","change":"undo"}}
{"key":"k4","entered_at":"2026-12-12T01:30:00Z","correction":{"of":"k2","change":{"replace":{"at":"2026-12-12T01:00:00Z","event":{"note":{"words":"x"}}}}}}
"#;

/// Lines of a journal.
pub(crate) fn lines() -> Vec<Vec<u8>> {
    bytes(&[LINE])
}

/// Short forms: the examples of every one.
pub(crate) fn short() -> Vec<Vec<u8>> {
    let forms = farhop_journal::short::FORMS
        .iter()
        .map(|f| f.example(demo()).into_bytes());
    let times = [
        "volt 12.4\0-20m",
        "volt 12.4\0 14:35",
        "noise 7 S4\0 12 Dec 14:35",
        "swr 7 2.1\0 2026-12-12T01:35Z",
    ];
    forms.chain(bytes(&times)).collect()
}

/// Typed events.
pub(crate) fn typed() -> Vec<Vec<u8>> {
    let station = demo().stations[0].id.as_str();
    let list = format!(
        r#"[{{"called": {{"station": "{station}", "freq_mhz": 7.05, "outcome": "no-answer"}}}},
            {{"key": "a", "at": "2026-12-12T01:35:00Z", "who": "Q0ABC", "event": {{"noise": {{"freq_mhz": 7.0, "bandwidth_hz": 2400, "level":
            {{"meter": {{"s_units": 4, "over_db": 0, "s9_dbm": -73, "unit_db": 6}}}}}}}}}}]"#
    );
    vec![
        list.into_bytes(),
        br#"{"thunder": {}}"#.to_vec(),
        br#"{"weather": {"words": "rain"}}"#.to_vec(),
    ]
}

/// Searches for a fault.
pub(crate) fn search() -> Vec<Vec<u8>> {
    let [first, second] = [0, 1].map(|n| Symptom::ALL[n].words());
    let text = format!(
        r#"{{"symptoms": ["{first}", "{second}"], "in_use": ["whip"], "no_meter": false, "answers": [{{"about": "radio", "measured_output": true, "ok": false}}]}}"#
    );
    vec![text.into_bytes()]
}

/// Requests: the first byte chooses the page.
pub(crate) fn forms() -> Vec<Vec<u8>> {
    let of = |page: u8, body: &str| [&[page], body.as_bytes()].concat();
    vec![
        of(
            0,
            "base=BASE&outing.name=Another+name&message.0.bytes=300&site.0.place=",
        ),
        of(1, "base=BASE&text=%5Bouting%5D%0Aname+%3D+%22A%22%0A"),
        of(2, "base=BASE&add=site&outing.name=x"),
        of(2, "base=BASE&remove=station.0"),
        of(2, "base=BASE&add=kit.antenna&kind=random-wire"),
        of(
            3,
            "base=BASE&table=callsign%2Clat%2Clon%2Cmhz%0AQ0ABC%2C-43.1%2C171.2%2C7.05",
        ),
        of(4, "base=BASE"),
        of(5, r#"{"key": "a", "age_s": 3, "words": "note <b9> & more"}"#),
        of(
            5,
            r#"{"key": "b", "event": {"voltage": {"voltage_v": 12.4}}, "clock_ms": 1e12}"#,
        ),
        of(5, r#"{"key": "c", "undo": "a"}"#),
        of(6, "words=note+%3Cb9%3E"),
        of(6, "reading=volt+%7B%7D&value=+12.4&key=a-reading"),
        of(
            6,
            "channel=a+7.05&message=m&size-m=300&part-m=20&outcome=sent&received=word",
        ),
        of(7, "of=a"),
        of(8, "act=begin&seen0=on&antenna=whip"),
        of(9, "theme=night&back=/"),
        of(10, "antenna=whip&site=ridge&v=3"),
        of(11, "hour=3"),
        of(12, "call=0&by=2"),
        of(13, "hour=99999"),
    ]
}

/// Choices of a sequence of events.
pub(crate) fn days() -> Vec<Vec<u8>> {
    (0..12_u32)
        .map(|day| {
            (0..400_u32)
                .map(|i| (i.wrapping_mul(2_654_435_761).wrapping_add(day * 40_503) >> 13) as u8)
                .collect()
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A sample that nobody understands leads nowhere.
    #[test]
    fn every_sample_is_understood() {
        let texts = |samples: Vec<Vec<u8>>| samples.into_iter().map(|s| String::from_utf8(s).expect("text"));
        for text in texts(outings()) {
            let (file, beside) = text.split_once('\0').unwrap_or((&text, ""));
            let reading = farhop_outing_file::read(file, "outing.toml", &|_| Ok(beside.to_owned()));
            assert!(
                reading.outing.is_some(),
                "{}",
                farhop_outing_file::render_all(&reading.problems)
            );
        }
        for text in texts(wires()) {
            farhop_show::antenna::wire_list::parse(&text).expect("a list of wires");
        }
        for text in texts(conditions()) {
            farhop_exchange::conditions::understand(&text).expect("conditions");
        }
        for text in texts(waypoints()) {
            assert_eq!(farhop_exchange::gpx::waypoints(&text).expect("waypoints").len(), 2);
        }
        for text in texts(lines()) {
            assert_eq!(farhop_journal::from_lines(&text).expect("lines").len(), 4);
        }
        for text in texts(typed()) {
            farhop_journal::typed::typed(&text).expect("events");
        }
        for text in texts(search()) {
            farhop_journal::search::from_text(&text).expect("a search");
        }
        for bundle in bundles() {
            farhop_exchange::bundle::check(&bundle).expect("a bundle");
        }
    }
}
