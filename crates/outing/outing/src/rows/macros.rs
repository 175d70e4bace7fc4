//! The notation of rows.

/// The rows of a section. One row a key:
///
/// `key in field.path = default => .means("…").why("…").within(LIMIT).form("…");`
///
/// Without `in` the field is called as the key is. A default that follows from the keys above is written
/// `key (section) = section.other * 2.0`, or `key (_, around)` where it follows from what is around. `key: Shape => …` is a key
/// that a row beside it reads.
macro_rules! rows {
    ($of:ident, $path:literal, $topic:ident;
     $( $key:ident $(: $shape:ident)? $(in $($field:ident).+)? $(( $($bind:pat_param),+ ))? $(= $usual:expr)?
        => $( .$call:ident( $($arg:expr),* ) )+ ; )+) => {
        impl $crate::rows::Section for $of {
            const PATH: &'static str = $path;
            const TOPIC: $crate::rows::Topic = $crate::rows::Topic::$topic;
            const ROWS: &'static [$crate::rows::Row<Self>] = &[
                $( row!($of; $key $(: $shape)? $(in $($field).+)? $(( $($bind),+ ))? $(= $usual)?)
                    $( .$call( $($arg),* ) )+ ),+
            ];
        }
    };
}

/// One row, without what its calls add.
macro_rules! row {
    ($of:ident; $key:ident : $shape:ident) => {
        $crate::rows::Row::<$of>::beside(stringify!($key), || $crate::rows::Shape::$shape)
    };
    ($of:ident; $key:ident in $($field:ident).+) => {
        $crate::rows::Row::<$of>::new(
            stringify!($key),
            |own, from, about| $crate::rows::values::take(&mut own.$($field).+, from, about),
            |own| $crate::rows::Value::shown(&own.$($field).+),
            |own, c, about| $crate::rows::Value::check(&own.$($field).+, c, about),
            || $crate::rows::values::shape_of(|own: &$of| &own.$($field).+),
        )
    };
    ($of:ident; $key:ident in $($field:ident).+ = $usual:expr) => {
        row!($of; $key in $($field).+).usual(|own, _| own.$($field).+ = $usual)
    };
    ($of:ident; $key:ident in $($field:ident).+ ($section:pat_param) = $usual:expr) => {
        row!($of; $key in $($field).+ ($section, _) = $usual)
    };
    ($of:ident; $key:ident in $($field:ident).+ ($section:pat_param, $around:pat_param) = $usual:expr) => {
        row!($of; $key in $($field).+).usual(|own, around| {
            let value = {
                let ($section, $around) = (&*own, around);
                $usual
            };
            own.$($field).+ = value;
        })
    };
    ($of:ident; $key:ident $($rest:tt)*) => {
        row!($of; $key in $key $($rest)*)
    };
}
