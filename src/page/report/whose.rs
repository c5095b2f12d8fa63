//! Whose the energy is: used, of which the plant's own supply, of which purchased. The words of the page.

use crate::answer::figures::OptionFigures;
use crate::number::heat as energy;

/// True where an option burns a supply of the plant's own.
pub(super) fn has_own(option: &OptionFigures) -> bool {
    option.own_kwh > 0.0
}

/// `191 MWh purchased.`, or what an option uses, and whose it is, as a sentence.
pub(super) fn briefly(option: &OptionFigures) -> String {
    if has_own(option) {
        return format!("The site {}.", uses(option));
    }
    format!("{} purchased.", energy(option.purchased_kwh))
}

/// `purchases 191 MWh`, or `uses 286 MWh, of which 236 MWh is the plant’s own supply and 49.7 MWh is purchased`.
pub(super) fn uses(option: &OptionFigures) -> String {
    if !has_own(option) {
        return format!("purchases {}", energy(option.purchased_kwh));
    }
    format!(
        "uses {}, of which {} is the plant’s own supply and {} is purchased",
        energy(option.used_kwh),
        energy(option.own_kwh),
        energy(option.purchased_kwh)
    )
}

/// What a bill holds for an own supply; nothing where no option has one.
pub(super) fn note<'a>(options: impl IntoIterator<Item = &'a OptionFigures>) -> String {
    if options.into_iter().any(has_own) {
        "Energy used is the plant’s own supply and what is purchased; the own supply stands in the bill at what it would have fetched.".to_owned()
    } else {
        String::new()
    }
}
