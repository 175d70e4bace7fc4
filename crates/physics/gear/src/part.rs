//! Parts and functions: what needs what.

use crate::id::Id;

words! {
    /// Kind of a part, for the usual chance of failure.
    #[derive(Default)]
    pub enum PartClass {
        /// Plug, socket, adapter.
        Connector = "connector",
        /// Cable or cord that carries current.
        Cable = "cable",
        /// Wire antenna or its cords.
        Wire = "wire",
        /// Battery or cell.
        Battery = "battery",
        /// Solar panel.
        Panel = "panel",
        /// Fuse.
        Fuse = "fuse",
        /// Circuit in a box: transceiver, tuner, modem, converter.
        Electronics = "electronics",
        /// Computer, phone or tablet.
        Computer = "computer",
        /// Program or file.
        Software = "software",
        /// Mast, pole, peg, stand.
        Mechanical = "mechanical",
        /// Clothing, shelter, food: what keeps the operator able.
        Shelter = "shelter",
        /// Anything else.
        #[default]
        Other = "other",
    }
}

words! {
    /// What a part suffers from.
    pub enum WeakTo {
        /// Rain and wet hands.
        Wet = "wet",
        /// Frost.
        Cold = "cold",
        /// Dust and sand.
        Dust = "dust",
        /// A fall.
        Drop = "drop",
    }
}

/// What a part does in the station, where it is known: the search for a fault reads symptoms from it.
///
/// A part without a role gets its place from its class and from who needs it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Role {
    /// Transceiver.
    Transceiver,
    /// Antenna tuner.
    Tuner,
    /// Antenna.
    Antenna,
    /// Feed line.
    FeedLine,
    /// Modem.
    Modem,
    /// Computer that runs the mail program.
    Computer,
    /// Battery, panel or other source of power.
    Source,
    /// Converter, cable or fuse that passes power on.
    PowerLink,
}

/// One need: any one of these parts is enough.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Need {
    /// Parts of which one must work, at least one.
    pub any_of: Vec<Id>,
}

impl Need {
    /// A need for one part.
    #[must_use]
    pub fn one(id: impl Into<String>) -> Self {
        Self::any([id])
    }

    /// A need that any one of several parts fulfils.
    #[must_use]
    pub fn any<S: Into<String>>(ids: impl IntoIterator<Item = S>) -> Self {
        Self {
            any_of: ids.into_iter().map(Id::ours).collect(),
        }
    }
}

/// A part of the kit, carried or only a candidate.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Part {
    /// Short name, unique among parts; the id of a piece of equipment makes it that piece.
    pub id: Id,
    /// Name for people.
    pub name: String,
    /// Kind.
    pub class: PartClass,
    /// What it does in the station; none until it is known which piece of equipment it is.
    pub role: Option<Role>,
    /// What must work for this part to work, all of them.
    pub needs: Vec<Need>,
    /// Parts for which it can stand in.
    pub stands_in_for: Vec<Id>,
    /// Minutes to change over to it.
    pub changeover_min: f64,
    /// Minutes to check it when looking for a fault.
    pub check_min: f64,
    /// Mass in kg of all its pieces together.
    pub mass_kg: f64,
    /// Volume in litres of all its pieces together, if known.
    pub volume_l: Option<f64>,
    /// Price in any currency, the same for all parts (dimensionless), if known.
    pub price: Option<f64>,
    /// Chance that one piece fails in one outing (dimensionless, 0 to 1); none means the usual one for its class.
    pub fail_per_outing: Option<f64>,
    /// Chance that one piece fails in one hour of use (dimensionless, 0 to 1); none means the usual one for its class.
    pub fail_per_hour: Option<f64>,
    /// What it suffers from.
    pub weak_to: Vec<WeakTo>,
    /// What to try when it has failed, in order.
    pub recovery: Vec<String>,
    /// Bag in which it travels.
    pub bag: String,
    /// Carried (true) or only a candidate to add (false).
    pub carried: bool,
    /// How many pieces, of which any one is enough; at least 1.
    pub count: u32,
}

impl Part {
    /// A carried part with the usual numbers: one piece, no mass, 2 minutes to check, 5 to change (common practice).
    #[must_use]
    pub fn new(id: impl Into<String>, class: PartClass) -> Self {
        let id = Id::ours(id);
        Self {
            name: id.to_string(),
            id,
            class,
            role: None,
            needs: Vec::new(),
            stands_in_for: Vec::new(),
            changeover_min: 5.0,
            check_min: 2.0,
            mass_kg: 0.0,
            volume_l: None,
            price: None,
            fail_per_outing: None,
            fail_per_hour: None,
            weak_to: Vec::new(),
            recovery: Vec::new(),
            bag: "pack".to_owned(),
            carried: true,
            count: 1,
        }
    }
}

/// Something that the kit must be able to do.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Function {
    /// Short name, unique among functions.
    pub id: Id,
    /// Name for people.
    pub name: String,
    /// What must work for it, all of them.
    pub needs: Vec<Need>,
    /// The outing fails without it.
    pub vital: bool,
}
