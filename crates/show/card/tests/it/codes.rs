//! The codes as an independent reader (crate `rqrr`) sees them on a copy of a copy at 70 %.

use farhop_card::Paper;
use farhop_card::content::plain::{LONGEST, in_the_set};
use farhop_card::content::{Body, HourLine};
use farhop_card::page::Mark;
use farhop_card::qr::picture;

use crate::common::examples;
use crate::copies::copy;

#[test]
fn every_code_reads_back_from_a_copy_to_the_rows_that_are_printed() {
    for example in examples() {
        let mut read: Vec<String> = Vec::new();
        for page in &example.on(Paper::A4).pages {
            let codes = page.marks().filter(|m| matches!(m, Mark::Modules { .. })).count();
            if codes == 0 {
                continue;
            }
            let seen = copy(page);
            let mut image = rqrr::PreparedImage::prepare_from_greyscale(seen.width, seen.height, |x, y| seen.at(x, y));
            let grids = image.detect_grids();
            assert_eq!(grids.len(), codes, "{}", example.name);
            read.extend(grids.iter().map(|g| g.decode().unwrap().1));
        }
        read.sort();
        let count = read.len();
        let whole: String = (1..=count)
            .map(|k| {
                let begins = format!("{k}/{count} ");
                let text = read.iter().find(|t| t.starts_with(&begins)).unwrap();
                format!("{} ", &text[begins.len()..])
            })
            .collect();
        for panel in example.card.chapters.iter().flat_map(|c| &c.panels) {
            let Body::Hours(table) = &panel.body else { continue };
            for line in &table.lines {
                let HourLine::Row(row) = line else { continue };
                let calls: Vec<String> = row.calls.iter().map(|c| format!("{} {}", c.khz, c.callsign)).collect();
                let wanted = in_the_set(&format!("{} {}", row.local, calls.join(" / ")));
                assert!(
                    whole.contains(wanted.trim_end()),
                    "{}: {wanted} in {whole}",
                    example.name
                );
            }
        }
    }
}

#[test]
fn the_longest_text_is_the_longest_of_its_size() {
    let text = |letters: usize| -> String { (0..letters).map(|k| char::from(b'A' + (k % 26) as u8)).collect() };
    assert_eq!(picture(&text(LONGEST)).unwrap().rows.len(), 77, "modules");
    assert_eq!(picture(&text(LONGEST + 1)).unwrap().rows.len(), 81);
}
