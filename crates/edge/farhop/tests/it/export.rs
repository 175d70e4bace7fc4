//! `farhop export` and `farhop import` as a user runs them, and their output against the published schemas.

use std::path::{Path, PathBuf};

use crate::common::run::{example, fresh_folder, refused_in as refused, said_in as fine};
use serde_json::{Map, Value};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../..")
}

fn read(folder: &Path, name: &str) -> String {
    std::fs::read_to_string(folder.join(name)).unwrap()
}

fn schema(name: &str) -> jsonschema::Validator {
    let text = read(&root().join("docs/schema"), name);
    let schema: Value = serde_json::from_str(&text).unwrap();
    jsonschema::meta::validate(&schema).unwrap();
    jsonschema::options()
        .should_validate_formats(true)
        .build(&schema)
        .unwrap()
}

/// Everything in a value that does not hold against a schema, in words.
fn flaws(schema: &jsonschema::Validator, value: &Value) -> Vec<String> {
    schema
        .iter_errors(value)
        .take(5)
        .map(|e| format!("{}: {e:.200}", e.instance_path()))
        .collect()
}

const AGAIN: &str = "has a shape changed? FARHOP_WRITE_PAGES=1 cargo test -p farhop-show -p farhop-exchange --lib schema writes the schemas anew";

/// Rows of a table as the schemas describe them: a cell with a number is a number, an empty cell is null. Columns of words stay words.
fn rows(text: &str, words: &[&str]) -> Vec<Value> {
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let head = reader.headers().unwrap().clone();
    let cell = |name: &str, text: &str| match text {
        "" => Value::Null,
        text if words.contains(&name) => Value::from(text),
        text => text.parse::<f64>().map_or(Value::from(text), Value::from),
    };
    let records = reader.records().map(Result::unwrap);
    records
        .map(|r| {
            head.iter()
                .zip(&r)
                .map(|(n, t)| (n.to_owned(), cell(n, t)))
                .collect::<Map<_, _>>()
        })
        .map(Value::Object)
        .collect()
}

#[test]
fn all_formats_are_written_at_once_and_hold_against_their_schemas() {
    let folder = fresh_folder("export-all");
    let outing = example("demo.toml");
    let args = [
        "export",
        &outing,
        "--calendar",
        "a.ics",
        "--geojson",
        "a.geojson",
        "--gpx",
        "a.gpx",
        "--csv",
        "a.csv",
        "--budgets",
        "b.csv",
        "--json",
        "a.json",
    ];
    assert_eq!(fine(&folder, &args), "", "nothing on standard output");
    let plan: Value = serde_json::from_str(&read(&folder, "a.json")).unwrap();
    assert_eq!(
        flaws(&schema("plan.schema.json"), &plan),
        Vec::<String>::new(),
        "{AGAIN}"
    );
    let words = ["site", "station", "callsign", "antenna", "message", "mode"];
    for (file, name) in [
        ("a.csv", "windows-row.schema.json"),
        ("b.csv", "budgets-row.schema.json"),
    ] {
        let (schema, rows) = (schema(name), rows(&read(&folder, file), &words));
        assert!(rows.len() > 4, "{file} has {} rows", rows.len());
        for row in &rows {
            assert_eq!(flaws(&schema, row), Vec::<String>::new(), "{file}: {AGAIN}");
        }
    }
    let calendar = read(&folder, "a.ics");
    let count = |list: &Value| list.as_array().unwrap().len();
    let sent: usize = plan["schedule"]
        .as_array()
        .unwrap()
        .iter()
        .map(|s| count(&s["messages"]))
        .sum();
    assert_eq!(
        calendar.matches("BEGIN:VEVENT").count(),
        sent + count(&plan["messages"]),
        "a send of each message, and a deadline of each"
    );
    let geo: Value = serde_json::from_str(&read(&folder, "a.geojson")).unwrap();
    assert!(geo["features"].as_array().unwrap().len() > 9);
    assert!(read(&folder, "a.gpx").contains("<gpx "));
    // Again: nothing is touched, and said before any work; then as asked.
    std::fs::write(folder.join("a.csv"), "mine").unwrap();
    let said = refused(&folder, &["export", &outing, "--csv", "a.csv"]);
    assert!(
        said.contains("a.csv exists and was left as it is") && said.contains("--replace"),
        "{said}"
    );
    assert_eq!(read(&folder, "a.csv"), "mine");
    fine(&folder, &["export", &outing, "--csv", "a.csv", "--replace"]);
    assert!(read(&folder, "a.csv").starts_with("site,station,"));
    assert_eq!(std::fs::read_dir(&folder).unwrap().count(), 6, "no half file is left");
}

#[test]
fn the_schema_would_notice_what_is_wrong() {
    let folder = fresh_folder("export-notice");
    let text = fine(&folder, &["export", &example("equator.toml"), "--json", "-"]);
    let plan: Value = serde_json::from_str(&text).unwrap();
    let schema = schema("plan.schema.json");
    assert_eq!(flaws(&schema, &plan), Vec::<String>::new(), "{AGAIN}");
    for (path, wrong) in [
        ("/messages/0/chance/probability", Value::from(1.5)),
        ("/bottom_line/word", Value::from("perhaps")),
        ("/schedule/0/start", Value::from("12 December")),
        ("/schedule/0/route/freq_mhz", Value::Null),
        ("/messages", Value::from(3)),
    ] {
        let mut broken = plan.clone();
        *broken.pointer_mut(path).unwrap() = wrong;
        assert!(!flaws(&schema, &broken).is_empty(), "{path}");
    }
    let mut more = plan.clone();
    more.as_object_mut().unwrap().insert("extra".to_owned(), Value::Null);
    assert!(!flaws(&schema, &more).is_empty());
    let every_hour = fine(&folder, &["export", &example("equator.toml"), "--json", "-", "--full"]);
    let every_hour: Value = serde_json::from_str(&every_hour).unwrap();
    assert!(!every_hour["strips"].as_array().unwrap().is_empty());
    assert_eq!(flaws(&schema, &every_hour), Vec::<String>::new(), "{AGAIN}");
    // The same as the plan says itself.
    let own = fine(&folder, &["plan", &example("equator.toml"), "--json"]);
    assert_eq!(text, own);
}

#[test]
fn what_cannot_be_asked_for_is_said() {
    let folder = fresh_folder("export-asked");
    assert!(refused(&folder, &["export"]).contains("say what to export"));
    assert!(refused(&folder, &["export", "--csv", "x", "--json", "x"]).contains("named twice"));
    assert!(refused(&folder, &["export", "--csv", "-", "--json", "-"]).contains("named twice"));
    let outing = example("equator.toml");
    assert!(refused(&folder, &["export", &outing, "--csv", "no/such/folder/a.csv"]).contains("no/such/folder/a.csv"));
}

const GPX: &str = "<gpx version=\"1.1\"><wpt lat=\"46.5712\" lon=\"8.415\"><ele>2123.4</ele><name>Crest &amp; cairn</name>\
                   <desc>windy</desc></wpt><wpt lat=\"46.6\" lon=\"8.5\"><name>Hut</name></wpt></gpx>";

#[test]
fn waypoints_become_sites_of_a_new_or_an_existing_outing() {
    let folder = fresh_folder("export-import");
    std::fs::write(folder.join("a.gpx"), GPX).unwrap();
    let shown = fine(&folder, &["import", "a.gpx"]);
    assert!(
        shown.starts_with("[[site]]\nid = \"crest-cairn\"\nname = \"Crest & cairn\"\nplace = \"46.571200,8.415000\"\n")
    );
    fine(&folder, &["new", "mine", "--sites", "a.gpx"]);
    let said = fine(&folder, &["check", "mine/outing.toml"]);
    assert!(said.contains("2 sites"), "{said}");
    // Once more would put two sites at one place, which the outing refuses: the file stays.
    let before = read(&folder, "mine/outing.toml");
    let said = refused(&folder, &["import", "a.gpx", "--into", "mine/outing.toml"]);
    assert!(said.contains("same place") && said.contains("left as it is"), "{said}");
    assert_eq!(read(&folder, "mine/outing.toml"), before);
    std::fs::write(folder.join("b.gpx"), GPX.replace("46.", "47.")).unwrap();
    fine(&folder, &["import", "b.gpx", "--into", "mine/outing.toml"]);
    let after = read(&folder, "mine/outing.toml");
    assert!(
        after.starts_with(&before) && after.contains("id = \"hut-2\""),
        "{after}"
    );
    assert!(fine(&folder, &["check", "mine/outing.toml"]).contains("4 sites"));
}

#[test]
fn files_that_hold_no_waypoint_are_refused() {
    let folder = fresh_folder("export-no-gpx");
    for (text, wanted) in [
        ("<gpx></gpx>", "no waypoint"),
        ("<html></html>", "no GPX"),
        ("<gpx><wpt lat='99' lon='1'/></gpx>", "latitude 99"),
        ("hello", "holds no GPX"),
    ] {
        std::fs::write(folder.join("a.gpx"), text).unwrap();
        let said = refused(&folder, &["import", "a.gpx"]);
        assert!(said.contains(wanted), "{said}");
    }
    assert!(refused(&folder, &["import", "none.gpx"]).contains("none.gpx"));
    assert!(!folder.join("mine").exists());
    refused(&folder, &["new", "mine", "--sites", "none.gpx"]);
    assert!(
        !folder.join("mine").exists(),
        "nothing is begun with sites that cannot be read"
    );
}

/// Great-circle distance by the haversine formula on a sphere of 6 371 km (textbook), m.
fn haversine_m(a: [f64; 2], b: [f64; 2]) -> f64 {
    let [(lon1, lat1), (lon2, lat2)] = [a, b].map(|[lon, lat]| (lon.to_radians(), lat.to_radians()));
    let h = ((lat2 - lat1) / 2.0).sin().powi(2) + lat1.cos() * lat2.cos() * ((lon2 - lon1) / 2.0).sin().powi(2);
    2.0 * 6_371_000.0 * h.sqrt().asin()
}

#[test]
fn every_antenna_in_use_has_a_circle_to_keep_away_from() {
    let folder = fresh_folder("export-circles");
    let outing = example("demo.toml");
    fine(
        &folder,
        &["export", &outing, "--geojson", "a.geojson", "--json", "a.json"],
    );
    let geo: Value = serde_json::from_str(&read(&folder, "a.geojson")).unwrap();
    let plan: Value = serde_json::from_str(&read(&folder, "a.json")).unwrap();
    let features = geo["features"].as_array().unwrap();
    let circles: Vec<&Value> = features
        .iter()
        .filter(|f| f["properties"]["kind"] == "keep-away")
        .collect();
    assert!(!circles.is_empty());
    for circle in &circles {
        let of = |key: &str| &circle["properties"][key];
        // What the plan says for others on any band of this antenna there; the wider one wins.
        let told = plan["safety"].as_array().unwrap().iter();
        let told = told.filter(|s| s["site"] == *of("site") && s["antenna"] == *of("antenna"));
        let most_m = told.filter_map(|s| s["near"]["others_m"].as_f64()).fold(0.0, f64::max);
        let radius_m = of("radius_m").as_f64().unwrap();
        assert!(
            most_m > 0.0 && (most_m..most_m + 0.11).contains(&radius_m),
            "{most_m} {radius_m}"
        );
        let point = |p: &Value| [p[0].as_f64().unwrap(), p[1].as_f64().unwrap()];
        let home = features
            .iter()
            .find(|f| f["id"] == format!("site:{}", of("site").as_str().unwrap()))
            .map(|f| point(&f["geometry"]["coordinates"]))
            .unwrap();
        let ring: Vec<[f64; 2]> = circle["geometry"]["coordinates"][0]
            .as_array()
            .unwrap()
            .iter()
            .map(point)
            .collect();
        assert_eq!(ring.first(), ring.last(), "closed");
        // Seven decimals of a degree are a centimetre.
        for corner in &ring {
            assert!((haversine_m(home, *corner) - radius_m).abs() < 0.03, "{corner:?}");
        }
        // Counter-clockwise (RFC 7946 §3.1.6): twice the area after the shoelace formula is positive.
        let area: f64 = ring.windows(2).map(|p| p[0][0] * p[1][1] - p[1][0] * p[0][1]).sum();
        assert!(area > 0.0);
    }
}
