//! A number below zero behind an option is its value: it is refused as what it is, and no other option is advised.

use crate::case::dryledger;

#[test]
fn a_number_below_zero_is_refused_as_the_value_that_it_is() {
    for (line, told) in [
        (&["heat", "weather.csv", "--to", "5", "--airflow", "-1"][..], "--airflow -1"),
        (&["report", "study.toml", "--samples", "-1"], "'-1' for '--samples"),
        (&["size", "study.toml", "--waiting-days", "-2.5"], "'-2.5' for '--waiting-days"),
        (&["weather", "weather.csv", "--max-gap-hours", "-6"], "'-6' for '--max-gap-hours"),
    ] {
        let ran = dryledger(line).run();
        assert_eq!(ran.code, 2, "{line:?}: {}", ran.stderr);
        assert!(ran.stderr.contains(told), "{line:?}: {}", ran.stderr);
        assert!(!ran.stderr.contains("unexpected argument"), "{line:?}: {}", ran.stderr);
    }
}
