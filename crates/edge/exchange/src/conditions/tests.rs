//! Each form, what an outing takes from it, and what the outing file's own reader makes of the edited file.
#![allow(clippy::unwrap_used, reason = "helpers of a test may fail loudly")]

use farhop_earth::UtcTime;
use farhop_outing::{Activity, Outing};
use proptest::prelude::*;

use super::*;

fn at(text: &str) -> UtcTime {
    UtcTime::parse(text).unwrap()
}

/// Wording from memory; numbers invented.
const ALERT: &str = "\
:Product: Geophysical Alert Message
:Issued: 2026 Nov 25 1205 UTC
# Prepared by a forecaster: A-index 99, Solar flux 999
#
Solar-terrestrial indices for 24 November follow.
Solar flux 145 and estimated planetary A-index 8.
The estimated planetary K-index at 1200 UTC
on 25 November was 2.33.

No space weather storms were observed for the past 24 hours.
";

const OUTLOOK: &str = "\
:Product: 27-day Space Weather Outlook Table
:Issued: 2026 Dec 07 0215 UTC
#   UTC      Radio Flux   Planetary   Largest
#  Date       10.7 cm      A Index    Kp Index
2026 Dec 11     150           5          2
2026 Dec 12     155          12          4
2026 Dec 13     160          30          5
2026 Dec 14     170           8          3
";

const K_ROWS: &str = r#"[["time_tag","Kp","a_running","station_count"],
["2026-11-25 00:00:00.000","1.67","6","8"],["2026-11-25 03:00:00.000","2.33","9","8"]]"#;
const K_OBJECTS: &str = r#"[{"time_tag":"2026-11-25T03:00:00","kp_index":2,"estimated_kp":2.33,"kp":"2P"},
{"time_tag":"2026-11-25T02:59:00","kp_index":9,"estimated_kp":9.0,"kp":"9o"}]"#;
const K_FORECAST: &str = r#"[["time_tag","kp","observed","noaa_scale"],["2026-12-11 21:00:00","1.00","observed",null],
["2026-12-12 00:00:00","3.67","predicted",null],["2026-12-12 03:00:00","5.00","predicted","G1"],
["2026-12-14 00:00:00","9.00","predicted","G5"]]"#;
const FLUX: &str = r#"[{"time_tag":"2026-11-24T20:00:00","frequency":2800,"flux":145.0,"ninety_day_mean":150},
{"time_tag":"2026-11-24T20:00:00","frequency":1415,"flux":99.0},{"time_tag":"2026-11-23T20:00:00","frequency":2800,"flux":120}]"#;
const SUMMARY: &str = r#"{"Flux":"145","TimeStamp":"2026-11-24 20:00:00"}"#;
const OWN: &str = r#"{"at":"2026-12-12T00:00:00Z","flux_sfu":133,"k":1.5,
"fof2":[{"mhz":6.4,"at":"2026-12-12T02:00:00Z","place":"-43.6,172.6"}]}"#;

fn value(dated: Option<Dated>) -> Option<f64> {
    dated.map(|d| d.value_own_unit)
}

#[test]
fn the_alert_gives_its_three_numbers_with_their_days() {
    let said = understand(ALERT).unwrap();
    assert_eq!(said.form, Form::Alert);
    assert_eq!(said.issued, Some(at("2026-11-25T12:05:00Z")));
    assert_eq!(said.flux_sfu.unwrap().at, Some(at("2026-11-24T00:00:00Z")));
    assert_eq!((value(said.flux_sfu), value(said.a_index)), (Some(145.0), Some(8.0)));
    let k = said.k_index.unwrap();
    assert_eq!((k.value_own_unit, k.at), (2.33, Some(at("2026-11-25T12:00:00Z"))));
}

#[test]
fn the_older_wording_and_the_turn_of_the_year() {
    let old = ":Issued: 2027 Jan 01 0005 UTC\nSolar-terrestrial indices for 31 December follow.\n\
               Solar flux 99 and mid-latitude A-index 12.\nThe mid-latitude K-index at 0000 UTC on 01 January was 3 (29 nT).";
    let said = understand(old).unwrap();
    assert_eq!(said.flux_sfu.unwrap().at, Some(at("2026-12-31T00:00:00Z")));
    assert_eq!((value(said.a_index), value(said.k_index)), (Some(12.0), Some(3.0)));
    assert_eq!(said.k_index.unwrap().at, Some(at("2027-01-01T00:00:00Z")));
}

#[test]
fn lists_give_their_newest_row_in_whatever_order() {
    for (text, k) in [(K_ROWS, 2.33), (K_OBJECTS, 2.33), (K_FORECAST, 1.0)] {
        assert_eq!(value(understand(text).unwrap().k_index), Some(k), "{text}");
    }
    let flux = understand(FLUX).unwrap();
    assert_eq!((value(flux.flux_sfu), flux.flux_mean_sfu), (Some(145.0), Some(150.0)));
    assert_eq!(value(understand(SUMMARY).unwrap().flux_sfu), Some(145.0));
    assert_eq!(understand(K_FORECAST).unwrap().forecast.len(), 3);
}

#[test]
fn an_outing_takes_the_forecast_of_its_own_days() {
    let (start, end) = (at("2026-12-12T01:00:00Z"), at("2026-12-13T20:00:00Z"));
    let taken = propose(&understand(OUTLOOK).unwrap(), start, end);
    let pairs: Vec<(&str, f64)> = taken.values.iter().map(|(k, v, _)| (*k, *v)).collect();
    // Mean of 155 and 160, rounded; the worst K and A of both days.
    assert_eq!(pairs, [("flux_sfu", 158.0), ("k", 5.0), ("a", 30.0)]);
    let taken = propose(&understand(K_FORECAST).unwrap(), start, end);
    assert_eq!(taken.values[0].1, 5.0);
    let later = propose(
        &understand(OUTLOOK).unwrap(),
        start.add_s(86_400 * 30),
        end.add_s(86_400 * 30),
    );
    assert!(
        later.values.is_empty() && later.cautions[0].contains("does not cover"),
        "{later:?}"
    );
}

#[test]
fn a_k_of_another_week_is_left_out_and_said() {
    let said = understand(ALERT).unwrap();
    let old = propose(&said, at("2026-12-12T01:00:00Z"), at("2026-12-13T20:00:00Z"));
    assert_eq!(old.values.len(), 1, "{old:?}");
    assert_eq!(old.values[0].0, "flux_sfu");
    assert!(
        old.cautions.iter().any(|c| c.starts_with("k = 2.33 is left out")),
        "{old:?}"
    );
    let fresh = propose(&said, at("2026-11-26T01:00:00Z"), at("2026-11-26T20:00:00Z"));
    assert_eq!(fresh.values.len(), 3);
}

#[test]
fn what_is_not_understood_is_said() {
    let said = |text: &str| understand(text).unwrap_err().to_string();
    assert!(said("<html>\u{1b}[31mNot found</html>").ends_with("It begins: \"<html> [31mNot found</html>\""));
    assert!(said("").contains("(nothing)"));
    assert!(said("[]").contains("no solar flux"));
    assert!(said("{\"k\": ").contains("not readable as JSON"));
    assert!(said("{\"kp\": 3}").contains("unknown field `kp`"));
    assert!(said("{\"k\": 11}").contains("the K index is 11, and must be 0 to 9"));
    assert!(said(&ALERT.replace("145", "1450")).contains("the solar flux is 1450"));
    assert!(said("{\"ssn\": 90, \"flux_sfu\": 120}").contains("the same thing twice"));
    assert!(said("{\"k\": 1, \"at\": \"yesterday\"}").contains("`at`"));
    assert!(said(&OUTLOOK.replace("          4", "         44")).contains("a forecast K index is 44"));
}

/// Wording from memory; numbers invented.
const STORMY: &str = "\
:Product: Geophysical Alert Message
:Issued: 2026 Dec 11 2105 UTC
Solar flux 145 and estimated planetary A-index 8.
The estimated planetary K-index at 2100 UTC on 11 December was 2.33.
Space weather for the past 24 hours has been moderate.
Radio blackouts reaching the R2 level occurred.
Solar radiation storms reaching the S1 level occurred.
Space weather for the next 24 hours is predicted to be strong.
Geomagnetic storms reaching the G3 level are likely.
Solar radiation storms reaching the S2 level are expected.
";
const ONE_FLARE: &str = "\
Issue Time: 2026 Dec 11 2310 UTC
ALERT: X-Ray Flux exceeded M5
Threshold Reached: 2026 Dec 11 2305 UTC
Scale: R2 - Moderate
";

fn outing_days() -> (UtcTime, UtcTime) {
    (at("2026-12-11T18:00:00Z"), at("2026-12-13T03:00:00Z"))
}

#[test]
fn levels_become_keys_where_their_time_is_known() {
    let (start, end) = outing_days();
    let said = understand(STORMY).unwrap();
    let names: Vec<String> = said.levels.iter().map(Level::words).collect();
    assert_eq!(names, ["R2", "S1", "G3", "S2"]);
    let taken = propose(&said, start, end);
    // G3 begins at K = 7, S1 at 10 and S2 at 100 protons above 10 MeV (scales of the bulletins, from memory).
    let k: Vec<f64> = taken.values.iter().filter(|v| v.0 == "k").map(|v| v.1).collect();
    assert_eq!(k, [7.0]);
    let flux: Vec<f64> = taken.polar_cap.iter().map(|p| p.flux_per_cm2_s_sr).collect();
    assert_eq!(flux, [10.0, 100.0]);
    assert!(taken.flares.is_empty() && taken.cautions.iter().any(|c| c.starts_with("R2 (flares from M5 on)")));
    let flare = propose(&understand(ONE_FLARE).unwrap(), start, end).flares;
    assert_eq!((flare[0].class, flare[0].at), ("M5", at("2026-12-11T23:05:00Z")));
    // A month later none of it says anything.
    let late = propose(
        &understand(ONE_FLARE).unwrap(),
        start.add_s(30 * 86_400),
        end.add_s(30 * 86_400),
    );
    assert!(
        late.is_empty() && late.cautions[0].contains("R2 is left out"),
        "{late:?}"
    );
    let calm = understand(&STORMY.replace("G3", "G1").replace("2.33", "6.00")).unwrap();
    let k = propose(&calm, start, end).values;
    assert!(
        k.iter().any(|v| v.0 == "k" && v.1 == 6.0),
        "the larger one stays: {k:?}"
    );
}

#[test]
fn words_that_only_look_like_levels_are_none() {
    for text in [
        "Take road R1 to hut G2",
        "<html>S3 blackouts</html>",
        "Scale: R2",
        "Scale: R9",
    ] {
        let issued = format!(":Issued: 2026 Dec 11 2105 UTC\n{text}\nSolar flux 100.");
        assert_eq!(understand(&issued).unwrap().levels, [], "{text}");
    }
}

#[test]
fn levels_are_written_once_with_where_they_come_from() {
    let (start, end) = outing_days();
    let proposal = propose(&understand(STORMY).unwrap(), start, end);
    let new = edited(DEMO, &proposal).unwrap();
    let issued = "issued 2026-12-11T21:05:00Z";
    let remark =
        format!("# read: G3 is foretold; geophysical alert text, {issued} | was 4: unsettled, from the broadcast");
    assert!(new.contains(&remark), "{new}");
    let own = outing_of(&new).conditions.clone();
    assert_eq!((own.k_index, own.polar_cap.len()), (Some(7.0), 2));
    assert_eq!(
        edited(&new, &proposal).unwrap(),
        new,
        "the same text once more changes nothing"
    );
    // Our own remark goes when another text comes; that of a person stays.
    let later = propose(
        &understand(&STORMY.replace("Dec 11 2105", "Dec 12 0005").replace("G3", "G1")).unwrap(),
        start,
        end,
    );
    let newer = edited(&new, &later).unwrap();
    let line = newer.lines().find(|l| l.starts_with("k = ")).unwrap();
    assert!(
        line.starts_with("k = 5 ") && !line.contains(issued) && line.contains("was 7: unsettled"),
        "{line}"
    );
    let flare = edited(DEMO, &propose(&understand(ONE_FLARE).unwrap(), start, end)).unwrap();
    let flares = outing_of(&flare).conditions.flares.clone();
    assert!((flares[0].peak_flux_w_per_m2 / 5e-5 - 1.0).abs() < 1e-12);
    // K for each day makes room for the one that is written.
    let by_day = DEMO.replacen("\nk = 2 ", "\nk_by_day = [2, 3] # ", 1);
    assert_eq!(
        outing_of(&edited(&by_day, &proposal).unwrap()).conditions.k_index,
        Some(7.0)
    );
    // Between braces there is no room for remarks.
    let braces = edited("conditions = { k = 1, a = 3 }\n", &proposal).unwrap();
    assert!(!braces.contains('#'), "{braces}");
}

#[test]
fn a_text_from_the_future_is_refused() {
    let said = understand(STORMY).unwrap();
    assert!(said.not_from_the_future(at("2026-12-11T21:00:00Z")).is_ok());
    let why = said
        .not_from_the_future(at("2026-12-11T12:00:00Z"))
        .unwrap_err()
        .to_string();
    assert!(
        why.contains("issued at 2026-12-11T21:05:00Z") && why.contains("clock"),
        "{why}"
    );
}

fn outing_of(text: &str) -> Outing {
    let reading = farhop_outing_file::read(text, "outing.toml", &|_| Err("no other file".to_owned()));
    reading
        .outing
        .unwrap_or_else(|| panic!("{:#?}\n{text}", reading.problems))
}

const DEMO: &str = include_str!("../../../../../examples/demo.toml");

#[test]
fn the_demo_edited_says_the_new_values_and_nothing_else_changes() {
    let (start, end) = (at("2026-12-12T01:00:00Z"), at("2026-12-13T20:00:00Z"));
    for text in [OUTLOOK, OWN] {
        let proposal = propose(&understand(text).unwrap(), start, end);
        let new = edited(DEMO, &proposal).unwrap();
        let conditions = outing_of(&new).conditions.clone();
        let flux = proposal.values.iter().find(|(k, ..)| *k == "flux_sfu").unwrap().1;
        assert_eq!(conditions.activity, Some(Activity::Flux { flux_sfu: flux }));
        let k = proposal.values.iter().find(|(k, ..)| *k == "k").unwrap().1;
        assert_eq!(conditions.k_index, Some(k));
        let before = outing_of(DEMO).conditions.clone();
        assert_eq!(conditions.fof2.len(), before.fof2.len() + proposal.fof2.len());
        // Every line of the file is still there, but for those of the keys that were set.
        let touched = ["ssn", "flux_sfu", "k", "a", "fof2"];
        for line in DEMO.lines() {
            let key = line.split('=').next().unwrap().trim();
            assert!(touched.contains(&key) || new.lines().any(|l| l == line), "lost: {line}");
        }
    }
}

#[test]
fn the_section_as_shown_reads_as_it_stands() {
    let (start, end) = (at("2026-12-12T01:00:00Z"), at("2026-12-13T20:00:00Z"));
    let section = propose(&understand(OWN).unwrap(), start, end).text();
    let without: String = DEMO.split("\n[conditions]").next().unwrap().to_owned();
    let conditions = outing_of(&format!("{without}\n{section}")).conditions.clone();
    assert_eq!(conditions.fof2[0].fof2_mhz, 6.4);
    assert_eq!(conditions.fof2[0].at, at("2026-12-12T02:00:00Z"));
    assert_eq!(conditions.k_index, Some(1.5));
}

#[test]
fn odd_files_keep_their_line_ends_marks_and_comments() {
    let proposal = Proposal {
        values: vec![("flux_sfu", 140.0, String::new()), ("k", 2.5, String::new())],
        ..Proposal::default()
    };
    let crlf = "\u{feff}# remark\r\n[conditions] # here\r\nssn = 80 # guessed\r\nk = 1   # quiet\r\nfof2 = []\r\n";
    let new = edited(crlf, &proposal).unwrap();
    assert!(
        new.starts_with("\u{feff}# remark\r\n[conditions] # here\r\n"),
        "{new:?}"
    );
    assert!(
        new.contains("k = 2.5   # was 1: quiet\r\n") && new.contains("flux_sfu = 140\r\n"),
        "{new:?}"
    );
    assert!(
        !new.contains("ssn") && !new.replace("\r\n", "").contains('\n'),
        "{new:?}"
    );
    let again = edited(&new, &proposal).unwrap();
    assert_eq!(again, new, "the same values once more change nothing");
    let other = Proposal {
        values: vec![("k", 3.0, String::new())],
        ..Proposal::default()
    };
    assert!(edited(&new, &other).unwrap().contains("k = 3   # was 2.5: quiet\r\n"));
    for text in [
        "conditions = { k = 1 }\n",
        "",
        "[conditions]\n[[conditions.fof2]]\nmhz = 5\n",
        "conditions.k = 1\n",
    ] {
        let table: toml_edit::DocumentMut = edited(text, &proposal).unwrap().parse().unwrap();
        assert_eq!(table["conditions"]["k"].as_float(), Some(2.5), "{text}");
    }
    assert!(matches!(
        edited("conditions = 3\n", &proposal),
        Err(EditError::NotASection)
    ));
    assert!(matches!(edited("a = \n", &proposal), Err(EditError::Toml(_))));
}

proptest! {
    #[test]
    fn noise_never_panics(text in "\\PC{0,300}") {
        let _ = understand(&text);
        let _ = understand(&format!("[{text}]"));
        let _ = understand(&format!(":Issued: {text}\nSolar flux {text} A-index {text} K-index at {text} was {text}"));
    }

    #[test]
    fn a_damaged_text_never_gives_what_cannot_be(cut in 0usize..500, digit in "[0-9.]{1,4}") {
        let mut text = ALERT.to_owned();
        if text.is_char_boundary(cut.min(text.len())) {
            text.insert_str(cut.min(text.len()), &digit);
        }
        if let Ok(said) = understand(&text) {
            prop_assert!(value(said.k_index).is_none_or(|k| (0.0..=9.0).contains(&k)));
            prop_assert!(value(said.flux_sfu).is_none_or(|f| (50.0..=400.0).contains(&f)));
        }
    }
}
