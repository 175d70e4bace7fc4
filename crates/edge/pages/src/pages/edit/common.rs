//! Parts that most stations in the field carry, to be put into the kit by one touch and changed to one's own. Numbers from memory.

/// A common part.
pub struct Common {
    /// Word of the form.
    pub word: &'static str,
    /// What it is, for people.
    pub label: &'static str,
    /// Where it stands in the outing's text.
    pub path: &'static str,
    /// Whether there may be several; `#` in the text then stands for a number.
    pub many: bool,
    /// What stands in it.
    pub text: &'static str,
}

/// Equipment with a draw, a loss or a charge of its own.
const fn one(word: &'static str, label: &'static str, path: &'static str, text: &'static str) -> Common {
    Common {
        word,
        label,
        path,
        many: false,
        text,
    }
}

const fn many(word: &'static str, label: &'static str, path: &'static str, text: &'static str) -> Common {
    Common {
        many: true,
        ..one(word, label, path, text)
    }
}

/// The list, in the order in which a kit is thought of.
pub const COMMON: [Common; 15] = [
    one("tuner", "Automatic tuner", "kit.tuner", "kind = \"automatic\"\n"),
    one(
        "tablet",
        "Tablet or phone for the mail",
        "kit.computer",
        "bright_w = 6\ndim_w = 3\nsleep_w = 0.2\n",
    ),
    one(
        "laptop",
        "Small laptop for the mail",
        "kit.computer",
        "bright_w = 12\ndim_w = 7\nsleep_w = 0.5\n",
    ),
    many(
        "coax",
        "Coax, 10 m",
        "kit.feedline",
        "id = \"coax-#\"\nline = \"rg-58\"\nlength_m = 10\n",
    ),
    many(
        "thin-coax",
        "Thin coax, 7 m",
        "kit.feedline",
        "id = \"coax-#\"\nline = \"rg-174\"\nlength_m = 7\n",
    ),
    many(
        "battery-6",
        "LiFePO4 battery, 6 Ah",
        "kit.battery",
        "id = \"battery-#\"\nchemistry = \"lifepo4\"\ncapacity_ah = 6\n",
    ),
    many(
        "battery-3",
        "LiFePO4 battery, 3 Ah",
        "kit.battery",
        "id = \"battery-#\"\nchemistry = \"lifepo4\"\ncapacity_ah = 3\n",
    ),
    many(
        "panel",
        "Folding solar panel, 14 W",
        "kit.panel",
        "id = \"panel-#\"\nrated_w = 14\n",
    ),
    many(
        "five-volt",
        "Converter to 5 V",
        "kit.converter",
        "id = \"five-volt-#\"\nout_v = 5\n",
    ),
    many(
        "headlamp",
        "Headlamp, charged on the way",
        "kit.load",
        "id = \"headlamp-#\"\non_w = 2\non_h_per_day = 1.5\n",
    ),
    many(
        "mast",
        "Fibreglass mast",
        "kit.part",
        "id = \"mast-#\"\nname = \"Fibreglass mast\"\nclass = \"mechanical\"\nmass_kg = 0.8\n",
    ),
    many(
        "cord",
        "Throwing line",
        "kit.part",
        "id = \"cord-#\"\nname = \"Throwing line\"\nclass = \"mechanical\"\nmass_kg = 0.15\n",
    ),
    many(
        "fuses",
        "Spare fuses",
        "kit.part",
        "id = \"fuses-#\"\nname = \"Spare fuses\"\nclass = \"fuse\"\nmass_kg = 0.01\n",
    ),
    many(
        "power-cable",
        "Second power cable",
        "kit.part",
        "id = \"power-cable-#\"\nname = \"Second power cable\"\nclass = \"cable\"\nmass_kg = 0.08\n",
    ),
    many(
        "shelter",
        "Shelter and warm things",
        "kit.part",
        "id = \"shelter-#\"\nname = \"Shelter and warm things\"\nclass = \"shelter\"\nmass_kg = 1.9\n",
    ),
];
