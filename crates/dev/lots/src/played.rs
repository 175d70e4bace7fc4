//! The same protocol, played out frame by frame with a seeded generator: the judge of the fast path.
//!
//! Nothing is shared with the fast path but [`Link::operating`]: the minutes-scale variation is the Gaussian process itself
//! (not a chain), calls are counted one by one, a link is lost at the K-th failed cycle in a row, and bytes are bytes.

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rand_distr::{Distribution, StandardNormal};

use farhop_message::arq::{Link, Operating, Resume};
use farhop_message::db::snr_in_bandwidth_db;
use farhop_message::delivery::Ask;
use farhop_message::{Component, MessageError, MinuteVariation, SENDING_SHARE_OF_STEPS as SENDING, SnrMixture};

/// What many played windows gave. Chances are dimensionless.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Played {
    /// Share of the windows in which everything was delivered by the deadline.
    pub chance: f64,
    /// Standard error of `chance` (dimensionless).
    pub chance_error: f64,
    /// Mean minutes on the air.
    pub air_min: f64,
    /// Mean own transmit seconds.
    pub transmit_s: f64,
    /// Mean plain bytes moved by the first attempt.
    pub moved_bytes: f64,
}

/// The scene of the play.
#[derive(Clone, Copy, Debug)]
pub struct Scene<'a> {
    /// The link, already adapted to the gateway's scan.
    pub link: &'a Link,
    /// Sizes of the messages in plain bytes, in the order they are sent.
    pub plain_bytes: &'a [f64],
    /// Minutes-scale variation.
    pub variation: MinuteVariation,
    /// The slow distribution.
    pub mixture: &'a SnrMixture,
    /// Deadline, attempts and gateway.
    pub ask: &'a Ask,
}

/// Plays `windows` windows from `seed`.
///
/// # Errors
/// A malformed link, mixture or ask.
pub fn play(scene: &Scene<'_>, windows: u32, seed: u64) -> Result<Played, MessageError> {
    scene.link.check()?;
    scene.mixture.check()?;
    scene.variation.check()?;
    scene.ask.attempts.check()?;
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let mut total = Tally::default();
    let mut delivered = 0_u32;
    for _ in 0..windows {
        let mut window = Window::draw(scene, &mut rng);
        delivered += u32::from(window.run(&mut rng));
        total.add(&window.tally);
    }
    let n = f64::from(windows.max(1));
    let chance = f64::from(delivered) / n;
    Ok(Played {
        chance,
        chance_error: (chance * (1.0 - chance) / n).sqrt(),
        air_min: total.air_s / n / 60.0,
        transmit_s: total.transmit_s / n,
        moved_bytes: total.first_moved_bytes / n / scene.link.compression_ratio,
    })
}

#[derive(Clone, Copy, Debug, Default)]
struct Tally {
    air_s: f64,
    transmit_s: f64,
    first_moved_bytes: f64,
}

impl Tally {
    fn add(&mut self, other: &Self) {
        self.air_s += other.air_s;
        self.transmit_s += other.transmit_s;
        self.first_moved_bytes += other.first_moved_bytes;
    }
}

struct Window<'a> {
    scene: &'a Scene<'a>,
    snr_db: [f64; 2],
    off: bool,
    /// Minutes-scale part in dB.
    minute_db: f64,
    now_s: f64,
    deadline_s: f64,
    tally: Tally,
}

impl<'a> Window<'a> {
    fn draw(scene: &'a Scene<'a>, rng: &mut ChaCha8Rng) -> Self {
        let part = draw_component(scene.mixture, rng);
        let shift_db = snr_in_bandwidth_db(0.0, scene.mixture.bandwidth_hz, scene.link.ladder.bandwidth_hz);
        let shared_db = part.sd_signal_db * normal(rng);
        Self {
            scene,
            snr_db: [
                part.median_snr_forward_db + shift_db + shared_db + part.sd_noise_forward_db * normal(rng),
                part.median_snr_reverse_db + shift_db + shared_db + part.sd_noise_reverse_db * normal(rng),
            ],
            off: rng.random::<f64>() < scene.ask.gateway.off_prob,
            minute_db: scene.variation.sd_db * normal(rng),
            now_s: 0.0,
            deadline_s: 60.0 * scene.ask.deadline_min,
            tally: Tally::default(),
        }
    }

    fn run(&mut self, rng: &mut ChaCha8Rng) -> bool {
        let attempts = self.scene.ask.attempts;
        for k in 0..attempts.count {
            // The next slot that is still to come.
            let slot_s = 60.0 * attempts.spacing_min * f64::from(k);
            if self.now_s > slot_s {
                continue;
            }
            self.wait(slot_s - self.now_s, rng);
            if self.now_s >= self.deadline_s {
                return false;
            }
            let busy = self.off || rng.random::<f64>() < self.scene.ask.gateway.busy_prob;
            let (delivered, moved_bytes) = self.attempt(busy, rng);
            if k == 0 {
                self.tally.first_moved_bytes = moved_bytes;
            }
            if delivered {
                return true;
            }
        }
        false
    }

    /// One attempt: whether it delivered, and the air bytes it moved.
    fn attempt(&mut self, busy: bool, rng: &mut ChaCha8Rng) -> (bool, f64) {
        let link = self.scene.link;
        let sizes: Vec<f64> = self.scene.plain_bytes.iter().map(|&b| link.air_bytes(b)).collect();
        let all_bytes: f64 = sizes.iter().sum();
        let mut moved_bytes = 0.0;
        while self.series_of_calls(busy, rng) {
            match self.session(all_bytes - moved_bytes, rng) {
                None => return (true, all_bytes),
                // The deadline is no loss: what has crossed by then has crossed.
                Some(left_bytes) if self.now_s > self.deadline_s => return (false, all_bytes - left_bytes),
                Some(left_bytes) => moved_bytes = kept(link.resume, &sizes, all_bytes - left_bytes),
            }
        }
        (false, moved_bytes)
    }

    fn series_of_calls(&mut self, busy: bool, rng: &mut ChaCha8Rng) -> bool {
        let link = self.scene.link;
        for _ in 0..link.patience.calls_max {
            let chance = if busy { 0.0 } else { self.operating().call_success };
            if !self.spend(link.call_cycle_s(), link.timing.call_s, rng) {
                return false;
            }
            if rng.random::<f64>() < chance {
                return true;
            }
        }
        false
    }

    /// Cycles until all is through (`None`) or link or time is lost (payload bytes left).
    fn session(&mut self, payload_bytes: f64, rng: &mut ChaCha8Rng) -> Option<f64> {
        let link = self.scene.link;
        let mut left_bytes = payload_bytes + link.handshake_bytes;
        // Steps before the text, as cycles that move none of it; the part of a cycle that is left over is waited for.
        let steps = link.overhead.opening_s() / link.cycle_s();
        let mut opening = steps.floor();
        if !self.spend(
            steps.fract() * link.cycle_s(),
            SENDING * steps.fract() * link.cycle_s(),
            rng,
        ) {
            return Some(payload_bytes);
        }
        let mut failed = 0;
        loop {
            let operating = self.operating();
            let sending_s = if opening > 0.0 {
                SENDING * link.cycle_s()
            } else {
                link.ladder.frame_s()
            };
            if !self.spend(link.cycle_s(), sending_s, rng) {
                return Some(left_bytes.min(payload_bytes));
            }
            if rng.random::<f64>() < operating.cycle_success {
                failed = 0;
                if opening > 0.0 {
                    opening -= 1.0;
                    continue;
                }
                left_bytes -= operating.frame_bytes;
                if left_bytes <= 1e-9 {
                    return self.close(operating.cycle_success, rng);
                }
            } else {
                failed += 1;
                if failed == link.patience.failed_cycles_max {
                    return Some(left_bytes.min(payload_bytes));
                }
            }
        }
    }

    /// After the last byte: the word that all is kept, in time or not (then all bytes count as left to be sent), and the leave-taking.
    fn close(&mut self, cycle_success: f64, rng: &mut ChaCha8Rng) -> Option<f64> {
        let overhead = self.scene.link.overhead;
        let longer = 1.0 / cycle_success.clamp(0.1, 1.0);
        let (word_s, leave_s) = (longer * overhead.acknowledge_s, longer * overhead.sign_off_s);
        if !self.spend(word_s, SENDING * word_s, rng) {
            return Some(0.0);
        }
        self.spend(leave_s, SENDING * leave_s, rng);
        None
    }

    fn operating(&self) -> Operating {
        self.scene
            .link
            .operating(self.snr_db[0] + self.minute_db, self.snr_db[1] + self.minute_db)
    }

    /// Time on the air; false when the deadline comes before its end.
    fn spend(&mut self, air_s: f64, transmit_s: f64, rng: &mut ChaCha8Rng) -> bool {
        if air_s <= 0.0 {
            return self.now_s <= self.deadline_s + 1e-6;
        }
        let share = ((self.deadline_s - self.now_s) / air_s).clamp(0.0, 1.0);
        self.tally.air_s += share * air_s;
        self.tally.transmit_s += share * transmit_s;
        self.wait(air_s, rng);
        self.now_s <= self.deadline_s + 1e-6
    }

    /// The exact transition of the Ornstein-Uhlenbeck process (Gillespie 1996, Phys. Rev. E 54, 2084).
    fn wait(&mut self, seconds_s: f64, rng: &mut ChaCha8Rng) {
        self.now_s += seconds_s;
        let keep = (-seconds_s / (60.0 * self.scene.variation.correlation_min)).exp();
        self.minute_db =
            keep * self.minute_db + self.scene.variation.sd_db * (1.0 - keep * keep).max(0.0).sqrt() * normal(rng);
    }
}

/// Bytes kept after a loss.
fn kept(resume: Resume, sizes_bytes: &[f64], moved_bytes: f64) -> f64 {
    if resume == Resume::FromLastFrame {
        return moved_bytes;
    }
    let mut whole_bytes = 0.0;
    for size_bytes in sizes_bytes {
        if whole_bytes + size_bytes > moved_bytes + 1e-9 {
            break;
        }
        whole_bytes += size_bytes;
    }
    whole_bytes
}

fn draw_component(mixture: &SnrMixture, rng: &mut ChaCha8Rng) -> Component {
    let total: f64 = mixture.components.iter().map(|part| part.weight).sum();
    let mut left = rng.random::<f64>() * total;
    let mut drawn = Component {
        weight: 0.0,
        median_snr_forward_db: f64::NEG_INFINITY,
        median_snr_reverse_db: f64::NEG_INFINITY,
        sd_signal_db: 0.0,
        sd_noise_forward_db: 0.0,
        sd_noise_reverse_db: 0.0,
    };
    for part in mixture.components.iter().filter(|part| part.weight > 0.0) {
        drawn = *part;
        left -= part.weight;
        if left < 0.0 {
            break;
        }
    }
    drawn
}

fn normal(rng: &mut ChaCha8Rng) -> f64 {
    StandardNormal.sample(rng)
}
