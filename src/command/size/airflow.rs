//! Air through the bins against energy, as `size` prints it.

use super::lines::{kept_words, number, of_room, or_dash};
use crate::answer::{AirflowFigures, AirflowPointFigures, LeastAirflow};
use crate::number::Digits;
use std::fmt::Write;

pub(super) fn say_airflow(text: &mut String, figures: &AirflowFigures) {
    let _ = writeln!(
        text,
        "\n{} against energy of heat and fans, mean of the weather years; ducts and fans are built for each airflow\n  \
         {:<11}{:>7}{:>13}{:>9}{:>10}{:>9}{:>13}{:>9}{:>12}{:>9}  limit",
        of_room("Air through the bins", figures.room.as_deref()),
        "m³/s per t",
        "given",
        "MJ/kg water",
        "kWh/t",
        "heat kWh",
        "fan kWh",
        "waiting t d",
        "mould h",
        "last dry d",
        "bill"
    );
    for point in &figures.points {
        line(text, point);
    }
    text.push_str(
        "  mould h: batch-hours with the growth index of mould on the wettest nuts past its limit, the first growth\n",
    );
    say_least(text, "kg of water", &figures.least_per_kg_water);
    say_least(text, "received tonne", &figures.least_per_received_t);
    let of_all = |least: &LeastAirflow| least.of_all_m3_per_s_per_tonne;
    if of_all(&figures.least_per_kg_water) < of_all(&figures.least_per_received_t) {
        text.push_str(
            "  with little air the layers end unlike and more water is dried out than is asked for, which looks cheap per kg of water\n",
        );
    }
}

fn line(text: &mut String, point: &AirflowPointFigures) {
    let kept = kept_words(point.meets, point.left_t);
    let _ = writeln!(
        text,
        "  {:<11}{:>7.3}{:>13}{:>9.1}{:>10.0}{:>9.0}{:>13.1}{:>9.0}{:>12}{:>9.0}  {kept}",
        number(point.airflow_m3_per_s_per_tonne),
        Digits(point.given_m3_per_s_per_tonne),
        or_dash(point.mj_per_kg_water, 3),
        Digits(point.kwh_per_received_t),
        Digits(point.heat_kwh),
        Digits(point.fan_kwh),
        Digits(point.waiting_tonne_days),
        Digits(point.mould_hours),
        or_dash(point.last_dry_days, 0),
        Digits(point.total_cost),
    );
}

fn say_least(text: &mut String, per: &str, least: &LeastAirflow) {
    let Some(airflow) = least.of_all_m3_per_s_per_tonne else {
        let _ = writeln!(text, "  least energy per {per}: no airflow tried dries all nuts");
        return;
    };
    let end = if least.is_bracketed { "" } else { ", an end of what was tried, beyond which it may fall" };
    let within = least.within_limit_m3_per_s_per_tonne.map_or_else(
        || "none tried keeps the limit".to_owned(),
        |airflow| format!("{} with the limit kept", number(airflow)),
    );
    let _ = writeln!(text, "  least energy per {per}: at {}{end}; {within}", number(airflow));
}
