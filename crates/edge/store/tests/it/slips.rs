//! Usual slips are asked about, sound outings are not.

use farhop_outing_file::{Problem, Severity, read};
use farhop_store::short::{Setting, understand};
use farhop_vectors::{Row, table};

use crate::common::table::{DEMO, EQUATOR, NORTH, outing};

/// Part of the slips that must be told with the right name (dimensionless).
const TOLD: f64 = 0.9;
/// Part of the sound outings that may be asked about (dimensionless).
const FALSE_ALARMS: f64 = 0.02;

fn cell(row: &Row, name: &str) -> String {
    row.text(name).replace("\\n", "\n")
}

fn problems(text: &str) -> Vec<Problem> {
    read(text, "t.toml", &|name| Err(format!("no {name} here"))).problems
}

fn names(problems: &[Problem]) -> Vec<&'static str> {
    let name = |p: &Problem| match p.severity {
        Severity::Error => "error",
        Severity::Caution => "caution",
        Severity::Question => p.check.unwrap_or("question"),
    };
    problems.iter().map(name).collect()
}

/// What is said of a slip: names of checks, `error`, `caution`.
fn said(row: &Row) -> Vec<String> {
    let (base, typed) = (cell(row, "base"), cell(row, "typed"));
    if base == "log" {
        return said_of_entry(&typed);
    }
    let mut text = match base.as_str() {
        "demo" => DEMO,
        "north" => NORTH,
        "equator" => EQUATOR,
        other => panic!("no outing {other}"),
    }
    .to_owned();
    for (find, by) in cell(row, "find").split("||").zip(typed.split("||")) {
        assert!(text.contains(find), "{}: {find} is not in {base}", cell(row, "what"));
        text = text.replacen(find, by, 1);
    }
    names(&problems(&text)).into_iter().map(str::to_owned).collect()
}

fn said_of_entry(words: &str) -> Vec<String> {
    let outing = outing(DEMO);
    let setting = Setting {
        outing: &outing,
        entries: &[],
        now: outing.header.start.add_s(7 * 3_600),
        at: None,
        who: None,
    };
    match understand(words, &setting) {
        Err(_) => vec!["error".to_owned()],
        Ok(found) => {
            let asked = found.cautions.iter().filter(|c| c.starts_with("is it meant?"));
            let ids = asked.filter_map(|c| {
                let all = farhop_plausible::CHECKS.iter();
                all.filter(|k| c.contains(k.why)).map(|k| k.id.to_owned()).next()
            });
            ids.collect()
        }
    }
}

#[test]
fn nine_of_ten_slips_are_told_with_their_name() {
    let rows = table("plausible/slips.csv");
    assert!(rows.len() >= 80);
    let mut missed = Vec::new();
    for row in &rows {
        let (wanted, found) = (cell(row, "said"), said(row));
        if !found.contains(&wanted) {
            missed.push(format!(
                "{} ({}): {found:?}, not {wanted}",
                cell(row, "what"),
                cell(row, "base")
            ));
        }
    }
    let told = 1.0 - missed.len() as f64 / rows.len() as f64;
    println!(
        "{} of {} slips told\n{}",
        rows.len() - missed.len(),
        rows.len(),
        missed.join("\n")
    );
    assert!(told >= TOLD, "{told:.3}: {missed:#?}");
}

/// Kits of sound outings: what goes into the site, and the kit.
fn kit(name: &str) -> (&'static str, String) {
    let battery = "[[kit.battery]]\nid = \"b\"\ncapacity_ah = 6\n[kit.modem]\nidle_w = 0.4\n";
    let linked = "[[kit.antenna]]\nid = \"a\"\nkind = \"linked-dipole\"\nleg_lengths_m = [5.05, 7.0, 10.1, 13.4, 19.8]\n\
                  apex_height_m = 6\nend_height_m = 1.5\nmhz = [14.1, 10.14, 7.05, 5.36, 3.6]\n";
    let endfed = "[[kit.antenna]]\nid = \"a\"\nkind = \"end-fed\"\nwire_m = 21.6\nfeed_height_m = 0.6\nfar_height_m = 8\n\
                  counterpoise_m = 6.5\ntransformer_ratio = 9\n[kit.tuner]\nkind = \"automatic\"\n";
    let (site, antenna) = match name {
        "linked" => ("elevation_m = 1200\nwalk_in_h = 3\ntemperature_c = 5\n", linked),
        "endfed" => (
            "elevation_m = 300\nwalk_in_h = 6\nhorizon = [[0, 3], [120, 15], [240, 8]]\n",
            endfed,
        ),
        "hot" => (
            "temperature_c = 46\nnight_temperature_c = 31\nelevation_m = -80\n",
            endfed,
        ),
        "cold" => (
            "temperature_c = -44\nnight_temperature_c = -50\nwalk_in_h = 1\n",
            linked,
        ),
        "high" => (
            "elevation_m = 5360\nwalk_in_h = 30\nhorizon = [[0, 28], [180, 20]]\nhorizon_distance_km = 5\n",
            endfed,
        ),
        "low" => ("elevation_m = -428\nnoise = \"rural\"\n", linked),
        "gully" => (
            "elevation_m = 1900\nhorizon = [[0, 45], [90, 18], [180, 52], [270, 15]]\nhorizon_distance_km = 1.5\n",
            linked,
        ),
        "thin" => (
            "",
            "[[kit.antenna]]\nid = \"a\"\nkind = \"flat-dipole\"\nlength_m = 20.3\nheight_m = 3\nmhz = [7.05]\n",
        ),
        "doublet" => (
            "walk_in_h = 0.5\n",
            "[[kit.antenna]]\nid = \"a\"\nkind = \"inverted-v\"\nlength_m = 27\napex_height_m = 9\nend_height_m = 2\n\
             feedline = \"l\"\n[[kit.feedline]]\nid = \"l\"\nline = \"ladder-450\"\nlength_m = 12\n[kit.tuner]\nkind = \"manual-t\"\n",
        ),
        "vertical" => (
            "ground = \"sea\"\n",
            "[[kit.antenna]]\nid = \"a\"\nkind = \"vertical\"\nlength_m = 10.1\nradials = 16\nradial_m = 10\nmhz = [7.05]\n",
        ),
        "loop" => (
            "walk_in_h = 2\n",
            "[[kit.antenna]]\nid = \"a\"\nkind = \"small-loop\"\ndiameter_m = 0.9\nconductor_diameter_mm = 12\n\
             capacitor_max_pf = 600\nmhz = [7.05, 10.14, 14.1]\n",
        ),
        "car" => ("walk_in_h = 0\n", endfed),
        other => panic!("no kit {other}"),
    };
    let battery = if name == "car" {
        battery.replace("capacity_ah = 6", "capacity_ah = 100")
    } else {
        battery.to_owned()
    };
    (
        site,
        format!("[kit.transceiver]\npower_levels_w = [2.5, 5]\n{antenna}{battery}"),
    )
}

fn sound(row: &Row) -> String {
    let (site, kit) = kit(&cell(row, "kit"));
    let mut text = format!(
        "[outing]\nstart = {}\nend = {}\ntime_zone = \"{}\"\n",
        cell(row, "start"),
        cell(row, "end"),
        cell(row, "time_zone")
    );
    let allocation = cell(row, "allocation");
    if !allocation.is_empty() {
        text += &format!("allocation = \"{allocation}\"\n");
    }
    for (i, place) in cell(row, "sites").split(';').enumerate() {
        text += &format!("[[site]]\nid = \"site-{i}\"\nplace = \"{place}\"\n{site}");
    }
    for (i, place) in cell(row, "stations").split(';').enumerate() {
        text += &format!(
            "[[station]]\ncallsign = \"Q{i}ABC\"\nplace = \"{place}\"\nchannels = [{{ mhz = 7.045, bandwidth_hz = 500 }}, {{ mhz = 10.143, bandwidth_hz = 500 }}, {{ mhz = 14.107, bandwidth_hz = 500 }}]\n"
        );
    }
    let end = cell(row, "end");
    text + &format!(
        "[[message]]\nid = \"m\"\nbytes = 700\ndeadline = {end}\n{kit}[conditions]\n{}\n",
        cell(row, "conditions")
    )
}

#[test]
fn sound_outings_are_hardly_asked_about() {
    let rows = table("plausible/sound.csv");
    assert!(rows.len() >= 60);
    let mut texts: Vec<(String, String)> = rows.iter().map(|r| (cell(r, "name"), sound(r))).collect();
    texts.extend([("demo", DEMO), ("north", NORTH), ("equator", EQUATOR)].map(|(n, t)| (n.to_owned(), t.to_owned())));
    let (mut asked, mut broken) = (Vec::new(), Vec::new());
    for (name, text) in &texts {
        let problems = problems(text);
        let errors = problems.iter().filter(|p| p.is_error());
        broken.extend(errors.map(|p| format!("{name}: {}", p.cause)));
        let questions = problems.iter().filter(|p| p.severity == Severity::Question);
        let lines: Vec<String> = questions
            .map(|p| format!("{name}: {:?} {}", p.check, p.cause))
            .collect();
        if !lines.is_empty() {
            asked.push(lines.join("; "));
        }
    }
    assert!(broken.is_empty(), "{broken:#?}");
    let share = asked.len() as f64 / texts.len() as f64;
    println!(
        "{} of {} sound outings asked about\n{}",
        asked.len(),
        texts.len(),
        asked.join("\n")
    );
    assert!(share < FALSE_ALARMS, "{share:.3}: {asked:#?}");
}

/// Entries of a usual day are taken without a question.
#[test]
fn usual_entries_are_not_asked_about() {
    for words in [
        "call larch 7.05 ok arrived 6min",
        "call larch 7.05 no",
        "call larch 7.05 ok 300 6 8",
        "call larch 7.05 no 2.5W",
        "volt 12.9",
        "volt 11.1",
        "volt 5.1",
        "panel 0.9",
        "swr 7.05 2.1",
        "swr 7.05 12",
        "antenna link apex 5 m, ends 1 m",
        "weather snow -6C",
        "weather sun 24C",
        "at -43.45,170.86",
        "noise 7 S4",
        "noise 7 -105",
        "flux 130 a 12 k 4",
        "fof2 6.8",
        "write thanks 250",
        "power 4.5 W 7.05",
        "heard larch 7.05 8dB",
    ] {
        assert_eq!(said_of_entry(words), [] as [&str; 0], "{words}");
    }
}
