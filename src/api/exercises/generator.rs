//! Numbers from a seed: a counter and a published mixing function, the same on every machine.

/// Distance of two counters, the odd number nearest to 2⁶⁴ over the golden ratio.
const STEP: u64 = 0x9E37_79B9_7F4A_7C15;
/// Start and factor of the 64-bit FNV-1a hash, by which names become numbers.
const FNV_START: u64 = 0xCBF2_9CE4_8422_2325;
const FNV_FACTOR: u64 = 0x0000_0100_0000_01B3;

/// Bits of a seed that every JSON reader holds exactly.
pub const SEED_BITS: u32 = 53;

/// Draws in their order: whole numbers only, so that no rounding can differ.
///
/// The generator is `SplitMix64` (`[splitmix2014]`): each draw is a fixed function of the key and of
/// the number of draws before it.
#[derive(Debug, Clone)]
pub struct Draws {
    key: u64,
    count: u64,
}

impl Draws {
    /// Draws that begin at a key.
    #[must_use]
    pub const fn new(key: u64) -> Self {
        Self { key, count: 0 }
    }

    /// Draws for a seed, a name and some numbers: other ones for every combination.
    #[must_use]
    pub fn of(seed: u64, name: &str, numbers: &[u64]) -> Self {
        let named = name.bytes().fold(FNV_START, |hash, byte| {
            (hash ^ u64::from(byte)).wrapping_mul(FNV_FACTOR)
        });
        let key = numbers
            .iter()
            .fold(mixed(seed.wrapping_add(STEP)) ^ named, |key, number| {
                mixed(key.wrapping_add(STEP) ^ number)
            });
        Self::new(key)
    }

    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.count = self.count.wrapping_add(1);
        mixed(self.key.wrapping_add(STEP.wrapping_mul(self.count)))
    }

    /// A seed that JSON carries exactly.
    pub fn seed(&mut self) -> u64 {
        self.bits() >> (u64::BITS - SEED_BITS)
    }

    /// A whole number from `min` to `max`, both possible; `min` when they are crossed.
    pub fn between(&mut self, min: i64, max: i64) -> i64 {
        let bits = u128::from(self.bits());
        let width = u128::from(max.saturating_sub(min).max(0).unsigned_abs()) + 1;
        let above = i64::try_from((bits * width) >> u64::BITS).unwrap_or(0);
        min.saturating_add(above)
    }

    /// One of several, by its place; the first of none.
    pub fn place(&mut self, count: usize) -> usize {
        let last = i64::try_from(count.saturating_sub(1)).unwrap_or(0);
        usize::try_from(self.between(0, last)).unwrap_or(0)
    }
}

/// The output function of `SplitMix64`.
const fn mixed(bits: u64) -> u64 {
    let bits = (bits ^ (bits >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    let bits = (bits ^ (bits >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    bits ^ (bits >> 31)
}

#[cfg(test)]
mod tests {
    use super::Draws;

    /// `SplitMix64` with the seed 1234567, from memory of published test vectors.
    #[test]
    fn the_bits_are_those_of_the_published_generator() {
        let mut draws = Draws::new(1_234_567);
        let expected = [
            6_457_827_717_110_365_317,
            3_203_168_211_198_807_973,
            9_817_491_932_198_370_423,
            4_593_380_528_125_082_431,
            16_408_922_859_458_223_821,
        ];
        assert_eq!(expected.map(|_| draws.bits()), expected);
    }

    #[test]
    fn draws_fill_their_range_and_stay_inside() {
        let mut draws = Draws::of(7, "ratio", &[1]);
        let mut seen = [false; 7];
        for _ in 0..1000 {
            let value = draws.between(-3, 3);
            seen[usize::try_from(value + 3).unwrap()] = true;
        }
        assert_eq!(seen, [true; 7]);
        assert_eq!(draws.between(5, 5), 5);
        assert!((0..100).all(|_| draws.seed() < 1 << 53));
    }

    #[test]
    fn seed_name_and_numbers_all_count() {
        let first = |seed, name, numbers: &[u64]| Draws::of(seed, name, numbers).bits();
        let all = [
            first(1, "ratio", &[1]),
            first(2, "ratio", &[1]),
            first(1, "targets", &[1]),
            first(1, "ratio", &[2]),
            first(1, "ratio", &[1, 0]),
        ];
        for (place, one) in all.iter().enumerate() {
            assert!(!all[place + 1..].contains(one));
        }
    }
}
