//! Kinds of antenna, in the numbers that somebody with a tape measure knows.
//!
//! A kind is a file here: its measures with their limits and usual values, what its measures must be together, how it is
//! varied, and how it is told. Whoever reads, checks, varies or tells an antenna goes over [`Kind`] and knows no kind by name.
//!
//! ```
//! use farhop_gear::AntennaKind;
//! let kind = AntennaKind::usual("delta-loop").ok_or("there is no such kind")?;
//! assert_eq!(kind.told(&|m| format!("{m} m")), "42 m of wire as a triangle: apex at 10 m, base at 2 m, fed in the middle of the base.");
//! # Ok::<(), &str>(())
//! ```

mod check;
mod declared;
mod delta_loop;
mod end_fed;
mod flat_dipole;
mod horizontal_loop;
mod inverted_v;
mod linked_dipole;
pub mod measure;
mod small_loop;
mod vertical;
mod whip;
mod wires;

pub use declared::{DeclaredAntenna, DeclaredShape};
pub use delta_loop::DeltaLoop;
pub use end_fed::{EndFed, EndFedShape};
pub use flat_dipole::FlatDipole;
pub use horizontal_loop::HorizontalLoop;
pub use inverted_v::InvertedV;
pub use linked_dipole::LinkedDipole;
pub use measure::{Absent, Measure, Slot};
pub use small_loop::SmallLoop;
pub use vertical::Vertical;
pub use whip::{Loading, Whip};
pub use wires::FreeWires;

/// How a kind of antenna is best turned toward a station.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Facing {
    /// As suits.
    Any,
    /// The wire across the way to the station.
    Across,
    /// Its edge toward the station.
    Edge,
}

/// What each kind of antenna says about itself.
pub trait Kind {
    /// Its measures, in the order in which a file is read.
    fn measures(&mut self) -> Vec<Measure<'_>>;

    /// How it hangs, in a sentence with its measures; `m` writes metres.
    fn told(&self, m: &dyn Fn(f64) -> String) -> String;

    /// How it should hang, after "Hang it"; `m` writes metres; none where there is nothing to say.
    fn hung(&self, _m: &dyn Fn(f64) -> String) -> Option<String> {
        None
    }

    /// Names what its measures, each good by itself, cannot be together: key, cause, and what to do.
    fn misfits(&self, _say: &mut dyn FnMut(&str, String, &'static str)) {}

    /// Names what would not hang on every band that it is meant for: key, cause, and what to do.
    fn misfits_of_some_band(&self, _say: &mut dyn FnMut(&str, String, &'static str)) {}

    /// Brings along what hangs from a high point that was tried higher or lower.
    fn settle(&mut self) {}

    /// How it is best turned.
    fn facing(&self) -> Facing {
        Facing::Any
    }

    /// What is raised when it is raised.
    fn high_point(&self) -> &'static str {
        "it"
    }

    /// A bearing of its own, degrees true, for an antenna whose direction is not stated.
    fn own_bearing_deg(&self) -> Option<f64> {
        None
    }

    /// Counts the bearings among its measures from a bearing in degrees true instead of from north.
    fn count_bearings_from(&mut self, _axis_bearing_deg: f64) {}

    /// Impedance ratio (dimensionless) between its wires and the line by its own make.
    fn own_ratio(&self) -> f64 {
        1.0
    }

    /// Thickness of its conductor in millimetres, where that is one of its measures.
    fn conductor_mm(&self) -> Option<f64> {
        None
    }
}

/// An example of a kind.
pub trait Example: Kind + Sized {
    /// With usual field measures (common practice).
    fn example() -> Self;
    /// The example in a few words; none where a kind has no usual measures.
    const SAID: Option<&'static str>;
}

/// Calls a macro with every kind: what it is, its name, its type, its word. **A new kind is added here and in its own file.**
#[macro_export]
macro_rules! every_antenna_kind {
    ($then:ident) => {
        $then! {
            /// Level dipole fed in the middle.
            FlatDipole(FlatDipole) "flat-dipole",
            /// Dipole with a high middle.
            InvertedV(InvertedV) "inverted-v",
            /// Inverted V whose legs are lengthened by closing links.
            LinkedDipole(LinkedDipole) "linked-dipole",
            /// Wire fed at one end against a counterpoise, through a transformer.
            EndFed(EndFed) "end-fed",
            /// Upright wire or tube over radials.
            Vertical(Vertical) "vertical",
            /// Whip on an extension mast, perhaps loaded by a coil, perhaps leaning.
            Whip(Whip) "whip",
            /// Small tuned loop.
            SmallLoop(SmallLoop) "small-loop",
            /// Level loop of about one wavelength.
            HorizontalLoop(HorizontalLoop) "horizontal-loop",
            /// Upright triangle, apex up.
            DeltaLoop(DeltaLoop) "delta-loop",
            /// Free list of straight wires.
            Wires(FreeWires) "wires",
            /// Not computed: its behaviour is declared.
            Declared(DeclaredAntenna) "declared",
        }
    };
}

macro_rules! kinds {
    ($($(#[$doc:meta])* $variant:ident($kind:ident) $word:literal,)*) => {
        /// The kind of an antenna and its measures. Lengths and heights in metres above ground.
        #[derive(Clone, Debug, PartialEq)]
        pub enum AntennaKind {
            $($(#[$doc])* $variant($kind),)*
        }

        impl AntennaKind {
            /// The words of all kinds, in the order of the guide.
            pub const WORDS: [&'static str; [$($word),*].len()] = [$($word),*];

            /// The word of the outing file for this kind.
            #[must_use]
            pub fn word(&self) -> &'static str {
                match self {
                    $(Self::$variant(_) => $word,)*
                }
            }

            /// A kind by its word, with usual field measures (common practice).
            #[must_use]
            pub fn usual(word: &str) -> Option<Self> {
                match word {
                    $($word => Some(Self::$variant($kind::example())),)*
                    _ => None,
                }
            }

            /// The usual measures of this kind in a few words; none where it has none.
            #[must_use]
            pub fn usual_said(&self) -> Option<&'static str> {
                match self {
                    $(Self::$variant(_) => $kind::SAID,)*
                }
            }

            fn own(&self) -> &(dyn Kind + 'static) {
                match self {
                    $(Self::$variant(kind) => kind,)*
                }
            }

            fn own_mut(&mut self) -> &mut (dyn Kind + 'static) {
                match self {
                    $(Self::$variant(kind) => kind,)*
                }
            }
        }
    };
}
every_antenna_kind!(kinds);

impl AntennaKind {
    /// Whether its behaviour is declared, so that there are no wires to compute with.
    #[must_use]
    pub fn is_declared(&self) -> bool {
        matches!(self, Self::Declared(_))
    }
}

impl std::ops::Deref for AntennaKind {
    type Target = dyn Kind;

    fn deref(&self) -> &Self::Target {
        self.own()
    }
}

impl std::ops::DerefMut for AntennaKind {
    fn deref_mut(&mut self) -> &mut Self::Target {
        self.own_mut()
    }
}
