//! What people write in other ways than the guide, and what is said where it cannot be taken.

use farhop_outing::Outing;
use farhop_outing_file::{Reading, read, render_all};

const HEAD: &str = "[outing]\nstart = 2026-12-12\nend = 2026-12-13\n[[site]]\nid = \"hill\"\nplace = \"46.8,8.1\"\n";
const TAIL: &str = "[[kit.antenna]]\nid = \"vee\"\nkind = \"inverted-v\"\nlength_m = 20\napex_height_m = 6\nend_height_m = 1.5\n\
                    [[kit.battery]]\nid = \"b\"\ncapacity_ah = 5\n";
const STATION: &str = "[[station]]\ncallsign = \"Q1ELM\"\nplace = \"47.6,9.3\"\n";
const MESSAGE: &str = "[[message]]\nid = \"first\"\nbytes = 300\n";

fn reading(middle: &str, table: &str) -> Reading {
    read(&format!("{HEAD}{middle}{TAIL}"), "mine.toml", &|_| Ok(table.to_owned()))
}

fn sound(middle: &str, table: &str) -> Outing {
    let reading = reading(middle, table);
    let said = render_all(&reading.problems);
    reading.outing.unwrap_or_else(|| panic!("{said}"))
}

fn refused(middle: &str) -> String {
    let reading = reading(middle, "");
    assert!(reading.outing.is_none());
    render_all(&reading.problems)
}

#[test]
fn a_bare_frequency_is_a_channel_of_the_usual_width() {
    let written_out = sound(
        &format!("{STATION}channels = [{{ mhz = 7.05 }}, {{ mhz = 10.12 }}]\n{MESSAGE}"),
        "",
    );
    for bare in ["[7.05, 10.12]", "[7.05, { mhz = 10.12 }]", "[{ mhz = 7.05 }, 10.12]"] {
        let outing = sound(&format!("{STATION}channels = {bare}\n{MESSAGE}"), "");
        assert_eq!(outing.stations, written_out.stations, "{bare}");
    }
    let one = sound(&format!("{STATION}channels = 7.05\n{MESSAGE}"), "");
    assert_eq!(one.stations[0].channels.len(), 1);
}

#[test]
fn a_wrong_bare_frequency_is_shown_where_it_stands() {
    let said = refused(&format!("{STATION}channels = [7.05, 7050]\n{MESSAGE}"));
    assert!(said.contains("line 10, column 19") && said.contains("kHz"), "{said}");
    let said = refused(&format!("{STATION}channels = [\"7.05\"]\n{MESSAGE}"));
    assert!(said.contains("in `channels` stands"), "{said}");
}

#[test]
fn a_message_is_its_text_or_its_bytes() {
    let stations = format!("{STATION}channels = 7.05\n");
    let outing = sound(
        &format!("{stations}[[message]]\nid = \"first\"\ntext = \"Arrivé, all well\"\n"),
        "",
    );
    // UTF-8 (RFC 3629): é has two bytes.
    assert_eq!(outing.messages[0].size_bytes, 17);
    let said = refused(&format!(
        "{stations}[[message]]\nid = \"first\"\ntext = \"a\"\nbytes = 3\n"
    ));
    assert!(said.contains("both `text` and `bytes`"), "{said}");
    let said = refused(&format!("{stations}[[message]]\nid = \"first\"\ntext = \"\"\n"));
    assert!(said.contains("0"), "{said}");
    let said = refused(&format!("{stations}[[message]]\nid = \"first\"\n"));
    assert!(said.contains("text = "), "{said}");
    let said = refused(&format!("{stations}[[message]]\nid = \"first\"\ntext = 5\n"));
    assert!(said.contains("a text in quotes") && said.contains("1 error."), "{said}");
}

#[test]
fn a_table_of_other_countries_is_the_same_table() {
    let from_table = format!("[stations_csv]\nfile = \"s.csv\"\n{MESSAGE}");
    let plain = "# remark; with, signs\ncallsign,name,lat,lon,mhz,bandwidth_hz\nQ1ELM,Elm,47.6,9.3,7.05,500\nQ2ASH,Ash,47.0,-9.5,10.144,500\n";
    let wanted = sound(&from_table, plain).stations.clone();
    assert_eq!(wanted.len(), 2);
    let others = [
        plain.replace(',', ";").replace('.', ","),
        plain.replace(',', "\t").replace('.', ","),
        plain.replace(',', ";"),
    ];
    for table in others {
        assert_eq!(sound(&from_table, &table).stations, wanted, "{table}");
    }
    // What is said goes before what is found.
    let said = format!("[stations_csv]\nfile = \"s.csv\"\ndelimiter = \";\"\n{MESSAGE}");
    assert!(reading(&said, plain).outing.is_none());
    // A comma that parts columns is no decimal comma.
    let broken = plain.replace("7.05", "\"7,05\"");
    let reading = reading(&from_table, &broken);
    assert!(render_all(&reading.problems).contains("mhz is \"7,05\""));
}

#[test]
fn places_may_have_minutes_and_a_broken_one_is_named() {
    let place =
        |text: &str| format!("[[station]]\ncallsign = \"Q1ELM\"\nplace = \"{text}\"\nchannels = 7.05\n{MESSAGE}");
    let outing = sound(&place("47°36'N 9°18'E"), "");
    let found = outing.stations[0].place;
    assert!((found.lat_deg() - 47.6).abs() < 1e-9 && (found.lon_deg() - 9.3).abs() < 1e-9);
    let said = refused(&place("47°66'N 9°18'E"));
    assert!(said.contains("47°66'N") && said.contains("43°35.4'S"), "{said}");
}

#[test]
fn a_dipole_is_asked_which_one() {
    let text = format!("{HEAD}{STATION}channels = 7.05\n{MESSAGE}{TAIL}").replace("inverted-v", "dipole");
    let reading = read(&text, "mine.toml", &|_| Err(String::new()));
    let said = render_all(&reading.problems);
    assert!(
        said.contains("\"flat-dipole\"") && said.contains("\"inverted-v\""),
        "{said}"
    );
}
