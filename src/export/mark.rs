//! By what a file that this program wrote is known again: how it begins.

/// What this program wrote.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Wrote {
    /// A page.
    Page,
    /// Figures.
    Figures,
    /// A table of a report.
    Table,
    /// Weather in the program's own form: somebody's input as well.
    Weather,
    /// The list of what was written into a folder.
    List,
}

/// Bytes of a beginning that tell.
pub(crate) const TELLING: usize = 4096;

/// How tables of a report begin.
const TABLES: [&str; 3] = ["option,year,month,", "option,weather_year,", "file,column,adds,says"];
/// How hours of weather begin below their remarks.
const WEATHER: &str = "time,dry_bulb_c,relative_humidity_pct,pressure_pa";
/// What a page says of who made it.
const PAGE: &str = "<meta name=\"generator\" content=\"dryledger";
/// What figures say of who made them.
const FIGURES: &str = "\"name\": \"dryledger\"";

/// How the list of what was written into a folder begins: a remark, as those who sum up files know it.
pub(crate) const LIST: &str = "# what dryledger wrote into this folder";

/// What this program wrote that begins so; `None` of anything else.
pub(crate) fn wrote(beginning: &[u8]) -> Option<Wrote> {
    let text = String::from_utf8_lossy(&beginning[..beginning.len().min(TELLING)]);
    let below = text.lines().find(|line| !line.starts_with('#')).unwrap_or_default();
    if TABLES.iter().any(|head| text.starts_with(head)) {
        Some(Wrote::Table)
    } else if below.starts_with(WEATHER) {
        Some(Wrote::Weather)
    } else if text.starts_with(LIST) {
        Some(Wrote::List)
    } else if text.trim_start().starts_with("<!") && text.contains(PAGE) {
        Some(Wrote::Page)
    } else if text.starts_with('{') && text.contains(FIGURES) {
        Some(Wrote::Figures)
    } else {
        None
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_others_wrote_is_not_taken_for_ones_own() {
        let own = |text: &str| wrote(text.as_bytes());
        assert_eq!(own("option,year,month,in_season\n"), Some(Wrote::Table));
        assert_eq!(
            own("# invented weather\n# seed: 1\ntime,dry_bulb_c,relative_humidity_pct,pressure_pa\n"),
            Some(Wrote::Weather)
        );
        for of_others in [
            "",
            "time,temperature\n",
            "year,month,option\n",
            "<!doctype html><title>dryledger</title>",
            "{}",
            "\u{0}\u{ff}",
        ] {
            assert_eq!(own(of_others), None, "{of_others}");
        }
    }
}
