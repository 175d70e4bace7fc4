//! Which link is meant.

/// Seconds of one hour: the step in which the sky is computed.
pub const STEP_S: i64 = 3_600;

/// Which site, station, channel and antenna, as indices into the outing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Route {
    /// Index of the site.
    pub site: usize,
    /// Index of the station.
    pub station: usize,
    /// Index of the station's channel.
    pub channel: usize,
    /// Index into the kit's antennas.
    pub antenna: usize,
}
