//! Sessions, parts, readings and words of the own station as they are typed: what fits two is a question, never a guess.

use crate::common::table::Table;
use farhop_store::{Call, Event, Outcome, SentPart, Session};

#[test]
fn a_length_that_fits_two_messages_is_a_question_and_nothing_is_taken() {
    let mut table = Table::new();
    table.enter("write copy 300");
    let question = table.try_short("call larch 7 ok 300").unwrap_err();
    assert_eq!(question.problem, "call: Which one? arrived or copy");
    assert_eq!(
        question.choices,
        ["call larch 7.0495 ok arrived", "call larch 7.0495 ok copy"]
    );
    for choice in &question.choices {
        assert!(table.try_at(None, choice).is_ok(), "{choice}");
    }
    table.enter("withdraw copy");
    let (_, taken) = table.enter("call larch 7 ok 300 4");
    assert!(
        taken.contains("message arrived, the only one left of 300 bytes"),
        "{taken}"
    );
    // It is through: the same length again is another matter, and credits nobody.
    assert!(
        table
            .error("call larch 7 ok 300")
            .contains("Which one? stores or repairs")
    );
    // Only larch, beech and alder may take the request of 400 bytes.
    let error = table.error("call kowhai 7 ok 400");
    assert!(
        error.contains("Which one?") && !error.contains("weather-request"),
        "{error}"
    );
}

#[test]
fn the_only_message_left_is_taken_and_said() {
    let mut table = Table::new();
    assert!(
        table
            .error("call larch 7 ok")
            .contains("Which one? arrived or stores or")
    );
    for id in ["stores", "repairs", "weather-request", "diary"] {
        table.enter(&format!("withdraw {id}"));
    }
    let (said, taken) = table.enter("call larch 7 ok");
    assert!(said.contains("delivered arrived, 300 bytes"), "{said}");
    assert!(
        taken.contains("message arrived, the only one left for Larch"),
        "{taken}"
    );
    assert!(
        table
            .error("call larch 7 ok")
            .contains("no message is left that larch may take")
    );
}

#[test]
fn several_messages_of_one_session_are_one_entry() {
    let table = Table::new();
    assert_eq!(
        table.event("call kowhai 10.1455 ok arrived stores 9min"),
        Event::Called(Call {
            minutes: Some(9.0),
            ..call_of(
                &table,
                Outcome::Session(Session {
                    sent: vec![part("arrived", 300, true), part("stores", 1_200, true)],
                    received: Vec::new(),
                })
            )
        })
    );
    let said = table.said("call kowhai 10.1455 ok arrived and stores got forecast for the pass 180b");
    assert!(
        said.contains(
            "delivered arrived, 300 bytes, and stores, 1200 bytes; received forecast for the pass, 180 bytes"
        ),
        "{said}"
    );
    assert!(table.said("call larch 7 got forecast").contains("received forecast"));
    assert!(table.error("call larch 7 ok arrived arrived").contains("given twice"));
    assert!(table.error("call larch 7 no got forecast").contains("without a link"));
}

fn part(message: &str, bytes: u64, whole: bool) -> SentPart {
    SentPart {
        message: message.to_owned(),
        bytes,
        whole,
    }
}

fn call_of(table: &Table, outcome: Outcome) -> Call {
    let Event::Called(call) = table.event("call kowhai 10.1455 no") else {
        panic!()
    };
    Call { outcome, ..call }
}

fn sent_parts(table: &Table, text: &str) -> Vec<SentPart> {
    let Event::Called(call) = table.event(text) else {
        panic!("{text}")
    };
    let Outcome::Session(session) = call.outcome else {
        panic!("{text}")
    };
    session.sent
}

#[test]
fn a_part_of_a_message_is_kept_as_a_part() {
    let mut table = Table::new();
    assert_eq!(
        sent_parts(&table, "call larch 7 sent half stores"),
        [part("stores", 600, false)]
    );
    assert_eq!(
        sent_parts(&table, "call larch 7 ok part 700b stores"),
        [part("stores", 700, false)]
    );
    assert_eq!(
        sent_parts(&table, "call larch 7 part stores"),
        [part("stores", 0, false)]
    );
    assert!(table.error("sent half arrived").contains("by way of which station?"));
    table.enter("call larch 7 linked 3");
    let understood = table.try_at(None, "sent half arrived").unwrap();
    assert!(
        understood.taken[0].contains("Larch on 7.0495 MHz as in entry 1"),
        "{understood:?}"
    );
    assert!(
        understood.cautions[0].contains("fix 1 call larch 7.0495 sent half arrived"),
        "{understood:?}"
    );
    assert!(table.error("sent half").contains("Which one? arrived or"));
    table.enter("sent half stores");
    // The rest makes it whole.
    assert_eq!(
        sent_parts(&table, "call larch 7 ok stores"),
        [part("stores", 600, true)]
    );
    // Fewer bytes than are left do not make a message whole, and how to say so is told.
    let few = table.try_at(None, "call larch 7 ok 280 5 arr").unwrap();
    assert!(
        few.cautions[0].contains("20 bytes of arrived are left; if it is through, write `ok arrived`"),
        "{few:?}"
    );
}

#[test]
fn a_number_before_the_name_is_no_guess() {
    let table = Table::new();
    assert_eq!(
        sent_parts(&table, "call larch 7 ok 300 arrived"),
        [part("arrived", 300, true)]
    );
    let error = table.error("call larch 7 ok 6 arrived");
    assert!(error.contains("bytes or minutes? Write 6b or 6min"), "{error}");
}

#[test]
fn words_that_were_refused_are_understood() {
    let mut table = Table::new();
    table.enter("call larch 7 linked");
    for (text, expected) in [
        (
            "call alder 7 busy",
            "called Alder on 7.0515 MHz, 5 W into Linked dipole: busy",
        ),
        (
            "call alder 7 busy gateway 2",
            "busy, the gateway works with somebody else, in 2 min",
        ),
        ("call alder 7 occupied", "busy, somebody else is on the channel"),
        ("busy alder 7", "Alder on 7.0515 MHz: busy"),
        (
            "busy alder 7 channel",
            "Alder on 7.0515 MHz: busy, somebody else is on the channel",
        ),
        ("fof2 5.1", "foF2 5.1 MHz"),
        ("fof2 5.1 at -43.5,172.6", "foF2 5.1 MHz at -43.50,172.60"),
        (
            "tuner refused",
            "the tuner found no match on 7.0495 MHz with Linked dipole",
        ),
        (
            "tuner refused 7.05 on link",
            "the tuner found no match on 7.05 MHz with Linked dipole",
        ),
        ("dead 7", "nothing at all heard on 7 MHz"),
        ("dead larch", "Larch is off the air"),
        (
            "silent larch 3.59 10",
            "listened for Larch on 3.5915 MHz: nothing in 10 min",
        ),
        ("sent half arrived", "sent part of arrived, 150 bytes"),
        (
            "received forecast 180 b by larch",
            "received forecast, 180 bytes by Larch",
        ),
        ("thunder", "thunder heard"),
        ("thunder 12 s", "thunder heard, 12 s after the flash"),
        ("power 4.5 W", "4.5 W go out"),
        (
            "power 4.5 W 7.05 swr 1.5 on link",
            "4.5 W go out on 7.05 MHz into Linked dipole, SWR 1.5",
        ),
        (
            "fault coax broken, nothing out",
            "fault: coax broken, nothing out (nothing goes out)",
        ),
        ("mended coax", "mended: coax"),
        ("hang link 20", "began to hang Linked dipole, 20 min"),
        ("walk hut 40min", "left for Tarn hut, 40 min"),
        ("check plugs and fuse 5 min", "began to check plugs and fuse, 5 min"),
        ("antenna link down", "Linked dipole is down"),
    ] {
        assert!(table.said(text).contains(expected), "{text}: {}", table.said(text));
    }
}

#[test]
fn measures_of_an_antenna_are_measures_and_not_only_words() {
    let table = Table::new();
    let Event::Antenna(hung) = table.event("antenna link up, apex 3 m, ends 1 m, azimuth 60") else {
        panic!()
    };
    assert_eq!(hung.measures.apex_height_m, Some(3.0));
    assert_eq!(hung.measures.end_height_m, Some(1.0));
    assert_eq!(hung.measures.azimuth_deg, Some(60.0));
    let error = table.error("antenna link up, apex 50 m");
    assert!(
        error.contains("cannot hang so") && error.contains("does not reach"),
        "{error}"
    );
    let foreign = table.try_at(None, "antenna loop apex 3 m").unwrap();
    assert!(foreign.cautions[0].contains("small-loop has no apex"), "{foreign:?}");
}

#[test]
fn one_of_two_faults_is_a_question() {
    let mut table = Table::new();
    table.enter("fault coax at the plug, nothing out");
    let (_, taken) = table.enter("mended");
    assert!(taken.contains("coax at the plug"), "{taken}");
    table.enter("fault coax again, weak out");
    table.enter("fault audio cable, no modem");
    assert!(
        table
            .error("mended")
            .contains("Which one? coax again, weak out or audio cable, no modem")
    );
    assert!(table.said("mended audio").contains("audio cable"));
}

#[test]
fn a_slip_answers_in_at_most_four_lines_with_the_nearest_form() {
    let table = Table::new();
    for (text, near) in [
        ("cal larch 7 perhaps", "call STATION MHZ"),
        ("vollt 12.4", "volt 12.4"),
        ("recieved forecast", "received forecast"),
        ("bussy alder 7", "busy larch"),
        ("dance", "note fog came up"),
        ("no", "noise"),
        ("", "call larch"),
        ("call larch 7 ok", "Write for example: call larch 7.0495 ok arrived"),
    ] {
        let error = table.error(text);
        assert!(error.lines().count() <= 4, "{text}: {error}");
        assert!(error.contains(near), "{text}: {error}");
    }
}
