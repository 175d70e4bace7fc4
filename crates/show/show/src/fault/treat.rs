//! How a part is treated where the outing says nothing of its own: by its kind. Common practice, from memory.

use farhop_kit::PartClass;

/// What to do with a part of a kind that is, or may be, at fault.
#[must_use]
pub fn treatment(class: PartClass) -> &'static str {
    match class {
        PartClass::Connector => "Pull it, look for bent pins, dirt and water, dry it, and push it in until it sits.",
        PartClass::Cable => {
            "Bend it along its length while you watch meter or display: where that changes something it is broken. Put another in its place."
        }
        PartClass::Wire => {
            "Look along it, at knots and at the feed point: twist broken strands together and tape them."
        }
        PartClass::Battery => {
            "Measure it while something draws from it. Charge it, warm it against the body, or put another in its place."
        }
        PartClass::Panel => "Turn it to the sun, wipe it, and look at its plug and lead.",
        PartClass::Fuse => "Look at its wire, or measure it. Put in one of the same rating; never bridge it.",
        PartClass::Electronics => {
            "Switch it off, wait ten seconds, switch it on again. Then go over its plugs and settings."
        }
        PartClass::Computer => "Restart it. Warm it when it is cold, charge it when it is low.",
        PartClass::Software => "Close the program and open it again; then restart the computer.",
        PartClass::Mechanical => {
            "Lower it, look for a crack or a section that slipped, and splint it with tape and a stick."
        }
        PartClass::Shelter => "Dry it and tape it; get warm before anything else.",
        PartClass::Other => "Look at it, move it, or put another in its place.",
    }
}
