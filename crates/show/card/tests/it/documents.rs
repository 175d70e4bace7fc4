//! The PDF and the HTML as others read them.

use crate::common::examples;
use farhop_card::Paper;
use farhop_card::html::html;
use farhop_card::page::Mark;
use farhop_card::pdf::pdf;
use lopdf::{Document, Object};

/// All that is written on a page, without spaces: readers of PDF guess spaces, each in its own way.
fn squeezed(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).collect()
}

#[test]
fn a_pdf_has_two_pages_of_the_paper_with_selectable_text() {
    for example in examples() {
        for paper in Paper::ALL {
            let sheet = example.on(paper);
            let bytes = pdf(&sheet.pages, "Field card").unwrap();
            let place = format!("{}-{paper:?}", example.name);
            // Kept for a look at it with any viewer.
            std::fs::write(format!("{}/{place}.pdf", env!("CARGO_TARGET_TMPDIR")), &bytes).unwrap();
            let document = Document::load_mem(&bytes).unwrap();
            let pages = document.get_pages();
            assert_eq!(pages.len(), 2, "{place}");
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
                for mark in &sheet.pages[*number as usize - 1].marks {
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
    let bytes = pdf(&examples()[0].on(Paper::A4).pages, "Field card").unwrap();
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
    let make = || pdf(&example.on(Paper::A4).pages, "Field card").unwrap();
    assert_eq!(make(), make());
}

#[test]
fn the_page_for_printing_needs_nothing_else() {
    for example in examples() {
        let page = html(&example.on(Paper::A5).pages, Paper::A5, "A <card> & more");
        assert_eq!(page.matches("<section>").count(), 2);
        assert_eq!(page.matches("@font-face").count(), 2);
        assert!(page.contains("size: 148mm 210mm"));
        assert!(page.contains("<title>A &lt;card&gt; &amp; more</title>"));
        // The only address in it is the name of the SVG language.
        let addresses = page.matches("http").count();
        assert_eq!(addresses, page.matches("http://www.w3.org/2000/svg").count());
    }
}
