//! Choices that people write as words: an enum and its words are written down once.

/// A choice that is made by a word.
pub trait Choice {
    /// The words, the usual one first.
    fn words(&self) -> Vec<&'static str>;

    /// Chooses by the place of a word in that list; a place outside changes nothing.
    fn choose(&mut self, place: usize);
}

/// Makes an enum whose variants each have the word by which a file or a command names them.
macro_rules! words {
    ($(#[$about:meta])* pub enum $name:ident { $($(#[$doc:meta])* $variant:ident = $word:literal,)* }) => {
        $(#[$about])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
        pub enum $name {
            $($(#[$doc])* $variant,)*
        }

        impl $name {
            /// All, in the order of the guide.
            pub const ALL: [Self; [$($word),*].len()] = [$(Self::$variant),*];

            /// All with the word that a file writes for them.
            pub const WORDS: [(&'static str, Self); [$($word),*].len()] = [$(($word, Self::$variant)),*];

            /// The word that a file writes for it.
            #[must_use]
            pub fn word(self) -> &'static str {
                match self {
                    $(Self::$variant => $word,)*
                }
            }
        }

        impl $crate::words::Choice for $name {
            fn words(&self) -> Vec<&'static str> {
                Self::WORDS.iter().map(|w| w.0).collect()
            }

            fn choose(&mut self, place: usize) {
                *self = Self::ALL.get(place).copied().unwrap_or(*self);
            }
        }
    };
}
