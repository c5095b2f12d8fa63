//! `own_supply` of a carrier: what the season's own nuts leave of it.
//!
//! ```toml
//! own_supply = { share_of_received = 0.0, share_of_dried = 0.3, worth_otherwise = 20.0 }
//! ```
//!
//! `share_of_received` and `share_of_dried` are tonnes of fuel as burnt per tonne of nuts received (husk, where
//! nuts come in it) and dried (shell, where they are cracked); `worth_otherwise` is what a tonne would have
//! fetched. The season burns its own first, then purchases at the carrier's `price`.

use super::biomass_value::kg_per;
use super::cursor::Cursor;
use crate::money::{OwnSupply, Unit};

const OF_NUTS: &str = "give tonnes of fuel for a tonne of nuts: 9 % is 0.09";

/// The own supply, if the carrier has one.
pub(super) fn read(carrier: &Cursor<'_>, unit: Option<Unit>) -> Option<OwnSupply> {
    let table = carrier.optional_table("own_supply")?;
    let share = |key: &str| {
        let field = || table.number(key).unit("t/t").within(0.0, 2.0).hint(OF_NUTS);
        // What is refused is told by itself: no share is made of it.
        let is_refused = table.kind(key).is_some() && field().peek().is_none();
        let share = field().default(0.0, "none of it from these");
        (!is_refused).then_some(share)
    };
    let (of_received, of_dried) = (share("share_of_received"), share("share_of_dried"));
    let worth_per_t = table
        .number("worth_otherwise")
        .unit("money/t")
        .within(0.0, 1e6)
        .hint("say what a tonne would have fetched if it were not burnt; 0 if nothing")
        .required();
    table.finish();
    let (of_received, of_dried) = (of_received?, of_dried?);
    if of_received + of_dried <= 0.0 {
        carrier.complain("own_supply", "leaves nothing", "share_of_received or share_of_dried above 0", OF_NUTS);
        return None;
    }
    let Some(kg) = kg_per(unit?) else {
        carrier.complain(
            "own_supply",
            "is given of a fuel that is not sold by mass",
            "unit = \"kg\" or \"t\"",
            "count the fuel by mass: shares of nuts are tonnes",
        );
        return None;
    };
    Some(OwnSupply {
        units_per_received_kg: of_received / kg,
        units_per_dried_kg: of_dried / kg,
        worth_per_unit: worth_per_t? / 1000.0 * kg,
    })
}

#[cfg(test)]
mod tests {
    use super::super::document::Document;
    use super::super::fuel::read_fuel;
    use crate::money::Carrier;

    fn carrier(text: &str) -> Result<Carrier, String> {
        Document::new("s.toml", text)
            .read(|root| read_fuel("shell", root))
            .map(|reading| reading.value)
            .map_err(|problems| problems.to_string())
    }

    #[test]
    fn own_shell_is_burnt_first_and_the_rest_is_purchased() {
        let shell = carrier(
            "price = 60\nunit = \"t\"\nmoisture = 12\nlower_dry_mj_per_kg = 20\n\
             own_supply = { share_of_dried = 0.3, worth_otherwise = 20 }",
        )
        .unwrap();
        // 20 x 0.88 - 2.443 x 0.12 = 17.307 MJ/kg.
        assert!((shell.kwh_per_unit - 17_306.84 / 3.6).abs() < 1e-6);
        let own = shell.own.unwrap();
        let units = own.units(200_000.0, 100_000.0);
        assert!((units - 30.0).abs() < 1e-12);
        assert!((shell.cost(20.0, units) - 400.0).abs() < 1e-9);
        assert!((shell.cost(50.0, units) - (600.0 + 1200.0)).abs() < 1e-9);
    }

    #[test]
    fn the_higher_value_of_dry_matter_serves_too() {
        let text = "price = 60\nunit = \"kg\"\nmoisture = 0\nhigher_dry_mj_per_kg = 20.3\nhydrogen_dry = 6";
        // 20.3 - 2.443 x 8.94 x 0.06 = 18.9896 MJ/kg.
        let found = carrier(text).unwrap().kwh_per_unit * 3.6;
        assert!((found - 18.989_575).abs() < 1e-5, "{found}");
    }

    #[test]
    fn what_cannot_be_is_refused_with_its_cure() {
        for (text, said) in [
            ("price = 60\nunit = \"GJ\"\nmoisture = 12", "not sold by mass"),
            ("price = 60\nunit = \"kg\"\nmoisture = 12\nheating_value_kwh_per_unit = 5", "beside a moisture"),
            ("price = 60\nunit = \"kg\"\nown_supply = { worth_otherwise = 5 }", "leaves nothing"),
            ("price = 60\nunit = \"kg\"\nown_supply = { share_of_dried = 0.3 }", "worth_otherwise is missing"),
            (
                "fuel = \"husk\"\nprice = 60\nunit = \"kg\"\nmoisture = 12\ncarbon_kg_per_kwh = 0",
                "lower_dry_mj_per_kg is missing",
            ),
        ] {
            let refused = carrier(text).expect_err(text);
            assert!(refused.contains(said), "{refused}");
        }
    }
}
