//! The sides that a browser prints say what the PDF says, side by side, and lie on the same paper.

use farhop_card::Paper;
use farhop_card::letters::Letters;
use farhop_card::sides::{sides, style};
use farhop_paper::{About, pdf};
use lopdf::Document;
use usvg::roxmltree;

use crate::common::examples;
use crate::documents::squeezed;

/// All texts of a picture, as a reader of XML finds them.
fn texts(svg: &str) -> Vec<String> {
    let tree = roxmltree::Document::parse(svg).unwrap();
    let all = tree
        .descendants()
        .filter(|node| node.is_element() && node.tag_name().name() == "text");
    all.map(|node| squeezed(node.text().unwrap())).collect()
}

#[test]
fn a_browser_prints_the_text_of_the_pdf() {
    let letters = Letters::new();
    let about = About {
        title: "Field card: test".to_owned(),
        author: String::new(),
        made: None,
    };
    for example in examples() {
        // The text differs little with the paper: one example has them all.
        let papers = if example.name == "demo" {
            &Paper::ALL[..]
        } else {
            &[Paper::A4]
        };
        for &paper in papers {
            let laid = example.on(paper);
            let pictures = sides(&laid, "Field card: test", &letters);
            let document = Document::load_mem(&pdf(&laid.pages, &about).unwrap()).unwrap();
            let pages = document.get_pages();
            assert_eq!(pictures.len(), pages.len(), "{}", example.name);
            for (picture, number) in pictures.iter().zip(pages.keys()) {
                let place = format!("{} {paper:?} side {number}", example.name);
                let printed = squeezed(&document.extract_text(&[*number]).unwrap());
                let ours = texts(picture);
                for text in &ours {
                    assert!(printed.contains(text.as_str()), "{place}: \"{text}\" is not in the PDF");
                }
                // Nothing more in the one than in the other.
                let count = |text: &str| text.chars().count();
                let whole: usize = ours.iter().map(|t| count(t)).sum();
                assert_eq!(whole, count(&printed), "{place}");
                let (width, height) = paper.size_pt();
                assert!(
                    picture.contains(&format!("viewBox=\"0 0 {width:.3} {height:.3}\"")),
                    "{place}"
                );
            }
        }
    }
}

#[test]
fn a_strict_page_lets_the_sides_in() {
    // A policy that lets no inline style in refuses attributes of that name too (Content Security Policy Level 3, 6.7.3.3).
    let laid = examples()[0].on(Paper::A4);
    for picture in sides(&laid, "card", &Letters::new()) {
        assert!(!picture.contains("style=") && !picture.contains("<style") && !picture.contains("<script"));
    }
    let sheet = style(Paper::A4, ["/one", "/other"]);
    assert!(sheet.contains("@page { size: 210mm 297mm; margin: 0 }") && sheet.contains("url(/one)"));
}
