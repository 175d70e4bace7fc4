//! The PDF and the HTML as others read them.

use crate::common::{examples, named};
use farhop_card::Paper;
use farhop_card::content::Body;
use farhop_card::html::html;
use farhop_card::letters::Letters;
use farhop_card::page::Mark;
use farhop_paper::fonts::faces;
use farhop_paper::{About, pdf};
use lopdf::{Document, Object};

/// All that is written on a page, without spaces: readers of PDF guess spaces, each in its own way.
pub fn squeezed(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).collect()
}

#[test]
fn a_pdf_has_all_sides_of_the_paper_with_selectable_text() {
    for example in examples() {
        for paper in Paper::ALL {
            let sheet = example.on(paper);
            let bytes = pdf(&sheet.pages, &about()).unwrap();
            let place = format!("{}-{paper:?}", example.name);
            // Kept for a look at it with any viewer.
            std::fs::write(format!("{}/{place}.pdf", env!("CARGO_TARGET_TMPDIR")), &bytes).unwrap();
            let document = Document::load_mem(&bytes).unwrap();
            let pages = document.get_pages();
            assert_eq!(pages.len(), sheet.pages.len(), "{place}");
            for (number, id) in &pages {
                let page = document.get_dictionary(*id).unwrap();
                let frame = page.get(b"MediaBox").unwrap().as_array().unwrap();
                let side = |k: usize| f64::from(frame[k].as_float().unwrap());
                let (width, height) = paper.size_pt();
                assert!(
                    (side(2) - width).abs() < 0.01 && (side(3) - height).abs() < 0.01,
                    "{place}: {frame:?}"
                );
                let found = squeezed(&document.extract_text(&[*number]).unwrap());
                for mark in sheet.pages[*number as usize - 1].marks() {
                    if let Mark::Text { text, .. } = mark {
                        assert!(
                            found.contains(&squeezed(text)),
                            "{place} page {number}: \"{text}\" cannot be selected"
                        );
                    }
                }
            }
        }
    }
}

#[test]
fn the_fonts_are_inside_the_pdf() {
    let bytes = pdf(&examples()[0].on(Paper::A4).pages, &about()).unwrap();
    let document = Document::load_mem(&bytes).unwrap();
    let mut embedded = 0;
    for object in document.objects.values() {
        let Ok(dictionary) = object.as_dict() else { continue };
        if dictionary
            .get(b"Type")
            .and_then(Object::as_name)
            .is_ok_and(|n| n == b"FontDescriptor")
        {
            let inside = [&b"FontFile2"[..], b"FontFile3"].iter().any(|key| dictionary.has(key));
            assert!(inside, "a font is only named, not embedded");
            embedded += 1;
        }
    }
    assert_eq!(embedded, 2);
}

#[test]
fn equal_content_gives_equal_bytes() {
    let example = &examples()[0];
    let make = || pdf(&example.on(Paper::A4).pages, &about()).unwrap();
    assert_eq!(make(), make());
}

fn about() -> About {
    About {
        title: "Field card: test".to_owned(),
        author: "Q3HUT".to_owned(),
        made: Some(farhop_earth::UtcTime::parse("2026-11-29T11:40:00Z").unwrap()),
    }
}

/// The tree by which the document is read aloud: how often each kind of element stands in it (ISO 32000-1, 14.7 and 14.8).
fn tags(document: &Document) -> std::collections::BTreeMap<String, usize> {
    let mut found = std::collections::BTreeMap::new();
    for object in document.objects.values() {
        let Ok(dictionary) = object.as_dict() else { continue };
        let is_element = dictionary
            .get(b"Type")
            .and_then(Object::as_name)
            .is_ok_and(|n| n == b"StructElem");
        if let (true, Ok(kind)) = (is_element, dictionary.get(b"S").and_then(Object::as_name)) {
            *found.entry(String::from_utf8_lossy(kind).into_owned()).or_insert(0) += 1;
        }
    }
    found
}

#[test]
fn the_pdf_is_tagged_and_says_title_author_and_date() {
    let example = named("demo");
    let sheets = example.on(Paper::A4);
    let bytes = pdf(&sheets.pages, &about()).unwrap();
    let document = Document::load_mem(&bytes).unwrap();
    let catalog = document.catalog().unwrap();
    let marked = catalog.get(b"MarkInfo").and_then(Object::as_dict).unwrap();
    assert!(marked.get(b"Marked").and_then(Object::as_bool).unwrap());
    let tags = tags(&document);
    let of = |kind: &str| tags.get(kind).copied().unwrap_or(0);
    let rows: usize = example
        .card
        .chapters
        .iter()
        .flat_map(|c| &c.panels)
        .map(|p| match &p.body {
            Body::Hours(table) => table.rows().count(),
            Body::Table(table) => table.rows.len(),
            _ => 0,
        })
        .sum();
    assert!(of("TR") >= rows && of("TD") >= 3 * rows, "{tags:?}");
    assert!(
        of("TH") >= 4 && of("Table") >= 3 && of("P") > 40 && of("Figure") >= 3,
        "{tags:?}"
    );
    assert!(of("H1") >= example.card.chapters.len() && of("H2") >= 6, "{tags:?}");
    let info = document.trailer.get(b"Info").unwrap().as_reference().unwrap();
    let info = document.get_dictionary(info).unwrap();
    let words = |key: &[u8]| String::from_utf8_lossy(info.get(key).unwrap().as_str().unwrap()).into_owned();
    assert_eq!(words(b"Title"), "Field card: test");
    assert_eq!(words(b"Author"), "Q3HUT");
    assert!(
        words(b"CreationDate").starts_with("D:20261129114000"),
        "{}",
        words(b"CreationDate")
    );
}

#[test]
fn the_page_needs_nothing_else_and_says_what_the_paper_says() {
    let letters = Letters::new();
    for example in examples() {
        let page = html(&example.card, &letters, &faces());
        assert_eq!(page.matches("@font-face").count(), 2);
        // The only address in it is the name of the SVG language.
        let addresses = page.matches("http").count();
        assert_eq!(
            addresses,
            page.matches("http://www.w3.org/2000/svg").count(),
            "{}",
            example.name
        );
        assert!(!page.contains("<script") && page.contains("width=device-width"));
        for table in example
            .card
            .chapters
            .iter()
            .flat_map(|c| &c.panels)
            .filter_map(|p| match &p.body {
                Body::Hours(table) => Some(table),
                _ => None,
            })
        {
            for call in table.rows().flat_map(|r| &r.calls) {
                assert!(
                    page.contains(&format!(">{}<", call.khz)),
                    "{}: {}",
                    example.name,
                    call.khz
                );
                assert!(
                    page.contains(&format!(">{}<", call.callsign)),
                    "{}: {}",
                    example.name,
                    call.callsign
                );
            }
        }
    }
}

#[test]
fn names_cannot_break_the_page() {
    let mut card = named("demo").card.clone();
    card.title = "A <card> & \"more\"".to_owned();
    let page = html(&card, &Letters::new(), &faces());
    assert!(page.contains("<title>Field card: A &lt;card&gt; &amp; &quot;more&quot;</title>"));
}
