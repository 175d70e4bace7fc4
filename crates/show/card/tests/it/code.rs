//! The plan for another device: the text and its picture, read back by others.

use crate::code_reader::{CodeError, parse};
use crate::common::examples;
use farhop_card::Paper;
use farhop_card::page::Mark;
use farhop_card::qr::{LONGEST, picture};

/// Pixels a module.
const SCALE: usize = 4;

/// What an independent reader of QR codes (crate `rqrr`) sees in a picture of modules with a quiet zone.
fn read(rows: &[Vec<bool>]) -> String {
    let side = (rows.len() + 8) * SCALE;
    let dark = |x: usize, y: usize| {
        let module = |v: usize| (v / SCALE).checked_sub(4);
        let (Some(mx), Some(my)) = (module(x), module(y)) else {
            return false;
        };
        rows.get(my).and_then(|r| r.get(mx)).copied().unwrap_or(false)
    };
    let mut image = rqrr::PreparedImage::prepare_from_greyscale(side, side, |x, y| if dark(x, y) { 0 } else { 255 });
    let grids = image.detect_grids();
    assert_eq!(grids.len(), 1);
    grids[0].decode().unwrap().1
}

#[test]
fn the_code_on_every_card_reads_back_to_the_plan() {
    for example in examples() {
        for paper in Paper::ALL {
            let sheet = example.on(paper);
            let codes: Vec<&Mark> = sheet
                .pages
                .iter()
                .flat_map(|p| &p.marks)
                .filter(|m| matches!(m, Mark::Modules { .. }))
                .collect();
            if sheet.left_out.iter().any(|l| l.contains("code")) {
                assert_ne!(paper, Paper::A4, "{}: A4 has room for the code", example.name);
                continue;
            }
            let [Mark::Modules { rows, module_pt, .. }] = codes[..] else {
                panic!("{} {paper:?}: {} codes", example.name, codes.len())
            };
            assert!(
                *module_pt >= 0.93,
                "{} {paper:?}: modules of {module_pt} pt",
                example.name
            );
            assert_eq!(
                parse(&read(rows)).unwrap(),
                example.card.code,
                "{} {paper:?}",
                example.name
            );
        }
    }
}

#[test]
fn the_code_says_what_the_plan_says() {
    for example in examples() {
        let code = &example.card.code;
        assert!(!code.windows.is_empty());
        for window in &code.windows {
            let station = &code.stations[window.station];
            let site = &code.sites[window.site];
            let found = example.plan.sends.iter().any(|s| {
                let route = s.route;
                let theirs = &example.outing.stations[route.station];
                let here = &example.outing.sites[route.site];
                let start_s = code.start.unix_s() + 60 * window.start_min;
                let end_s = start_s + 60 * window.length_min;
                // The text counts in whole minutes.
                let same_time = (s.start.unix_s() - start_s).abs() < 60 && (s.end.unix_s() - end_s).abs() < 60;
                same_time
                    && s.messages[0].chance.percent() == window.chance_percent
                    && theirs.callsign.as_str() == station.callsign
                    && (theirs.channels[route.channel].freq_mhz * 1e6 - window.freq_hz as f64).abs() < 0.5
                    && here.id.as_str().to_uppercase() == site.id
                    && (here.place.lat_deg() - site.lat_deg).abs() <= 5e-5
            });
            assert!(found, "{}: {window:?}", example.name);
        }
        assert_eq!(code.messages.len(), example.outing.messages.len());
    }
}

#[test]
fn the_longest_text_fits_a_code_that_a_telephone_reads() {
    let text = |letters: usize| -> String { (0..letters).map(|k| char::from(b'A' + (k % 26) as u8)).collect() };
    let full = picture(&text(LONGEST)).unwrap();
    assert_eq!(full.rows.len(), 105, "modules");
    assert_eq!(read(&full.rows), text(LONGEST));
    // One letter more needs the next larger code: the limit is the true one.
    assert_eq!(picture(&text(LONGEST + 1)).unwrap().rows.len(), 109);
}

#[test]
fn texts_that_are_no_plan_say_why() {
    let whole = examples()[0].card.code.text();
    assert_eq!(parse("HELLO"), Err(CodeError::Foreign));
    assert_eq!(parse(""), Err(CodeError::Foreign));
    let cut = &whole[..whole.len() / 2];
    assert_eq!(parse(cut), Err(CodeError::Cut));
    assert_eq!(parse(&"A".repeat(10_000)), Err(CodeError::TooLong));
    let broken = whole.replacen("$W*", "$W*X", 1);
    assert!(matches!(parse(&broken), Err(CodeError::Record { .. })));
    let head = "FARHOP1*N*Q1A*20261211T1800*780$";
    let dangling = format!("{head}W*0*60*7049500*0*0*0*50$E*2");
    assert!(matches!(parse(&dangling), Err(CodeError::Record { record: 2, .. })));
    let empty = format!("{head}E*1");
    assert_eq!(parse(&empty).unwrap().text(), empty);
}

proptest::proptest! {
    #[test]
    fn no_text_makes_the_reader_fall(text in "(FARHOP1)?[A-Z0-9*$. -]{0,80}") {
        let _ = parse(&text);
    }
}
