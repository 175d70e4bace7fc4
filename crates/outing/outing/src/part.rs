//! Parts and functions: the graph of what needs what.

use crate::id::Id;

/// Kind of a part, for the usual chance of failure.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum PartClass {
    /// Plug, socket, adapter.
    Connector,
    /// Cable or cord.
    Cable,
    /// Wire antenna or its cords.
    Wire,
    /// Battery or cell.
    Battery,
    /// Solar panel.
    Panel,
    /// Fuse.
    Fuse,
    /// Circuit in a box: transceiver, tuner, modem, converter.
    Electronics,
    /// Computer, phone or tablet.
    Computer,
    /// Program or file.
    Software,
    /// Mast, pole, peg, stand.
    Mechanical,
    /// Clothing, shelter, food: what keeps the operator able.
    Shelter,
    /// Anything else.
    Other,
}

impl PartClass {
    /// All classes with the word of the outing file.
    pub const WORDS: [(&'static str, Self); 12] = [
        ("connector", Self::Connector),
        ("cable", Self::Cable),
        ("wire", Self::Wire),
        ("battery", Self::Battery),
        ("panel", Self::Panel),
        ("fuse", Self::Fuse),
        ("electronics", Self::Electronics),
        ("computer", Self::Computer),
        ("software", Self::Software),
        ("mechanical", Self::Mechanical),
        ("shelter", Self::Shelter),
        ("other", Self::Other),
    ];
}

/// What a part suffers from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum WeakTo {
    /// Rain and wet hands.
    Wet,
    /// Frost.
    Cold,
    /// Dust and sand.
    Dust,
    /// A fall.
    Drop,
}

impl WeakTo {
    /// All with the word of the outing file.
    pub const WORDS: [(&'static str, Self); 4] = [
        ("wet", Self::Wet),
        ("cold", Self::Cold),
        ("dust", Self::Dust),
        ("drop", Self::Drop),
    ];
}

/// One need: any one of these parts is enough.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Need {
    /// Parts of which one must work, at least one.
    pub any_of: Vec<Id>,
}

/// A part of the kit, carried or only a candidate.
#[derive(Clone, Debug, PartialEq)]
pub struct Part {
    /// Short name; the id of a piece of equipment makes it that piece.
    pub id: Id,
    /// Name for people.
    pub name: String,
    /// Kind.
    pub class: PartClass,
    /// What must work for this part to work, all of them.
    pub needs: Vec<Need>,
    /// Parts for which it can stand in.
    pub stands_in_for: Vec<Id>,
    /// Minutes to change over to it.
    pub changeover_min: f64,
    /// Minutes to check it when looking for a fault.
    pub check_min: f64,
    /// Mass in kg.
    pub mass_kg: f64,
    /// Volume in litres, if known.
    pub volume_l: Option<f64>,
    /// Price in any currency, the same for all parts (dimensionless), if known.
    pub price: Option<f64>,
    /// Chance of failure in one outing (dimensionless); none means the usual one for its class.
    pub fail_per_outing: Option<f64>,
    /// Chance of failure in one hour of use (dimensionless); none means the usual one for its class.
    pub fail_per_hour: Option<f64>,
    /// What it suffers from.
    pub weak_to: Vec<WeakTo>,
    /// What to try when it has failed, in order.
    pub recovery: Vec<String>,
    /// Bag in which it travels.
    pub bag: String,
    /// Carried (true) or only a candidate to add (false).
    pub carried: bool,
    /// How many of it.
    pub count: u32,
}

/// Something that the kit must be able to do.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Function {
    /// Short name.
    pub id: Id,
    /// Name for people.
    pub name: String,
    /// What must work for it, all of them.
    pub needs: Vec<Need>,
    /// The outing fails without it.
    pub vital: bool,
}
