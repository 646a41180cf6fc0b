//! Streams of pseudo-random numbers, one for each block of trials.

/// The odd constant that steps the seeding sequence. `[steele2014]`
const GOLDEN_GAMMA: u64 = 0x9e37_79b9_7f4a_7c15;
/// The exponent bits of doubles from one to below two.
const FROM_ONE: u64 = 0x3ff0_0000_0000_0000;
/// The exponent bits of doubles from two to below four.
const FROM_TWO: u64 = 0x4000_0000_0000_0000;

/// The generator xoshiro256++. `[blackman2021]`
///
/// Period 2^256 - 1; passes the usual batteries of tests. Not for secrets.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Generator {
    state: [u64; 4],
}

impl Generator {
    /// The stream of one block under a seed.
    ///
    /// The state is four outputs of `SplitMix64`, started at a hash of both numbers: streams
    /// start at places of the period that have nothing to do with one another, and two of them
    /// meet with a probability far below 2^-128.
    #[must_use]
    pub const fn of_block(seed: u64, block: u64) -> Self {
        let key = mixed(seed.wrapping_add(GOLDEN_GAMMA));
        Self::seeded(mixed(key ^ block.wrapping_mul(GOLDEN_GAMMA)))
    }

    /// The stream whose state is the first four outputs of `SplitMix64` from this seed.
    #[must_use]
    pub const fn seeded(seed: u64) -> Self {
        let mut state = [0; 4];
        let (mut at, mut place) = (seed, 0);
        while place < state.len() {
            at = at.wrapping_add(GOLDEN_GAMMA);
            state[place] = mixed(at);
            place += 1;
        }
        Self { state }
    }

    /// The stream that goes on from a state, not all zero.
    #[must_use]
    pub const fn from_state(state: [u64; 4]) -> Self {
        Self { state }
    }

    /// The next 64 bits.
    pub const fn bits(&mut self) -> u64 {
        let [a, b, c, d] = self.state;
        let result = a.wrapping_add(d).rotate_left(23).wrapping_add(a);
        let (c, d) = (c ^ a, d ^ b);
        self.state = [a ^ d, b ^ c, c ^ (b << 17), d.rotate_left(45)];
        result
    }

    /// The next number, evenly from 0 to below 1 in steps of 2^-52.
    pub const fn unit(&mut self) -> f64 {
        f64::from_bits(self.bits() >> 12 | FROM_ONE) - 1.0
    }

    /// The next number, evenly between 0 and 1, neither of them included.
    pub const fn open_unit(&mut self) -> f64 {
        const HALF_STEP: f64 = f64::EPSILON / 2.0;
        self.unit() + HALF_STEP
    }
}

/// The upper 52 bits as a number evenly from -1 to below 1.
pub(super) const fn signed_unit(bits: u64) -> f64 {
    f64::from_bits(bits >> 12 | FROM_TWO) - 3.0
}

/// The output function of `SplitMix64`. `[steele2014]`
const fn mixed(mut z: u64) -> u64 {
    z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    z ^ (z >> 31)
}
