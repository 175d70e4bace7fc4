//! One report, three ways to set it.

use farhop_show::document::{Column, Document, Table};

fn report() -> Document {
    let mut doc = Document::new("It holds <for now>.");
    doc.section("calls", "Calls");
    doc.say("Sat 12 Dec");
    doc.step("first");
    doc.say("Sun 13 Dec");
    doc.step("second, `farhop next` says when");
    doc.section("hours", "Hours");
    doc.gives_way(1, "the hours");
    let mut table = Table::new([Column::cut("name", 8), Column::number("Wh"), Column::words("what")]);
    table.row(["a very long name", "3.1", &"word ".repeat(30)]);
    doc.table(table);
    doc.section("empty", "Nothing here");
    doc.table(Table::new([Column::words("never")]));
    doc
}

#[test]
fn steps_are_numbered_through_a_section_and_long_cells_run_on_below_themselves() {
    let text = report().text();
    assert!(text.contains("1. first") && text.contains("2. second"), "{text}");
    assert!(text.contains("a very …"), "{text}");
    assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
    // Columns are counted in letters, not in bytes.
    let place = |l: &str| l.split_once("word").map(|(before, _)| before.chars().count());
    let column = text.lines().find_map(place).unwrap();
    let rows = text.lines().filter(|l| l.contains("word word"));
    assert!(
        rows.clone().count() > 1 && rows.into_iter().all(|l| place(l) == Some(column)),
        "{text}"
    );
}

#[test]
fn what_gives_way_is_named_and_the_rest_stays() {
    let whole = report().text();
    assert_eq!(report().text_within(whole.lines().count(), "elsewhere"), whole);
    let short = report().text_within(whole.lines().count() - 1, "`--json` has all");
    assert!(!short.contains("word word") && short.contains("1. first"), "{short}");
    assert!(
        short.ends_with("No room here for the hours: `--json` has all.\n"),
        "{short}"
    );
}

#[test]
fn a_page_has_the_same_words_escaped_and_numbered_alike() {
    let page = report().page("T", "Does it hold?");
    assert!(page.contains("It holds &lt;for now&gt;.") && !page.contains("<for now>"));
    assert!(page.contains("<ol start=\"1\">") && page.contains("<ol start=\"2\">"));
    assert!(page.contains("<code>farhop next</code>"));
    let section = report().section_html("calls");
    assert!(section.contains("Calls") && !section.contains("Hours"));
    assert_eq!(report().section_html("no such"), "");
}
