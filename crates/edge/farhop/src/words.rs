//! Arguments that are words of a list: the words are those of the outing file.

use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};
use farhop_outing::{GroundClass, NoiseClass};

/// A class of man-made noise.
pub fn noise_class() -> impl TypedValueParser<Value = NoiseClass> {
    one_of(&NoiseClass::WORDS, |class| {
        let word = class.word().replace('-', " ");
        word[..1].to_uppercase() + &word[1..]
    })
}

/// A class of ground.
pub(crate) fn ground_class() -> impl TypedValueParser<Value = GroundClass> {
    one_of(&GroundClass::WORDS, |class| class.looks().to_owned())
}

/// One of a list of words; the help tells what each stands for.
fn one_of<T: Copy + Send + Sync + 'static>(
    words: &'static [(&'static str, T)],
    told: fn(T) -> String,
) -> impl TypedValueParser<Value = T> {
    let values = words
        .iter()
        .map(|(word, value)| PossibleValue::new(*word).help(told(*value)));
    PossibleValuesParser::new(values).try_map(|said| {
        let found = words.iter().find(|w| w.0 == said);
        found.map(|w| w.1).ok_or_else(|| format!("{said} is not in the list"))
    })
}
