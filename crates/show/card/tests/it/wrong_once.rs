//! What the card before this one got wrong, each as a test.

use farhop_card::content::{Body, Card, Chapter, HourTable, Line, Panel};
use farhop_earth::clock::zone;
use farhop_show::plan_text::PlanText;
use farhop_show::reader::Reader;

use crate::common::{Example, examples, named};

fn panels(card: &Card) -> impl Iterator<Item = &Panel> {
    card.chapters.iter().flat_map(|c| &c.panels)
}

fn lines<'c>(card: &'c Card, heading: &str) -> Vec<&'c Line> {
    panels(card)
        .filter(|p| p.heading == Some(heading))
        .flat_map(|p| match &p.body {
            Body::Lines(lines) | Body::Charge(lines, _) => lines.iter().collect(),
            Body::Hang(list) => list.iter().flat_map(|h| &h.lines).collect(),
            _ => Vec::new(),
        })
        .collect()
}

fn tables(chapter: &Chapter) -> impl Iterator<Item = &HourTable> {
    chapter.panels.iter().filter_map(|p| match &p.body {
        Body::Hours(table) => Some(table),
        _ => None,
    })
}

fn headline(example: &Example) -> String {
    let first = panels(&example.card).next().unwrap();
    let Body::Lines(lines) = &first.body else {
        panic!("no headline")
    };
    lines[0].lead.clone()
}

#[test]
fn the_headline_is_that_of_the_plan_with_its_chance() {
    for example in examples() {
        let text = PlanText {
            outing: &example.outing,
            plan: &example.plan,
            reader: Reader::new(
                zone(&example.outing.header.time_zone).unwrap(),
                example.outing.header.units,
            ),
            percent: false,
            defaults: Vec::new(),
            guessed_on: Vec::new(),
        };
        let words = headline(example);
        assert_eq!(words, text.verdict(), "{}", example.name);
        let bottom = example.plan.bottom.unwrap();
        let sent = example.plan.messages[bottom.message].none_because.is_none();
        assert!(!sent || words.contains(&bottom.chance.chance.to_string()), "{words}");
    }
}

#[test]
fn an_emergency_comes_before_what_is_high() {
    let example = named("date-line");
    assert!(headline(example).starts_with("\"landed\""));
    let send = lines(&example.card, "SEND");
    assert_eq!(send[0].lead, "1 landed, EMERGENCY:");
    assert_eq!(send[1].lead, "2 survey, high:");
}

#[test]
fn the_list_gives_each_message_the_chance_of_the_plan() {
    for example in examples() {
        let send = lines(&example.card, "SEND");
        for (message, plan) in example.outing.messages.iter().zip(&example.plan.messages) {
            let begins = format!(" {}", message.id);
            let line = send
                .iter()
                .find(|l| l.lead.trim_end_matches(':').contains(&begins))
                .unwrap();
            assert!(
                line.text.contains(&plan.chance.chance.to_string()),
                "{}: {line:?}",
                example.name
            );
        }
    }
}

#[test]
fn where_radio_off_helps_the_card_says_so_at_once() {
    let mut helped = 0;
    for example in examples() {
        let Ok(energy) = &example.plan.energy else { continue };
        let first = panels(&example.card).next().unwrap();
        let Body::Lines(own) = &first.body else {
            panic!("no headline")
        };
        let said = own.iter().any(|l| l.lead.contains("RADIO OFF BETWEEN CALLS"));
        let better = energy.calls_only.is_some_and(|off| off.chance_dry < energy.dry().0);
        assert!(said || !better, "{}", example.name);
        assert!(energy.calls_only.is_some() || !said, "{}", example.name);
        helped += usize::from(better);
    }
    assert!(helped > 0, "no outing that it helps");
    let charge = lines(&named("eight-stations").card, "CHARGE");
    assert!(charge[0].lead.ends_with("in 10: battery flat,"), "{:?}", charge[0]);
}

#[test]
fn the_reserve_is_a_share_of_what_the_battery_gives_and_no_line_at_a_charge() {
    for line in examples().iter().flat_map(|e| lines(&e.card, "CHARGE")) {
        let words = format!("{} {}", line.lead, line.text);
        if words.contains("reserve of") {
            assert!(words.contains("% of what the battery gives"), "{words}");
        }
    }
}

#[test]
fn a_chapter_calls_from_its_own_place_only() {
    for example in examples() {
        for chapter in &example.card.chapters {
            let sites: Vec<usize> = tables(chapter)
                .flat_map(HourTable::rows)
                .flat_map(|r| &r.calls)
                .map(|c| c.route.site)
                .collect();
            assert!(
                sites.windows(2).all(|w| w[0] == w[1]),
                "{}: {}",
                example.name,
                chapter.title
            );
        }
    }
}

#[test]
fn no_power_is_never_blamed_on_the_sky_and_each_question_has_answers() {
    for example in examples() {
        let tree = lines(&example.card, "IF IT FAILS");
        let first = tree
            .iter()
            .position(|l| l.lead.contains("Does anything have power?"))
            .unwrap();
        let own: Vec<String> = tree[first + 1..]
            .iter()
            .take_while(|l| l.indent)
            .map(|l| format!("{} {}", l.lead, l.text).to_lowercase())
            .collect();
        assert!(!own.is_empty(), "{}", example.name);
        for words in &own {
            for wrong in ["sky", "station", "frequency", "settings", "antenna", "coax"] {
                assert!(!words.contains(wrong), "{}: no power: {words}", example.name);
            }
            assert!(words.contains("? no: "), "{words}");
        }
        assert!(
            own[0].contains("battery") || own[0].contains("fuse") || own[0].contains("power"),
            "{own:?}"
        );
        // Each question that is pointed at is there.
        for line in tree.iter().filter(|l| l.text.contains("go to ")) {
            let number: String = line
                .text
                .split("go to ")
                .nth(1)
                .unwrap()
                .chars()
                .take_while(char::is_ascii_digit)
                .collect();
            assert!(
                tree.iter().any(|l| l.lead.starts_with(&format!("{number}. "))),
                "{}: {line:?}",
                example.name
            );
        }
    }
}

#[test]
fn an_outing_without_a_call_promises_none() {
    let example = named("no-window");
    assert!(example.plan.sends.is_empty(), "the outing is no longer hard");
    let words: Vec<String> = panels(&example.card)
        .flat_map(|p| match &p.body {
            Body::Lines(lines) | Body::Charge(lines, _) => lines.clone(),
            _ => Vec::new(),
        })
        .map(|l| format!("{} {}", l.lead, l.text))
        .collect();
    assert!(words.iter().any(|w| w.contains("Not sent: ")));
    assert!(words.iter().any(|w| w.contains("Nothing is expected here")));
    assert!(
        !words
            .iter()
            .any(|w| w.contains("can be sent") || w.contains("PLANNED CALLS"))
    );
}

#[test]
fn bearings_are_those_of_the_compass_and_lengths_keep_their_tenths() {
    let example = named("equator");
    let hang: Vec<String> = lines(&example.card, "HANG IT").iter().map(|l| l.text.clone()).collect();
    // Lengths that a tape measures have tenths; heights above the sea are whole.
    let mut lengths = 0;
    for line in &hang {
        for (before, after) in line.match_indices(" ft").map(|(at, _)| (&line[..at], &line[at..])) {
            let number = before
                .rsplit(|c: char| !c.is_ascii_digit() && c != '.')
                .next()
                .unwrap_or_default();
            if !after.starts_with(" ft high") {
                assert!(number.contains('.'), "{line}");
                lengths += 1;
            }
        }
    }
    assert!(lengths >= 3, "{hang:?}");
    for example in examples() {
        for call in example
            .card
            .chapters
            .iter()
            .flat_map(tables)
            .flat_map(HourTable::rows)
            .flat_map(|r| &r.calls)
        {
            let viewer = farhop_show::plan_view::Viewer {
                outing: &example.outing,
                plan: &example.plan,
            };
            let route = viewer.route(&call.route);
            let printed: f64 = call.compass.trim_end_matches('°').parse().unwrap();
            let off = (printed - route.bearing_magnetic_deg).rem_euclid(360.0);
            assert!(off <= 0.5 + 1e-9 || off >= 359.5 - 1e-9, "{call:?}");
        }
        for line in lines(&example.card, "HANG IT")
            .iter()
            .filter(|l| l.text.contains("Runs toward"))
        {
            assert!(
                line.text.find("compass").unwrap() < line.text.find("true").unwrap(),
                "{}",
                line.text
            );
        }
    }
}

#[test]
fn words_that_tire_or_mislead_are_gone() {
    for example in examples() {
        let mut all = vec![example.card.foot.clone()];
        for panel in panels(&example.card) {
            match &panel.body {
                Body::Lines(lines) | Body::Charge(lines, _) => {
                    all.extend(lines.iter().map(|l| format!("{} {}", l.lead, l.text)));
                }
                Body::Hang(list) => all.extend(list.iter().flat_map(|h| &h.lines).map(|l| l.text.clone())),
                _ => {}
            }
        }
        for words in all {
            for wrong in [
                "set off",
                "set is off",
                "Bring it back",
                "hardly",
                "Reserve fails",
                "runs dry",
                "Mind ",
                "No hour to stop",
            ] {
                assert!(!words.contains(wrong), "{}: {words}", example.name);
            }
        }
    }
}
