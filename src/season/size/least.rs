//! The least number of steps that keeps a limit: what keeps is taken to keep with more.

/// From `least`, which keeps, down to what is above `fails`, which does not. Strides grow as long as it keeps, since mostly
/// there is little to spare; then halves.
pub(super) fn least_above(mut fails: u32, mut least: u32, mut stride: u32, keeps: impl Fn(u32) -> bool) -> u32 {
    while least - fails > stride {
        let next = least - stride;
        if keeps(next) {
            (least, stride) = (next, stride * 2);
        } else {
            fails = next;
        }
    }
    while least - fails > 1 {
        let middle = fails.midpoint(least);
        if keeps(middle) {
            least = middle;
        } else {
            fails = middle;
        }
    }
    least
}
