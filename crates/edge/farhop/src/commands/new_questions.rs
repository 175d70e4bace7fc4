//! The eight questions of `farhop new`, each with its default.

use std::io::{BufRead, Write};

use farhop_store::open::read_text;

use super::new_answers::{Answers, antenna, region, time};
use crate::exit::Failure;

/// A question: its words, what an empty answer means, and what becomes of an answer.
struct Question {
    words: &'static str,
    default: fn(&Answers) -> String,
    take: fn(&mut Answers, &str) -> Result<(), String>,
}

const QUESTIONS: [Question; 8] = [
    Question {
        words: "Where will you operate (lat,lon or a grid locator)",
        default: |own| own.place.clone(),
        take: Answers::set_place,
    },
    Question {
        words: "From when to when, local time",
        default: |own| format!("{} {}", own.from, own.to),
        take: |own, answer| {
            let mut times = answer.split_whitespace();
            own.set_from(times.next().unwrap_or_default())?;
            if let Some(last) = times.next() {
                own.to = time(last)?;
            }
            match times.next() {
                Some(_) => Err("two times at most, the first and the last".to_owned()),
                None => Ok(()),
            }
        },
    },
    Question {
        words: "Whose bands bind you (1, 2, 3 for a region, or a name such as united-kingdom)",
        default: |own| own.region.clone(),
        take: |own, answer| region(answer).map(|name| own.region = name),
    },
    Question {
        words: "Table of your gateways (a CSV file)",
        default: |_| "an invented list, to be replaced".to_owned(),
        take: |own, answer| read_text(answer.as_ref()).map(|text| own.stations = Some(text)),
    },
    Question {
        words: "Kind of antenna",
        default: |own| own.antenna.clone(),
        take: |own, answer| antenna(answer).map(|word| own.antenna = word),
    },
    Question {
        words: "Power of the transmitter, W",
        default: |own| own.watts.to_string(),
        take: |own, answer| number(answer).map(|watts| own.watts = watts),
    },
    Question {
        words: "Capacity of the battery, Ah",
        default: |own| own.battery_ah.to_string(),
        take: |own, answer| number(answer).map(|ah| own.battery_ah = ah),
    },
    Question {
        words: "First message",
        default: |own| own.message.clone(),
        take: |own, answer| {
            answer.clone_into(&mut own.message);
            Ok(())
        },
    },
];

fn number(text: &str) -> Result<f64, String> {
    let number = text.replace(',', ".").parse::<f64>();
    let sound = number.ok().filter(|n| n.is_finite() && *n > 0.0);
    sound.ok_or_else(|| format!("{text}: not a number above 0"))
}

/// Asks each question until its answer can be taken; an empty line takes the default.
pub fn ask(mut own: Answers, from: &mut impl BufRead, to: &mut impl Write) -> Result<Answers, Failure> {
    let failed = |e: std::io::Error| Failure::input(format!("the answers cannot be read: {e}"));
    for question in &QUESTIONS {
        loop {
            write!(to, "{} [{}]: ", question.words, (question.default)(&own)).map_err(failed)?;
            to.flush().map_err(failed)?;
            let mut line = String::new();
            if from.read_line(&mut line).map_err(failed)? == 0 {
                return Err(Failure::input("the answers ended early; nothing was made"));
            }
            let answer = line.trim();
            if answer.is_empty() {
                break;
            }
            match (question.take)(&mut own, answer) {
                Ok(()) => break,
                Err(error) => writeln!(to, "  {error}").map_err(failed)?,
            }
        }
    }
    Ok(own)
}

#[cfg(test)]
mod tests {
    use jiff::civil::Date;

    use super::*;

    fn asked(answers: &str) -> (Result<Answers, Failure>, String) {
        let mut said = Vec::new();
        let usual = Answers::usual(Date::constant(2026, 11, 29));
        let own = ask(usual, &mut answers.as_bytes(), &mut said);
        (own, String::from_utf8(said).unwrap())
    }

    #[test]
    fn empty_lines_take_every_default() {
        let (own, said) = asked(&"\n".repeat(8));
        assert_eq!(own.unwrap(), Answers::usual(Date::constant(2026, 11, 29)));
        assert_eq!(said.matches("]: ").count(), 8, "{said}");
    }

    #[test]
    fn answers_are_taken_and_wrong_ones_asked_again() {
        let (own, said) = asked("nowhere\n-43.48,170.9\n2026-12-12\n\n\nend-fed\nmany\n10\n7,5\nAll well\n");
        let own = own.unwrap();
        assert_eq!(
            (own.place.as_str(), own.region.as_str()),
            ("-43.48,170.9", "iaru-region-3")
        );
        assert_eq!((own.from.as_str(), own.to.as_str()), ("2026-12-12", "2026-12-12"));
        assert_eq!(
            (own.antenna.as_str(), own.watts, own.battery_ah),
            ("end-fed", 10.0, 7.5)
        );
        assert_eq!(own.message, "All well");
        assert!(
            said.contains("many: not a number above 0") && said.matches("Where will").count() == 2,
            "{said}"
        );
    }

    #[test]
    fn answers_that_end_early_make_nothing() {
        let (own, _) = asked("\n\n");
        assert!(own.unwrap_err().to_string().contains("nothing was made"));
    }
}
