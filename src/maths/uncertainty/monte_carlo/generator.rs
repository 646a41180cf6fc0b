//! Streams of pseudo-random numbers, one for each block of trials.

/// The odd constant that steps the seeding sequence. `[steele2014]`
const GOLDEN_GAMMA: u64 = 0x9e37_79b9_7f4a_7c15;
/// The exponent bits of doubles from one to below two.
const FROM_ONE: u64 = 0x3ff0_0000_0000_0000;
/// The exponent bits of doubles from two to below four.
const FROM_TWO: u64 = 0x4000_0000_0000_0000;

/// Half the spacing of the numbers from one to two.
const HALF_STEP: f64 = f64::EPSILON / 2.0;

/// Generators that a stream steps at once.
pub const LANES: usize = 16;

/// The generator xoshiro256++. `[blackman2021]`
///
/// Period 2^256 - 1; passes the usual batteries of tests. Not for secrets.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Generator {
    state: [u64; 4],
}

impl Generator {
    /// The generator whose state is the first four outputs of `SplitMix64` from this seed.
    #[must_use]
    pub const fn seeded(seed: u64) -> Self {
        Self::next_of(&mut { seed })
    }

    /// The generator whose state is the next four outputs of `SplitMix64`.
    const fn next_of(at: &mut u64) -> Self {
        let (mut state, mut place) = ([0; 4], 0);
        while place < state.len() {
            *at = at.wrapping_add(GOLDEN_GAMMA);
            state[place] = mixed(*at);
            place += 1;
        }
        Self { state }
    }

    /// The next 64 bits.
    pub const fn bits(&mut self) -> u64 {
        let (bits, state) = stepped(self.state);
        self.state = state;
        bits
    }

    /// The next number, evenly from 0 to below 1 in steps of 2^-52.
    pub const fn unit(&mut self) -> f64 {
        f64::from_bits(self.bits() >> 12 | FROM_ONE) - 1.0
    }

    /// The next number, evenly between 0 and 1, neither of them included.
    pub const fn open_unit(&mut self) -> f64 {
        self.unit() + HALF_STEP
    }
}

/// The random numbers of one block of trials: generators side by side, which a processor steps
/// in the time of few, and one more for what is drawn now and then.
#[derive(Debug, Clone)]
pub struct Stream {
    /// First words of the states of all lanes, second words, and so on.
    lanes: [[u64; LANES]; 4],
    rare: Generator,
}

impl Stream {
    /// The stream of one block under a seed.
    ///
    /// The states are outputs of `SplitMix64`, four a generator, started at a hash of both
    /// numbers: they lie at places of the period that have nothing to do with one another, and
    /// two generators meet with a probability far below 2^-100.
    #[must_use]
    pub fn of_block(seed: u64, block: u64) -> Self {
        let key = mixed(seed.wrapping_add(GOLDEN_GAMMA));
        let mut at = mixed(key ^ block.wrapping_mul(GOLDEN_GAMMA));
        let mut lanes = [[0; LANES]; 4];
        for lane in 0..LANES {
            let Generator { state } = Generator::next_of(&mut at);
            for (words, word) in lanes.iter_mut().zip(state) {
                words[lane] = word;
            }
        }
        let rare = Generator::next_of(&mut at);
        Self { lanes, rare }
    }

    /// Fills a column with a number for each draw of a lane; the last draws may find no room.
    #[inline(always)]
    pub(super) fn fill(
        &mut self,
        column: &mut [f64],
        mut of: impl FnMut(u64, &mut Generator) -> f64,
    ) {
        let (whole, rest) = column.as_chunks_mut::<LANES>();
        for values in whole {
            let bits = self.bits();
            for lane in 0..LANES {
                values[lane] = of(bits[lane], &mut self.rare);
            }
        }
        let bits = self.bits();
        for (value, bits) in rest.iter_mut().zip(bits) {
            *value = of(bits, &mut self.rare);
        }
    }

    /// The next 64 bits of each lane.
    #[inline(always)]
    pub fn bits(&mut self) -> [u64; LANES] {
        let [a, b, c, d] = &mut self.lanes;
        let mut results = [0; LANES];
        for lane in 0..LANES {
            let (bits, [w, x, y, z]) = stepped([a[lane], b[lane], c[lane], d[lane]]);
            (a[lane], b[lane], c[lane], d[lane]) = (w, x, y, z);
            results[lane] = bits;
        }
        results
    }
}

/// Output and next state.
#[inline(always)]
const fn stepped([a, b, c, d]: [u64; 4]) -> (u64, [u64; 4]) {
    let result = a.wrapping_add(d).rotate_left(23).wrapping_add(a);
    let (e, f) = (c ^ a, d ^ b);
    (result, [a ^ f, b ^ e, e ^ (b << 17), f.rotate_left(45)])
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
