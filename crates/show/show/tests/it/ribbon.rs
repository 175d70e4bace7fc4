//! The ribbon of the demo: it says what the analysis says, in both shapes, and nothing else.

use std::sync::OnceLock;

use farhop_earth::clock::zone;
use farhop_outing::Outing;
use farhop_plan::Chance;
use farhop_plan::analysis::{Analysis, Part, plan};
use farhop_plan::station_strip::hours_at_stays;
use farhop_plan::watch::Unwatched;
use farhop_show::reader::Reader;
use farhop_show::ribbon::{Came, Ribbon, Shape};
use farhop_store::kept::solutions::Solutions;
use farhop_store::open::open;

struct Demo {
    outing: Outing,
    plan: Analysis,
    reader: Reader,
}

fn demo() -> &'static Demo {
    static DEMO: OnceLock<Demo> = OnceLock::new();
    DEMO.get_or_init(|| {
        let outing = open(None).unwrap().outing;
        let plan = plan(&outing, &Part::default(), &Solutions::of_user(), &Unwatched).unwrap();
        let reader = Reader::new(zone(&outing.header.time_zone).unwrap(), outing.header.units);
        Demo { outing, plan, reader }
    })
}

fn ribbon() -> Ribbon<'static> {
    let demo = demo();
    Ribbon {
        outing: &demo.outing,
        plan: &demo.plan,
        reader: &demo.reader,
        now: None,
        came: Vec::new(),
        window: None,
        day: true,
        lead_only: false,
        stations: true,
    }
}

fn drawn(ribbon: &Ribbon<'_>) -> [String; 2] {
    [Shape::Wide, Shape::Tall].map(|shape| ribbon.drawing(shape))
}

/// The words of a picture, one after the other.
fn words(svg: &str) -> Vec<&str> {
    let after = svg.split("<text ").skip(1);
    after
        .filter_map(|t| t.split_once('>')?.1.split_once("</text>").map(|w| w.0))
        .collect()
}

#[test]
fn every_message_and_station_stands_there_with_the_chance_of_the_analysis() {
    let demo = demo();
    let best = hours_at_stays(&demo.plan.strips, &demo.plan.stays, demo.outing.stations.len());
    for svg in drawn(&ribbon()) {
        let said = words(&svg).join("\n");
        for (message, plan) in demo.outing.messages.iter().zip(&demo.plan.messages) {
            assert!(
                said.contains(message.id.as_str()) && said.contains(&plan.chance.chance.to_string()),
                "{said}"
            );
        }
        for (station, strip) in demo.outing.stations.iter().zip(&best) {
            let most = strip.hours.iter().map(|h| h.chance.probability()).fold(0.0, f64::max);
            assert!(said.contains(&station.name), "{} in {said}", station.name);
            assert!(
                said.contains(&format!("best {} %", Chance::new(most).percent())),
                "{said}"
            );
        }
        for site in demo.plan.stays.iter().map(|stay| &demo.outing.sites[stay.site].name) {
            assert!(
                svg.contains("place") && (said.contains(site.as_str()) || !svg.contains("1000 ")),
                "{site}"
            );
        }
    }
}

#[test]
fn no_letter_is_too_small_and_every_figure_is_a_number() {
    for svg in drawn(&ribbon()) {
        let sizes = svg
            .split("font-size=\"")
            .skip(1)
            .map(|s| s.split('"').next().unwrap().parse::<f64>().unwrap());
        assert!(sizes.clone().count() > 30 && sizes.into_iter().all(|size| size >= 12.0));
        assert!(!svg.contains("NaN") && !svg.contains("inf"));
    }
    // On a phone of 390 px the picture has at least 354, so that a unit is no smaller than a pixel.
    let tall = ribbon().drawing(Shape::Tall);
    let width: f64 = tall
        .split("viewBox=\"0 0 ")
        .nth(1)
        .unwrap()
        .split(' ')
        .next()
        .unwrap()
        .parse()
        .unwrap();
    assert!(width <= 354.0, "{width}");
}

#[test]
fn only_hours_at_a_place_count_and_the_others_are_hatched() {
    let demo = demo();
    let (start, first) = (demo.outing.header.start, demo.plan.stays[0].from);
    assert!(first > start.add_s(3_600), "the demo begins with a walk");
    let walking = Ribbon {
        window: Some((start, first)),
        day: false,
        ..ribbon()
    };
    for svg in drawn(&walking) {
        // Nobody is at any site then: not one percent may stand over the hours.
        let figures = words(&svg)
            .into_iter()
            .filter(|w| w.parse::<u32>().is_ok_and(|n| n > 24))
            .count();
        assert_eq!(figures, 2, "only those of the scale: {:?}", words(&svg));
    }
    let hatched = |ribbon: &Ribbon<'_>| {
        let drawing = ribbon.drawing(Shape::Wide);
        let soft = drawing.lines().filter(|line| line.contains("#b9c3c7"));
        soft.map(|line| line.matches('M').count()).sum::<usize>()
    };
    let staying = Ribbon {
        window: Some((first, first.add_s(first.unix_s() - start.unix_s()))),
        day: false,
        ..ribbon()
    };
    assert!(
        hatched(&walking) > hatched(&staying) + 50,
        "{} {}",
        hatched(&walking),
        hatched(&staying)
    );
}

#[test]
fn now_and_what_came_stand_there_when_they_are_known() {
    let demo = demo();
    let noon = demo.outing.header.start.add_s(8 * 3_600);
    let mut came = vec![Came::Nothing; demo.outing.messages.len()];
    came[0] = Came::Through(noon);
    came[1] = Came::Late;
    let on_the_day = Ribbon {
        now: Some(noon),
        came,
        ..ribbon()
    };
    for (before, after) in drawn(&ribbon()).iter().zip(&drawn(&on_the_day)) {
        let said = words(after).join("\n");
        assert!(said.contains(&format!("now {}", demo.reader.hm(noon))), "{said}");
        assert!(said.contains(&format!("through {}", demo.reader.hm(noon))) && said.contains("deadline passed"));
        assert!(!before.contains(">now ") && !before.contains(">through "));
    }
    let elsewhere = Ribbon {
        now: Some(demo.outing.header.end.add_s(86_400)),
        ..ribbon()
    };
    assert!(drawn(&elsewhere).iter().all(|svg| !svg.contains(">now ")));
}

#[test]
fn the_picture_of_the_first_page_is_that_of_the_demo_today() {
    farhop_vectors::page_is("docs/pictures/ribbon.svg", &ribbon().drawing(Shape::Wide));
}
