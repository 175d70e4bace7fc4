//! With `units = "imperial"` nobody reads a metre, a kilogram or a degree Celsius unless the file's own words say one.

use crate::common::Trip;

/// What a reader of feet does not want to see after a number.
const METRIC: [&str; 5] = ["m", "km", "kg", "g", "°C"];

/// The words after numbers that are metric, each with the line it stands in; `own` are words that the outing file itself says.
fn metric_words(text: &str, own: &[String]) -> Vec<String> {
    let strange = |line: &str| {
        let mut line = line.to_owned();
        for words in own {
            line = line.replace(words.as_str(), " ");
        }
        let words: Vec<&str> = line.split_whitespace().collect();
        let numeric = |w: &str| {
            w.trim_start_matches(['(', '-', '+'])
                .starts_with(|c: char| c.is_ascii_digit())
        };
        words.windows(2).any(|pair| {
            let unit = pair[1].trim_end_matches(['.', ',', ';', ':', ')']);
            numeric(pair[0]) && METRIC.contains(&unit)
        })
    };
    text.lines().filter(|l| strange(l)).map(str::to_owned).collect()
}

#[test]
fn no_report_shows_a_metre_to_a_reader_of_feet() {
    let trip = Trip::new("imperial");
    trip.outing("feet.toml", &[("units = \"metric\" ", "units = \"imperial\" ")]);
    let file = std::fs::read_to_string(trip.file("feet.toml")).unwrap();
    // Names and notes are the operator's own words.
    let quoted = |line: &str| {
        line.split('"')
            .skip(1)
            .step_by(2)
            .map(str::to_owned)
            .collect::<Vec<_>>()
    };
    let mut own: Vec<String> = file.lines().flat_map(quoted).filter(|w| w.len() > 3).collect();
    // The longest first: a short name may stand within a long one.
    own.sort_by_key(|w| std::cmp::Reverse(w.len()));
    assert!(
        own.iter().any(|w| w.contains(" m")),
        "the demo names something by its metres"
    );
    trip.fine(&["log", "weather", "wind", "-3C"]);
    for args in [
        vec!["plan"],
        vec!["plan", "--brief"],
        vec!["energy"],
        vec!["kit"],
        vec!["exposure"],
        vec!["feed"],
        vec!["feed", "--antenna", "link"],
        vec!["next"],
        vec!["now"],
        vec!["debrief"],
        vec!["fault", "--symptom", "no power anywhere"],
        vec!["card", "--html", "-o", "-"],
        vec!["log", "--list"],
    ] {
        let mut all = args.clone();
        if all[0] != "log" {
            all.insert(1, "feet.toml");
        }
        let output = trip.run(&all);
        let said = String::from_utf8_lossy(&output.stdout)
            .replace('<', " <")
            .replace('>', "> ");
        assert!(
            !said.trim().is_empty(),
            "{all:?}: {}",
            String::from_utf8_lossy(&output.stderr)
        );
        let metric = metric_words(&said, &own);
        assert!(metric.is_empty(), "{all:?}:\n{}", metric.join("\n"));
    }
}

#[test]
fn the_search_for_metric_words_finds_them() {
    let found = metric_words(
        "hang it 9.0 m up\n30 ft up\nat 12 °C.\nthe 10 m wire",
        &["10 m wire".to_owned()],
    );
    assert_eq!(found, ["hang it 9.0 m up", "at 12 °C."]);
}
