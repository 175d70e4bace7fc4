//! What a session takes besides calls, handshake bytes and text: the steps that protocols and people add.
//!
//! All seconds here are **common practice, no source**. They are those of a link on which every frame gets through; where frames are
//! repeated, a step takes as many times longer as a frame does.

/// Seconds of each step of a session, in the order in which they come. The text itself, the calls and the bytes of the handshake come on
/// top.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SessionOverhead {
    /// Settling at the set and tuning, before the first call, in seconds. Not on the air.
    pub settle_s: f64,
    /// Listening whether the channel is free, before the first call, in seconds. Not on the air.
    pub listen_s: f64,
    /// From the answer to a link that both sides hold for made, in seconds.
    pub handshake_s: f64,
    /// The station greets, the caller logs in, in seconds.
    pub greeting_s: f64,
    /// Both sides offer what they have and say what they take, in seconds.
    pub offers_s: f64,
    /// From the last byte of the text to the word that it is kept, in seconds.
    pub acknowledge_s: f64,
    /// Leave-taking after that, in seconds.
    pub sign_off_s: f64,
}

impl SessionOverhead {
    /// Nothing: the bare protocol.
    pub const NONE: Self = Self {
        settle_s: 0.0,
        listen_s: 0.0,
        handshake_s: 0.0,
        greeting_s: 0.0,
        offers_s: 0.0,
        acknowledge_s: 0.0,
        sign_off_s: 0.0,
    };

    /// A usual session (common practice, no source): a minute to settle, two to listen and write, and 75 s of greetings, offers and
    /// acknowledgements around the text. With calls, handshake and a text of 200 to 300 bytes that comes to one and a half to four
    /// minutes on the air.
    pub const USUAL: Self = Self {
        settle_s: 60.0,
        listen_s: 120.0,
        handshake_s: 8.0,
        greeting_s: 20.0,
        offers_s: 25.0,
        acknowledge_s: 10.0,
        sign_off_s: 12.0,
    };

    /// What comes before the first call, in seconds.
    #[must_use]
    pub fn before_call_s(&self) -> f64 {
        self.settle_s + self.listen_s
    }

    /// From the answer to the first byte of the text, in seconds: what a call again after a lost link goes through once more.
    #[must_use]
    pub fn opening_s(&self) -> f64 {
        self.handshake_s + self.greeting_s + self.offers_s
    }

    /// The steps on the air alone: what a link's numbers depend on.
    #[must_use]
    pub fn on_air(self) -> Self {
        Self {
            settle_s: 0.0,
            listen_s: 0.0,
            ..self
        }
    }
}
