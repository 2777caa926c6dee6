//! Random streams: one for each thing that is drawn, by number, so that runs can be compared.
//!
//! Two runs with the same [`Key`] draw the same numbers for the same stop, helper or station,
//! whatever else differs between them (common random numbers; Glasserman and Yao, 1992).

use super::law::Draw;
use rand::SeedableRng;
use rand_xoshiro::Xoshiro256PlusPlus;

/// Names the random numbers of one run.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Key {
    /// The seed of the whole study.
    pub seed: u64,
    /// The number of the run within it.
    pub run: u64,
}

/// What a stream is for.
#[derive(Debug, Clone, Copy)]
pub(super) enum Purpose {
    Service = 1,
    Route,
    Rate,
    Speed,
    Slowness,
    Yields,
    Arrivals,
    UnderWay,
}

/// Opens the streams of one key.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Streams(u64);

impl Streams {
    pub(super) fn new(key: Key) -> Streams {
        Streams(scramble(scramble(key.seed) ^ key.run))
    }

    /// The stream for a purpose and up to two numbers below 2^28.
    pub(super) fn open(self, purpose: Purpose, one: usize, two: usize) -> Xoshiro256PlusPlus {
        let name = ((purpose as u64) << 56) ^ ((one as u64) << 28) ^ two as u64;
        Xoshiro256PlusPlus::seed_from_u64(scramble(self.0 ^ name))
    }
}

/// The finalizer of SplitMix64 (Steele, Lea and Flood, 2014).
fn scramble(number: u64) -> u64 {
    let mut mixed = number.wrapping_add(0x9e37_79b9_7f4a_7c15);
    mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    mixed ^ (mixed >> 31)
}

/// How many draws of a stream are kept for the next run with the same key. More than any day needs;
/// a study of a million services does not have to fit in memory.
const KEPT: usize = 16_384;
/// How many are drawn at a time.
const AT_ONCE: usize = 8;

/// The service times of one stop, in order of service start. What was drawn is kept, so that the
/// next run with the same key (another seating on the same day) need not draw it again.
#[derive(Debug)]
pub(super) struct Services {
    pub(super) draw: Draw,
    stream: Xoshiro256PlusPlus,
    /// What is kept, from this service on.
    drawn: Vec<f64>,
    from: usize,
    next: usize,
}

impl Services {
    pub(super) fn new(draw: Draw) -> Services {
        Services {
            draw,
            stream: Xoshiro256PlusPlus::seed_from_u64(0),
            drawn: Vec::new(),
            from: 0,
            next: 0,
        }
    }

    /// Goes back to the first service. `is_same`: the key is the one of the run before.
    pub(super) fn rewind(&mut self, streams: Streams, stop: usize, is_same: bool) {
        self.next = 0;
        let has_first = is_same && self.from == 0;
        if has_first || matches!(self.draw, Draw::Fixed(_)) {
            return;
        }
        self.stream = streams.open(Purpose::Service, stop, 0);
        self.drawn.clear();
        self.from = 0;
    }

    /// The minutes of the next service.
    #[inline(always)]
    pub(super) fn next(&mut self) -> f64 {
        if let Draw::Fixed(minutes) = self.draw {
            return minutes;
        }
        let place = self.next - self.from;
        self.next += 1;
        if let Some(minutes) = self.drawn.get(place) {
            return *minutes;
        }
        self.draw_more()
    }

    /// Draws some more; gives the first of them.
    #[inline(never)]
    fn draw_more(&mut self) -> f64 {
        let number = self.next - 1;
        if self.drawn.len() >= KEPT {
            self.drawn.clear();
            self.from = number;
        }
        let first = self.drawn.len();
        let mut fresh = [0.0; AT_ONCE];
        self.draw.fill(&mut self.stream, number, &mut fresh);
        self.drawn.extend_from_slice(&fresh);
        self.drawn[first]
    }
}
