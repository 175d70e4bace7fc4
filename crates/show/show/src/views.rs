//! Shapes of JSON, each declared and filled in one place.

/// Declares structs that go out as JSON, and how each is made: `Name(arguments) { key: type = value, }`.
///
/// Every key stands once, beside its type, its value and its rounding. The published schema follows from the types and from what is said of the keys: "RFC 3339" makes
/// a time, "0 to 1" a share, several words in backticks the words that there are. `where { let … }` holds what several values share.
macro_rules! views {
    ($($(#[$about:meta])* $name:ident($($with:ident: $of:ty),* $(,)?) $(where { $($bind:stmt;)* })? {
        $($(#[$doc:meta])* $field:ident: $type:ty = $value:expr,)*
    })*) => {$(
        $(#[$about])*
        #[derive(Clone, Debug, serde::Serialize)]
        #[cfg_attr(test, derive(schemars::JsonSchema), schemars(deny_unknown_fields))]
        #[allow(missing_docs, reason = "ids, names and quantities with units in the keys")]
        pub struct $name {
            $($(#[$doc])* pub $field: $type,)*
        }

        impl $name {
            pub(crate) fn new($($with: $of),*) -> Self {
                $($($bind)*)?
                Self { $($field: $value,)* }
            }
        }
    )*};
}

pub(crate) use views;
