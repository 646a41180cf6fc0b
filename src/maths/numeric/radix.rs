//! Sorting of very many integers by their digits.

/// Bits of a digit.
const BITS: u32 = 11;
/// Values of a digit.
const DIGITS: usize = 1 << BITS;

/// Passes: so many of the highest digits leave little to put in order.
const PASSES: u32 = 3;

/// Sorts integers upwards.
///
/// Stable counting sort by the three highest digits of the distance from the smallest, lowest
/// of them first, and insertion of what is then still out of place. Cost: proportional to the
/// numbers; when there is much to insert, that of the sort of the standard library. As much
/// memory again.
///
/// # Example
/// ```
/// # use extraction_maths::maths::numeric::radix::sort;
/// let mut numbers = [3, -1, i64::MAX, 0, i64::MIN];
/// sort(&mut numbers);
/// assert_eq!(numbers, [i64::MIN, -1, 0, 3, i64::MAX]);
/// ```
pub fn sort(numbers: &mut [i64]) {
    let (Some(least), Some(most)) = (numbers.iter().min().copied(), numbers.iter().max()) else {
        return;
    };
    let widest = most.abs_diff(least);
    let mut from: Vec<u64> = numbers
        .iter()
        .map(|number| number.abs_diff(least))
        .collect();
    let mut to = vec![0; from.len()];
    let width = u64::BITS - widest.leading_zeros();
    let mut shift = width.saturating_sub(PASSES * BITS);
    while shift < width {
        by_digit(&from, &mut to, shift);
        (from, to) = (to, from);
        shift += BITS;
    }
    if !insert(&mut from) {
        from.sort_unstable();
    }
    for (number, distance) in numbers.iter_mut().zip(from) {
        *number = least.wrapping_add_unsigned(distance);
    }
}

/// Insertion sort; false when it was given up because it moves too much.
fn insert(numbers: &mut [u64]) -> bool {
    let mut moves = 4 * numbers.len();
    for next in 1..numbers.len() {
        let number = numbers[next];
        let mut place = next;
        while place > 0 && numbers[place - 1] > number {
            if moves == 0 {
                // what was taken out goes back to where there is room
                numbers[place] = number;
                return false;
            }
            numbers[place] = numbers[place - 1];
            (place, moves) = (place - 1, moves - 1);
        }
        numbers[place] = number;
    }
    true
}

/// Copies the numbers in the order of the digit that begins at a bit.
fn by_digit(from: &[u64], to: &mut [u64], shift: u32) {
    let mut starts = [0; DIGITS];
    for number in from {
        starts[digit(*number, shift)] += 1;
    }
    let mut sum = 0;
    for start in &mut starts {
        (*start, sum) = (sum, sum + *start);
    }
    for number in from {
        let place = &mut starts[digit(*number, shift)];
        if let Some(room) = to.get_mut(*place) {
            *room = *number;
        }
        *place += 1;
    }
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "of eleven bits nothing is lost"
)]
const fn digit(number: u64, shift: u32) -> usize {
    (number >> shift) as usize % DIGITS
}
