//! Short forms as they are typed, on the demo outing.

use crate::common::table::{DEMO, EQUATOR, NORTH, Table, outing};
use farhop_store::file_of;
use farhop_store::short::{FORMS, help};
use proptest::prelude::*;

#[test]
fn a_call_needs_four_words_and_takes_the_rest_from_the_day() {
    let mut table = Table::new();
    let (said, taken) = table.enter("call larch 3.59 no");
    assert_eq!(
        said,
        "Entry 1: Sat 12 Dec 14:00 at Kea ridge: called Larch on 3.5915 MHz, 5 W into End-fed wire: no answer."
    );
    assert_eq!(
        taken,
        "3.59 as 3.5915 MHz, the channel of Larch; End-fed wire, the first for this frequency; 5 W, the usual setting"
    );
    table.enter("c lar 5 fail on link 2.5w");
    let (said, taken) = table.enter("call alder 7.0515 ok 300 6 8");
    assert_eq!(
        said,
        "Entry 3: Sat 12 Dec 13:54 at Kea ridge: called Alder on 7.0515 MHz, 2.5 W into Linked dipole: delivered \
         arrived, 300 bytes in 6 min, reported SNR 8 dB."
    );
    assert_eq!(
        taken,
        "Linked dipole as in entry 2; 2.5 W as in entry 2; message arrived, the only one left of 300 bytes"
    );
}

#[test]
fn a_call_is_read_in_any_order_behind_the_outcome() {
    let table = Table::new();
    for (text, expected) in [
        ("call larch 7 ok arrived 6", "delivered arrived, 300 bytes in 6 min"),
        (
            "call Q0LAR 7 OK 6 min arrived -3dB",
            "delivered arrived, 300 bytes in 6 min, reported SNR -3 dB",
        ),
        ("call larch 7 sent 1200b 14m", "delivered stores, 1200 bytes in 14 min"),
        ("call larch 7 ok 280 5 arr", "sent part of arrived, 280 bytes in 5 min"),
        ("call larch 7 ok 300 on loop 5", "delivered arrived, 300 bytes in 5 min"),
        ("call larch 7 link 3", "linked for 3 min, nothing delivered"),
        ("call larch 7 n", "no answer"),
        ("call larch 7 no 5", "no answer in 5 min"),
        (
            "call larch 7 heard 5 -8",
            "heard, but no link in 5 min, reported SNR -8 dB",
        ),
        ("call larch 7.2 exact no", "called Larch on 7.2 MHz"),
        ("call larch 7049,5 no", "called Larch on 7.0495 MHz"),
        ("call larch 7 no wire", "into End-fed wire: no answer"),
        ("call larch 7 no 1w with loop", "1 W into Small loop: no answer"),
    ] {
        assert!(table.said(text).contains(expected), "{text}: {}", table.said(text));
    }
}

#[test]
fn readings_are_told_back_with_their_units() {
    let table = Table::new();
    for (text, expected) in [
        ("noise 3.6 S4", "noise on 3.6 MHz S4, that is -103 dBm in 2400 Hz"),
        ("noise 7 -105 2400", "noise on 7 MHz -105 dBm in 2400 Hz"),
        ("noise 7 -105 dBm 0.5", "noise on 7 MHz -105 dBm in 500 Hz"),
        (
            "noise 7050 s9 +10 500 Hz",
            "noise on 7.05 MHz S9+10 dB, that is -63 dBm in 500 Hz",
        ),
        ("noi 7 S3.5 2.4kHz", "noise on 7 MHz S3.5, that is -106 dBm in 2400 Hz"),
        ("heard coral 10.1 S5", "heard Coral on 10.1395 MHz at S5"),
        (
            "heard Q9XYZ 14.1 12dB",
            "heard Q9XYZ on 14.1 MHz at 12 dB over the noise",
        ),
        ("heard beacon Hilltop 14.1", "heard Hilltop on 14.1 MHz"),
        ("swr 7.05 2.1", "SWR 2.1 on 7.05 MHz into Linked dipole"),
        ("swr 3.59 3,4:1 wire", "SWR 3.4 on 3.59 MHz into End-fed wire"),
        ("volt 12.4", "battery at 12.4 V"),
        ("v 12,4 V", "battery at 12.4 V"),
        ("panel 600mA", "0.6 A from the panel"),
        (
            "weather drizzle, wind from the west 6C",
            "weather: drizzle, wind from the west, 6 °C",
        ),
        ("weather 41F", "weather: 5 °C"),
        ("k 4", "broadcast: K index 4"),
        ("flux 130 a 12 k 4", "broadcast: solar flux 130, A index 12, K index 4"),
        ("at hut", "at Tarn hut from now on"),
        ("at -43.5,170.9", "at -43.5000,170.9000 from now on"),
        ("antenna link apex at 4 m", "Linked dipole is up: apex at 4 m"),
        ("write thanks 250", "message thanks written, 250 bytes"),
        ("withdraw diary", "message diary withdrawn"),
        ("note the  kea took a link", "note: the  kea took a link"),
    ] {
        assert_eq!(table.said(text), expected, "{text}");
    }
}

#[test]
fn late_entries_take_what_was_so_at_their_time() {
    let mut table = Table::new();
    table.enter_at(Some("12:10"), "antenna link");
    table.enter_at(Some("13:30"), "antenna wire");
    let (said, taken) = table.enter_at(Some("13:00"), "call larch 7 no");
    assert!(said.contains("13:00") && said.contains("Linked dipole"), "{said}");
    assert!(taken.contains("Linked dipole as in entry 1"), "{taken}");
    let (said, _) = table.enter("13:40 call larch 7 no");
    assert!(said.contains("13:40") && said.contains("End-fed wire"), "{said}");
    // A time that is given is the beginning; without one the minutes are counted back from now.
    let (said, _) = table.enter_at(Some("13:45"), "call larch 7 no 4");
    assert!(said.contains("13:45"), "{said}");
    let (said, _) = table.enter("call larch 7 no 4");
    assert!(said.contains("13:56"), "{said}");
}

#[test]
fn places_follow_the_moves_and_before_them_the_outing() {
    let mut table = Table::new();
    assert!(table.enter("volt 12").0.contains("at Kea ridge"));
    assert!(
        table
            .enter_at(Some("2026-12-12T20:00"), "volt 12")
            .0
            .contains("at Tarn hut")
    );
    table.enter_at(Some("13:00"), "at carpark");
    assert!(table.enter("volt 12").0.contains("at Ford car park"));
    let outside = table.try_at(Some("2026-11-25T10:00"), "volt 12").unwrap();
    assert!(outside.cautions[0].contains("before the outing"), "{outside:?}");
    let ahead = table.try_at(Some("2026-12-12T18:00"), "volt 12").unwrap();
    assert!(ahead.cautions[0].contains("still to come"), "{ahead:?}");
}

#[test]
fn fixing_keeps_what_is_not_said_anew() {
    let mut table = Table::new();
    table.enter_at(Some("12:30"), "call larch 7 no 3");
    table.enter_at(Some("12:40"), "at hut");
    let (said, _) = table.enter("fix 1 call larch 7 ok 300 6");
    assert!(
        said.starts_with("Entry 3: entry 1 now reads: Sat 12 Dec 12:30 at Kea ridge: called"),
        "{said}"
    );
    assert!(said.contains("delivered arrived"), "{said}");
    let (said, _) = table.enter_at(Some("12:20"), "fix 1");
    assert!(
        said.contains("Sat 12 Dec 12:20 at Kea ridge") && said.contains("delivered arrived"),
        "{said}"
    );
    let (said, _) = table.enter("strike 2");
    assert!(
        said.starts_with("Entry 5: entry 2 no longer counts (Sat 12 Dec 12:40: at Tarn hut"),
        "{said}"
    );
    for (text, expected) in [
        ("fix 1", "Neither a form nor a time"),
        ("fix 9 note x", "there is no entry 9; the last is 5"),
        ("fix 5 note x", "itself a correction"),
        ("fix one note x", "is not the number of an entry"),
        ("fix 1 strike 2", "cannot stand in the place"),
        ("strike", "is not the number of an entry"),
    ] {
        assert!(table.error(text).contains(expected), "{text}: {}", table.error(text));
    }
}

#[test]
fn what_cannot_be_understood_is_answered_with_an_example() {
    let table = Table::new();
    for (text, problem) in [
        ("", "nothing to enter"),
        ("cal", ""),
        ("dance", "\"dance\" is no word to begin with"),
        ("no", "may be noise or note"),
        ("hear", ""),
        ("call", "which station"),
        ("call oak 7 no", "\"oak\" is no station"),
        ("call lrach 7 no", "did you mean larch?"),
        ("call larch", "on which frequency? larch has 3.5915, 5.356, 7.0495 MHz"),
        ("call larch no", "on which frequency?"),
        ("call larch 7", "how did it end?"),
        ("call larch 7 perhaps", "no way for a call to end"),
        ("call larch 7.2 no", "7.2 MHz is no channel of larch"),
        ("call larch 7 ok", "Which one? arrived or stores"),
        ("call larch 7 ok 77 4", "Which one? arrived or stores"),
        ("call larch 7 ok 0 5", "0 is no number of bytes"),
        ("call larch 7 ok 300 5 8 9", "one number too many: 9"),
        ("call larch 7 ok letter", "\"letter\" is no message"),
        ("call larch 7 no 300b", "bytes go with ok only"),
        ("call larch 7 no on", "which antenna?"),
        ("call larch 7 no on beam", "\"beam\" is no antenna"),
        ("call larch 7 no 5w 6w", "power is given twice"),
        ("call larch 7 no 9000w", "must be 0.001 to 2000 W"),
        ("noise 7", "how strong?"),
        ("noise 7 4", "\"4\" is no noise level"),
        ("noise 7 S12", "must be 0 to 9 S units"),
        ("noise 7 S4+10", "only S9"),
        ("noise 7 S4 wide", "is no bandwidth"),
        ("heard nobody 7 S3", "`beacon NAME`"),
        ("heard larch 7 loud", "is no strength"),
        ("swr 7.05 0.5", "must be 1 to 1000"),
        ("swr 7.05 high", "is no SWR"),
        ("volt", "how many volts?"),
        ("volt low", "is no number"),
        ("k 12", "must be 0 to 9"),
        ("k", "a number belongs behind k"),
        ("flux 130 b 3", "none of flux, a, k"),
        ("at nowhere", "\"nowhere\" is no site"),
        ("weather", "how is it?"),
        ("write thanks", "an id and a number of bytes"),
        ("note", "what is to be noted?"),
        ("25:00 note x", "is no word to begin with"),
    ] {
        // Two of them are beginnings of one word only, and so are understood as far as that.
        let error = table.error(text);
        assert!(error.contains(problem), "{text}: {error}");
        let shown = error.contains("For example: ") || error.contains("Write for example: ");
        assert!(shown && error.lines().count() <= 4, "{text}: {error}");
    }
}

#[test]
fn every_example_of_every_outing_is_understood() {
    for text in [DEMO, NORTH, EQUATOR] {
        let outing = outing(text);
        let mut table = Table {
            now: outing.header.start.add_s(7_200),
            outing,
            ..Table::new()
        };
        for _ in 0..12 {
            table.enter("note filler");
        }
        // Some forms speak of the last call.
        table.enter(&FORMS[0].example(&table.outing));
        for form in &FORMS {
            let example = form.example(&table.outing);
            assert!(
                table.try_at(None, &example).is_ok(),
                "{example}: {:?}",
                table.try_at(None, &example)
            );
        }
        let help = help(&table.outing);
        assert_eq!(help.lines().count(), FORMS.len());
        assert!(help.lines().all(|l| l.chars().count() <= 100), "{help}");
    }
}

#[test]
fn the_journal_stands_beside_its_outing() {
    use std::path::Path;
    assert_eq!(file_of(Some(Path::new("trip/hut.toml"))), Path::new("trip/hut.journal"));
    assert!(file_of(None).ends_with("farhop/demo.journal") && file_of(None).is_absolute());
}

proptest! {
    #[test]
    fn noise_on_the_keyboard_never_panics(
        text in "(call|call larch 7 ok|heard|noise|swr|volt|at|k|fix|busy|sent|received|power|tuner|fault|mended|hang|walk|antenna link|thunder|14:35|-2h|) ?([a-z0-9.,:+\\-µé ]{0,30})",
        at in proptest::option::of("[-0-9:TZ+mh ]{0,20}"),
    ) {
        let table = Table::new();
        let _ = table.try_at(at.as_deref(), &text);
    }
}
