//! Work done by several threads at once, with its results in order.
//!
//! A calculation starts no threads of its own accord: it is lent those of the compute pool that
//! are idle, so that no more work at once than the pool has permits, and works alone where none
//! is.

use std::sync::{Mutex, OnceLock, PoisonError};

/// Lends threads.
pub type Lend<'l> = dyn Fn() -> Lent + Sync + 'l;

/// Threads besides the one that asks; given back when dropped, so that others who wait for one
/// need not wait for the whole work.
#[derive(Debug, Default)]
pub struct Lent {
    /// How many.
    pub threads: usize,
    /// What gives them back.
    pub until_dropped: Option<Box<dyn std::any::Any>>,
}

/// Pieces worked before the threads are given back and asked for anew: a few milliseconds of
/// heavy ones, against the tens of microseconds that starting threads takes.
const WAVE: usize = 64;

/// The results of all pieces, in order; none in the place of one that was not worked, which
/// cannot be unless a thread was lost. What a result is depends on its piece alone, so the number
/// of threads changes nothing but the time.
pub fn in_order<T: Sync, R: Send + Sync>(
    pieces: &[T],
    lend: &Lend<'_>,
    work: impl Fn(&T) -> R + Sync,
) -> Vec<Option<R>> {
    let mut results = Vec::with_capacity(pieces.len());
    for wave in pieces.chunks(WAVE) {
        let lent = if wave.len() < 2 {
            Lent::default()
        } else {
            lend()
        };
        results.extend(one_wave(wave, lent.threads, &work));
    }
    results
}

fn one_wave<T: Sync, R: Send + Sync>(
    pieces: &[T],
    lent: usize,
    work: &(impl Fn(&T) -> R + Sync),
) -> Vec<Option<R>> {
    if lent == 0 {
        return pieces.iter().map(|piece| Some(work(piece))).collect();
    }
    let slots: Vec<OnceLock<R>> = pieces.iter().map(|_| OnceLock::new()).collect();
    let waiting = Mutex::new(pieces.iter().zip(&slots));
    let next = || {
        waiting
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .next()
    };
    let work_on = || {
        while let Some((piece, slot)) = next() {
            // each slot is handed out once, so that it cannot have been filled before
            let _ = slot.set(work(piece));
        }
    };
    std::thread::scope(|scope| {
        for _ in 0..lent.min(pieces.len() - 1) {
            scope.spawn(work_on);
        }
        work_on();
    });
    slots.into_iter().map(OnceLock::into_inner).collect()
}

#[cfg(test)]
mod tests {
    use super::{Lent, in_order};

    fn lending(threads: usize) -> impl Fn() -> Lent + Sync {
        move || Lent {
            threads,
            until_dropped: None,
        }
    }

    #[test]
    fn results_stand_in_the_order_of_their_pieces_whoever_worked_them() {
        let pieces: Vec<u64> = (0..500).collect();
        let expected: Vec<_> = pieces.iter().map(|piece| Some(piece * piece)).collect();
        for threads in [0, 1, 3, 100] {
            let results = in_order(&pieces, &lending(threads), |piece| piece * piece);
            assert_eq!(results, expected);
        }
        assert!(in_order(&[] as &[u64], &lending(2), |piece| *piece).is_empty());
    }
}
