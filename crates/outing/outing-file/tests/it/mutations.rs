//! Whatever is typed, nothing panics, and a refusal always points somewhere.

use farhop_outing_file::{Reading, read, render_all};
use proptest::prelude::*;

const FILES: [&str; 3] = [
    include_str!("../../../../../examples/demo.toml"),
    include_str!("../../../../../examples/equator.toml"),
    include_str!("../../starter/outing.toml"),
];

fn check(text: &str, list: &str) -> Reading {
    let reading = read(text, "typed.toml", &|_| Ok(list.to_owned()));
    let errors = reading.problems.iter().filter(|p| p.is_error()).count();
    assert_eq!(
        reading.outing.is_some(),
        errors == 0,
        "{}",
        render_all(&reading.problems)
    );
    for problem in &reading.problems {
        let source = if problem.file == "typed.toml" { text } else { list };
        let lines: Vec<&str> = source.split('\n').collect();
        assert!(
            problem.line >= 1 && problem.line <= lines.len(),
            "line {} of {}",
            problem.line,
            lines.len()
        );
        let width = lines[problem.line - 1].chars().count();
        assert!(
            problem.column >= 1 && problem.column <= width + 1,
            "column {} of {width}",
            problem.column
        );
        assert!(!problem.cause.is_empty());
    }
    reading
}

/// A slip of some kind at some place.
#[derive(Clone, Debug)]
enum Slip {
    DropLine(usize),
    DoubleLine(usize),
    SwapLines(usize, usize),
    DropChars(usize, usize),
    Insert(usize, String),
    Number(usize, String),
    Cut(usize),
}

fn slip() -> impl Strategy<Value = Slip> {
    let odd = prop_oneof![
        Just("nan"),
        Just("inf"),
        Just("-inf"),
        Just("-1"),
        Just("0"),
        Just("1e400"),
        Just("99999999999999999999"),
        Just("\"x\""),
        Just("[]"),
        Just("[[1]]"),
        Just("{}"),
        Just("true"),
        Just("2031-01-01"),
        Just("1e-300"),
        Just("\"90,0\""),
        Just("\"-90,180\""),
        Just("0x10"),
        Just("07:30"),
        Just("''"),
    ];
    prop_oneof![
        any::<usize>().prop_map(Slip::DropLine),
        any::<usize>().prop_map(Slip::DoubleLine),
        (any::<usize>(), any::<usize>()).prop_map(|(a, b)| Slip::SwapLines(a, b)),
        (any::<usize>(), 1usize..40).prop_map(|(a, n)| Slip::DropChars(a, n)),
        (any::<usize>(), "[\\PC\\n\"\\[\\]{}=#.,é😀]{1,6}").prop_map(|(a, t)| Slip::Insert(a, t)),
        (any::<usize>(), odd).prop_map(|(a, t)| Slip::Number(a, t.to_owned())),
        any::<usize>().prop_map(Slip::Cut),
    ]
}

fn apply(text: &str, slip: &Slip) -> String {
    let mut lines: Vec<&str> = text.split('\n').collect();
    let mut chars: Vec<char> = text.chars().collect();
    let (rows, letters) = (lines.len(), chars.len().max(1));
    match slip {
        Slip::DropLine(a) => {
            lines.remove(a % rows);
        }
        Slip::DoubleLine(a) => lines.insert(a % rows, lines[a % rows]),
        Slip::SwapLines(a, b) => lines.swap(a % rows, b % rows),
        Slip::DropChars(a, n) => {
            let start = a % letters;
            chars.drain(start.min(chars.len())..(start + n).min(chars.len()));
            return chars.into_iter().collect();
        }
        Slip::Insert(a, more) => {
            let at = (a % letters).min(chars.len());
            chars.splice(at..at, more.chars());
            return chars.into_iter().collect();
        }
        Slip::Number(a, value) => {
            let row = a % rows;
            if let Some((key, _)) = lines[row].split_once('=') {
                let line = format!("{key}= {value}");
                lines[row] = &line;
                return lines.join("\n");
            }
        }
        Slip::Cut(a) => return chars.into_iter().take(a % letters).collect(),
    }
    lines.join("\n")
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, ..ProptestConfig::default() })]

    #[test]
    fn slips_never_panic(file in 0usize..3, slips in proptest::collection::vec(slip(), 1..5)) {
        let mut text = FILES[file].to_owned();
        for slip in &slips {
            text = apply(&text, slip);
        }
        check(&text, include_str!("../../starter/stations.csv"));
    }

    #[test]
    fn slips_in_the_list_never_panic(slips in proptest::collection::vec(slip(), 1..4)) {
        let mut list = include_str!("../../starter/stations.csv").to_owned();
        for slip in &slips {
            list = apply(&list, slip);
        }
        check(FILES[2], &list);
    }

    #[test]
    fn any_text_never_panics(text in "\\PC{0,200}") {
        prop_assert!(check(&text, &text).outing.is_none());
    }
}

#[test]
fn every_single_value_may_be_anything() {
    let odd = [
        "nan",
        "-inf",
        "-1",
        "0",
        "1e300",
        "\"\"",
        "[]",
        "{}",
        "true",
        "1850-01-01",
        "[[1, 2, 3]]",
        "[{}]",
    ];
    for file in FILES {
        let rows = file.split('\n').count();
        for row in 0..rows {
            let value = odd[row % odd.len()];
            check(&apply(file, &Slip::Number(row, value.to_owned())), "");
        }
    }
}
