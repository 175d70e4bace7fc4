//! `[[kit.part]]` and `[[kit.function]]`.

use super::{ID_HINT, ID_MEANS};
use crate::limits::{self, FRACTION, Limit, TASK_MIN};
use farhop_gear::{Function, Part, PartClass};

/// Price in any currency.
const PRICE: Limit = Limit::new(0.0, 1e6, "");
/// Pieces of one part.
const COUNT: Limit = Limit::new(1.0, 1_000.0, "");

rows! { Part, "kit.part", Kit;
    id (_, around) = around.nameless.clone() => .must(ID_HINT).names()
        .means("short name; that of equipment (also `transceiver`, `tuner`, `modem`, `computer`) makes it that piece");
    stands_in_for => .means("parts that it can replace").left_out("none");
    changeover_min = 5.0 => .within(TASK_MIN).means("minutes to change over to it")
        .when(|part| !part.stands_in_for.is_empty()).why("time to change a part (common practice)");
    name (part) = part.id.to_string() => .means("for people").left_out("the id").form("Name");
    class = PartClass::Other => .means("gives the usual chance of failure").why("no class is given").form("What it is");
    needs => .left_out("none")
        .means("parts that must all work; an inner list means one of them: `[\"coax\", [\"mast\", \"cord\"]]`");
    check_min = 2.0 => .within(TASK_MIN).means("minutes to check it").why("time to check a part (common practice)");
    mass_kg = 0.0 => .within(limits::MASS_KG).means("for packing").why("no mass is given, so it is left out of sums")
        .form("Mass, kg");
    volume_l => .within(limits::VOLUME_L).means("for packing").left_out("unknown");
    price => .within(PRICE).means("for choosing, in any currency").left_out("unknown");
    fail_per_outing => .within(FRACTION).means("chance of failure").left_out("usual for the class");
    fail_per_hour => .within(FRACTION).means("chance of failure in an hour of use").left_out("usual for the class");
    weak_to => .means("what it suffers from").left_out("nothing");
    recovery => .means("what to try when it has failed, in order").left_out("nothing");
    bag = "pack".to_owned() => .means("where it travels");
    carried = true => .means("`false`: stays at home, a candidate to add; so does equipment with its id");
    count = 1 => .within(COUNT).means("how many");
}

rows! { Function, "kit.function", Kit;
    id (_, around) = around.nameless.clone() => .must(ID_HINT).names().means(ID_MEANS);
    name (function) = function.id.to_string() => .means("for people").left_out("the id");
    needs => .means("as for parts").left_out("must be given");
    vital = true => .means("the outing fails without it");
}
