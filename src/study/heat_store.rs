//! `kind = "heat-store"`: heat shifted from hours of cheap electricity to hours of dear.

use super::cursor::Cursor;
use crate::heat::{HeatStore, Kind, Source};
use crate::money::Carriers;

/// Reads what goes with the kind; the source that charges it is looked up by [`connect`].
pub(super) fn read(cursor: &Cursor<'_>, carriers: Option<&Carriers>) -> Option<HeatStore> {
    let charged_by = cursor.text("charged_by").hint("name the source of the same option that charges it").required();
    let capacity =
        cursor.number("capacity_kwh").unit("kWh").within(1.0, 1e6).hint("give the heat it holds when full").required();
    let charge =
        cursor.number("charge_kw").unit("kW").within(0.1, 1e5).hint("give the most heat that goes into it").required();
    let loss = cursor
        .number("loss_pct_per_hour")
        .unit("%/h")
        .within(0.0, 50.0)
        .default(0.5, "assumption: a well-insulated tank or bed");
    let temperature_c = cursor
        .number("temperature_c")
        .unit("°C")
        .within(20.0, 300.0)
        .default(60.0, "assumption: hot enough to heat drying air for some hours");
    let (cheapest, dearest) = carriers.map_or((0.0, 0.0), price_range);
    let charge_up_to = cursor
        .number("charge_up_to_price")
        .unit("money/kWh")
        .within(-10.0, 1e6)
        .default(cheapest, "the tariff's lowest price, tax counted");
    let discharge_from = cursor
        .number("discharge_from_price")
        .unit("money/kWh")
        .within(-10.0, 1e6)
        .default(dearest, "the tariff's highest price, tax counted");
    if carriers.is_some() && discharge_from <= charge_up_to {
        cursor.complain(
            "kind",
            &format!(
                "is \"heat-store\", called on from a price of {discharge_from} and charged up to one of {charge_up_to}"
            ),
            "dear hours above the cheap ones",
            "a heat store shifts heat between prices: give electricity a tariff with periods, or leave it out",
        );
        return None;
    }
    Some(HeatStore {
        capacity_kwh: capacity?,
        charge_kw: charge?,
        loss_per_hour: loss / 100.0,
        temperature_c,
        charged_by: charged_by?,
        fuel: None,
        charge_up_to_price: charge_up_to,
        discharge_from_price: discharge_from,
    })
}

/// Lowest and highest price of a kWh of electricity, tax counted, a little wider than they are so that
/// rounding leaves no hour out.
fn price_range(carriers: &Carriers) -> (f64, f64) {
    let tariff = &carriers.electricity;
    let prices: Vec<f64> = tariff.energy_prices().map(|price| price.per_kwh * (1.0 + tariff.tax)).collect();
    let lowest = prices.iter().copied().fold(f64::INFINITY, f64::min);
    let highest = prices.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let width = (highest - lowest) * 1e-6;
    (lowest + width, highest - width)
}

/// Looks up the sources that charge an option's heat stores: each must stand in the same option, and give heat
/// at will.
pub(super) fn connect(option: &Cursor<'_>, stack: &mut [Source]) {
    let sources = stack.to_vec();
    for source in stack.iter_mut() {
        let Kind::HeatStore(store) = &mut source.kind else {
            continue;
        };
        let charger = sources.iter().find(|other| other.name == store.charged_by);
        let fit = charger.filter(|charger| charger.kind.says().gives_at_will());
        match fit {
            Some(charger) => store.fuel = charger.fuel().map(str::to_owned),
            None => option.complain(
                "sources",
                &format!("has the heat store \"{}\", charged by \"{}\"", source.name, store.charged_by),
                "a resistance, burner, biomass, hot-water or heat-pump source of the same option",
                "name the charging source among the option's sources, or mend charged_by",
            ),
        }
    }
}
