//! `--typical`: a year put together from the most typical months.

use super::Failure;
use crate::weather::typical::{Quantity, Typical, stitch};
use crate::weather::{Series, Station};
use serde_json::{Value, json};

/// Puts the year together.
pub(super) fn make(series: &Series) -> Result<Typical, Failure> {
    if series.typical {
        return Err(Failure::asked(
            "no typical year written: the file is one already",
            "a typical year is put together from ten or more measured years",
        ));
    }
    stitch(&series.hours).map_err(|error| Failure::asked(format!("no typical year written: {error}"), ""))
}

/// The year as the tool's own CSV, with the months' origin in its head.
pub(super) fn to_csv(typical: &Typical, series: &Series, station: &Station) -> String {
    let year = Series {
        hours: typical.hours.clone(),
        typical: true,
        open_gaps: Vec::new(),
        problems: Vec::new(),
        ..series.clone()
    };
    format!(
        "# months by ISO 15927-4: {}\n# judged by {}\n{}",
        months(typical),
        judged_by(typical),
        crate::weather::to_csv(&year, station)
    )
}

/// The same for people.
pub(super) fn told(typical: &Typical) -> String {
    format!(
        "typical year of {} hours (ISO 15927-4), judged by {}\n  months from {}\n",
        typical.hours.len(),
        judged_by(typical),
        months(typical)
    )
}

/// The same for programs.
pub(super) fn to_json(typical: &Typical) -> Value {
    json!({
        "hours": typical.hours.len(),
        "judged_by": typical.judged_by.iter().map(|q| name(*q)).collect::<Vec<_>>(),
        "months": typical.chosen.iter().map(|(month, year)| json!({ "month": month, "year": year }))
            .collect::<Vec<Value>>(),
    })
}

fn months(typical: &Typical) -> String {
    let all: Vec<String> = typical.chosen.iter().map(|(month, year)| format!("{year}-{month:02}")).collect();
    all.join(", ")
}

fn judged_by(typical: &Typical) -> String {
    let all: Vec<&str> = typical.judged_by.iter().map(|q| name(*q)).collect();
    all.join(", ")
}

fn name(quantity: Quantity) -> &'static str {
    match quantity {
        Quantity::DryBulb => "dry bulb",
        Quantity::RelativeHumidity => "relative humidity",
        Quantity::GlobalHorizontal => "global irradiance",
        Quantity::Wind => "wind",
    }
}
