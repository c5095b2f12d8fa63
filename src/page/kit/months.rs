//! Names of the months.

/// English names of the months.
const NAMES: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// Letters of a short name.
const SHORT: usize = 3;

/// Name of a month, 1..12.
pub(crate) fn name(month: u32) -> &'static str {
    NAMES[(month.saturating_sub(1) % 12) as usize]
}

/// Short name of a month, 1..12: `Jan`.
pub(crate) fn short(month: u32) -> &'static str {
    &name(month)[..SHORT]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn months_are_counted_from_one() {
        assert_eq!((name(1), short(9)), ("January", "Sep"));
        assert_eq!(name(12), "December");
    }
}
