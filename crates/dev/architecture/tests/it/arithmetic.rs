//! What is computed below the edge is the same on every machine: sines and the like come from `num::maths`, never from the machine.

use farhop_architecture::rooms;

/// Functions that the machine's own library gives, and that differ in the last place from one to another. Roots, roundings and
/// remainders are exact everywhere, and powers by whole numbers are products.
const OF_THE_MACHINE: [&str; 22] = [
    "sin",
    "cos",
    "tan",
    "asin",
    "acos",
    "atan",
    "atan2",
    "sin_cos",
    "sinh",
    "cosh",
    "tanh",
    "exp",
    "exp2",
    "exp_m1",
    "ln",
    "ln_1p",
    "log10",
    "log2",
    "powf",
    "hypot",
    "cbrt",
    "from_polar",
];

#[test]
fn no_room_below_the_edge_asks_the_machine_for_a_sine() {
    let mut found = Vec::new();
    // The card draws: what it computes is rounded to a place on paper.
    for room in rooms()
        .into_iter()
        .filter(|r| !["edge", "dev"].contains(&r.floor) && r.name != "card")
    {
        for (file, text) in room
            .shipped()
            .iter()
            .filter(|(file, _)| !file.ends_with("num/src/maths.rs"))
        {
            let lines = text.lines().filter(|line| !line.trim_start().starts_with("//"));
            for line in lines {
                if OF_THE_MACHINE
                    .iter()
                    .any(|name| line.contains(&format!(".{name}(")) || line.contains(&format!("Complex64::{name}(")))
                {
                    found.push(format!("{}: {}", file.display(), line.trim()));
                }
            }
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}
