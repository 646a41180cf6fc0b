//! Readings at the end of the scale's range.

use super::fault::{Fault, FaultKind};
use super::line::{Line, before};
use super::stream::Reading;

/// How long the highest reading stands still, at least, s.
const STANDS_S: f64 = 1.0;

/// Stretch before it on which the flow must not have ebbed away, s.
const BEFORE_S: f64 = 0.5;

/// Smallest flow into the end of the range, g/s.
const SMALLEST_FLOW: f64 = 0.4;

/// Share of the earlier flow that is still there. A flow that ends comes down through the lag
/// of the scale and the drain of the bed: in the last half second before it stands still, about
/// a fifth of it is left.
const SHARE_LEFT: f64 = 0.6;

/// Marks readings at the end of the range as of no use.
///
/// It shows as a flow that ends at the highest reading all at once, which neither a valve nor a
/// lagging scale can do.
pub(super) fn leave_out(readings: &[Reading], usable: &mut [bool]) -> Option<Fault> {
    let highest_g = readings.iter().map(|r| r.mass_g).fold(f64::MIN, f64::max);
    let first = readings.iter().position(|r| r.mass_g >= highest_g)?;
    let standing = readings.get(first..)?.iter();
    let count = standing.take_while(|r| r.mass_g >= highest_g).count();
    let (begin, end) = (readings.get(first)?, readings.get(first + count - 1)?);
    let since_s = begin.time_s - readings.first()?.time_s;
    if end.time_s - begin.time_s < STANDS_S || since_s < 3.0 * BEFORE_S {
        return None;
    }
    let before_s = |span_s| Some(Line::through(before(readings, first, span_s))?.slope_g_per_s);
    let (last, earlier) = (before_s(BEFORE_S)?, before_s(4.0 * BEFORE_S)?);
    if last < SMALLEST_FLOW || last < SHARE_LEFT * earlier {
        return None;
    }
    usable
        .iter_mut()
        .skip(first + 1)
        .take(count - 1)
        .for_each(|is_usable| *is_usable = false);
    let span = (begin.time_s, end.time_s);
    let count = u32::try_from(count).unwrap_or(u32::MAX);
    Some(Fault::spread(FaultKind::ScaleOutOfRange, span, count))
}
