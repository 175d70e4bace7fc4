//! Examples under every `--help`: one place, and each is tried by a test.

use clap::CommandFactory as _;

use crate::args::Cli;

/// Command, and what one would type.
const EXAMPLES: [(&str, &[&str]); 26] = [
    ("plan", &["farhop plan --brief", "farhop plan trip.toml --site hut"]),
    (
        "path",
        &["farhop path --from RE56 --to -42.96,170.69 --mhz 7.1 --at 2026-12-12T06:30Z"],
    ),
    (
        "sky",
        &["farhop sky --place 46.8,8.1 --at 2026-12-12T06:00Z --hours 12"],
    ),
    (
        "antenna",
        &[
            "farhop antenna inverted-v --mhz 7.05",
            "farhop antenna trip.toml --compare vee,whip",
        ],
    ),
    ("feed", &["farhop feed --antenna vee"]),
    ("energy", &["farhop energy trip.toml --svg charge.svg"]),
    ("days", &["farhop days --days 2000 --csv days.csv"]),
    ("kit", &["farhop kit --limit-kg 1.5"]),
    ("exposure", &["farhop exposure --site hut"]),
    ("cache", &["farhop cache --clear"]),
    (
        "fault",
        &["farhop fault --symptom \"high SWR\"", "farhop fault --found ok"],
    ),
    ("next", &["farhop next --minutes 20"]),
    ("now", &["farhop now --at 14:35"]),
    ("debrief", &["farhop debrief --html debrief.html"]),
    (
        "log",
        &[
            "farhop log call larch 3.59 no",
            "farhop log volt 12.4 --at -20m",
            "farhop log --list",
        ],
    ),
    ("export", &["farhop export --calendar trip.ics --gpx trip.gpx"]),
    ("import", &["farhop import walk.gpx --into trip.toml"]),
    ("conditions", &["farhop conditions --file alert.txt --write"]),
    (
        "bundle",
        &[
            "farhop bundle -o trip.farhop",
            "farhop bundle --open trip.farhop --into trip",
        ],
    ),
    ("serve", &["farhop serve --share"]),
    (
        "pocket",
        &["farhop pocket -o phone-files", "farhop pocket --single farhop.html"],
    ),
    ("card", &["farhop card -o card.pdf"]),
    ("check", &["farhop check trip.toml --defaults"]),
    ("channel", &["farhop channel --mode narrow-500"]),
    (
        "new",
        &[
            "farhop new trip",
            "farhop new trip --place 46.8,8.1 --from 2026-12-12 --antenna inverted-v --watts 5",
        ],
    ),
    ("pages", &["farhop pages /usr/share/farhop"]),
];

/// The command line with its examples.
pub fn command() -> clap::Command {
    EXAMPLES.iter().fold(Cli::command(), |whole, (name, lines)| {
        whole.mut_subcommand(*name, |own| own.after_help(help(lines)))
    })
}

fn help(lines: &[&str]) -> String {
    let head = if lines.len() == 1 { "Example:" } else { "Examples:" };
    lines
        .iter()
        .fold(head.to_owned(), |text, line| format!("{text}\n  {line}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Words as a shell parts them: double quotes keep words together.
    fn parted(line: &str) -> Vec<String> {
        let pieces = line.split('"').enumerate();
        let words = pieces.flat_map(|(i, piece)| match i % 2 {
            0 => piece.split_whitespace().map(str::to_owned).collect(),
            _ => vec![piece.to_owned()],
        });
        words.collect()
    }

    #[test]
    fn the_command_line_is_sound() {
        command().debug_assert();
    }

    #[test]
    fn every_command_has_an_example_that_is_understood() {
        let whole = command();
        let named: Vec<&str> = whole.get_subcommands().map(clap::Command::get_name).collect();
        let with: Vec<&str> = EXAMPLES.iter().map(|e| e.0).collect();
        assert_eq!(
            named, with,
            "a command without an example, or one without a command, or another order"
        );
        for (name, lines) in EXAMPLES {
            for line in lines {
                let words = parted(line);
                assert_eq!(words[1], name, "{line}");
                let words = crate::commands::log::apart(words.into_iter().map(Into::into));
                let read = command().try_get_matches_from(words);
                assert!(read.is_ok(), "{line}: {}", read.unwrap_err());
                assert!(line.len() <= 96, "{line}");
            }
        }
    }
}
