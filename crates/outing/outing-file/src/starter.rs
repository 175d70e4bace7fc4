//! The commented starter outing for a new folder.

/// A file of the starter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StarterFile {
    /// Name inside the new folder.
    pub name: &'static str,
    /// Its text.
    pub text: &'static str,
}

/// All files of the starter, the outing first.
pub const STARTER_FILES: [StarterFile; 2] = [
    StarterFile {
        name: "outing.toml",
        text: include_str!("../starter/outing.toml"),
    },
    StarterFile {
        name: "stations.csv",
        text: include_str!("../starter/stations.csv"),
    },
];
